"""From a night's stops to its loads, each with a deck plan, weights on the road and every check made.

The search for the deck plan itself, with its formulation, is in ``search``.
"""

from collections.abc import Sequence

from routing.finding import Finding, at_most
from routing.inputs.operation import Operation
from routing.loads.check import check_load
from routing.loads.circumstances import Circumstances, circumstances
from routing.loads.deck import Batch, batches, layouts, moments_on_the_road, placements
from routing.loads.elsewhere import DeckPlan, plan_elsewhere
from routing.loads.handling import handling_words
from routing.loads.load import Load, Placement
from routing.loads.nudge import nudge_words, nudged
from routing.loads.on_pallets import pallet_findings
from routing.loads.on_the_way import road_limits_on
from routing.loads.order import lifted_twice
from routing.loads.papers import papers_to_renew
from routing.loads.pins import best_hole, holes, lawful_now, pins_to_set, slid, worst_use
from routing.loads.placing import top_in
from routing.loads.search import best_on
from routing.loads.securing import straps_available, straps_needed
from routing.loads.states import Moment, deck_states, stretches_of
from routing.loads.stowage import Deck, Stowage, better, plain
from routing.loads.vehicle import Rig, Vehicle, deck_left_of, rig_of, vehicle
from routing.nights.tour import TruckNight

BETTER = "deck plan that misses nothing"
BETTER_SOURCE = "search for a deck plan, on marked places and in whole inches anywhere on the deck"
EFFORT = 0.8
"""Of the search for one deck plan, in the solver's deterministic time; all layouts together."""


def plan_loads(operation: Operation, truck_nights: Sequence[TruckNight]) -> tuple[Load, ...]:
    """Return the loads of truck-nights, in order.

    A load is everything on a deck between two moments when the deck is empty. At one stop, what is set down
    goes off before anything comes on.
    """
    return tuple(
        plan_load(operation, truck_night, number=number, first_stop=first, last_stop=last)
        for truck_night in truck_nights
        for number, (first, last) in enumerate(loaded_stretches(truck_night), start=1)
    )


def stow(rig: Rig, vehicle: Vehicle | None, *, carried: Sequence[Batch]) -> Stowage:
    """Return the best deck plan found.

    Parameters
    ----------
    rig, vehicle
        The truck, and its axles when they are known.
    carried
        What rides: one batch or more.

    Returns
    -------
    Stowage
        ``left_out`` is 0 when everything has a place.
    """
    gap_in = rig.figure("least_air_gap_in").value
    decks = [Deck(rig, vehicle, carried, layout) for layout in layouts(rig.truck, carried, gap_in=gap_in)]
    best = None  # what must be lifted twice is only asked for when nothing else is left
    for in_order in (True, False):
        for deck in decks if best is None or not in_order else ():
            best = better(best, best_on(deck, in_order=in_order, effort=EFFORT / len(decks)))
        if best is not None:
            return best
    return plain(decks, carried)


def deck_plan(rig: Rig, carried: Sequence[Batch]) -> DeckPlan:
    """Return the best deck plan found: on marked places, and where such a plan misses something, anywhere on the deck."""
    moved, units = stowed_with_pins(rig, carried)
    return plan_elsewhere(moved, _axles(moved), units=units, carried=carried)


def stowed_with_pins(rig: Rig, carried: Sequence[Batch]) -> tuple[Rig, tuple[Placement, ...]]:
    """Return the deck plan on marked places, and the rig with its sliding axles at the best pin hole for that plan.

    A plan made for the pins as they are set is made anew for the best hole when it breaks a limit even there.
    """
    units = _placed_on(rig, carried)
    better_rig = _at_best_hole(rig, units)
    if better_rig == rig:
        return rig, units
    if worst_use(better_rig, stretches_of(units)) > 1.0:
        anew = _placed_on(better_rig, carried)
        if len(anew) >= len(units):
            units = anew
            better_rig = _at_best_hole(better_rig, units)
    return better_rig, units


def room_to_fill(rig: Rig) -> Rig:
    """Return the rig for a deck plan: no higher than the lowest height listed, on the deck that things carried leave."""
    listed = [row.value for row in rig.road_limits if row.kind == "height"]
    lowest_in = min([rig.truck.most_height_in, *listed])
    room = {"most_height_in": lowest_in, "deck_length_in": deck_left_of(rig)}
    return rig.model_copy(update={"truck": rig.truck.model_copy(update=room), "deck_end_in": rig.truck.deck_length_in})


def _placed_on(rig: Rig, carried: Sequence[Batch]) -> tuple[Placement, ...]:
    stowage = stow(rig, _axles(rig), carried=carried)
    units = placements(carried, stowage.layout, stowage.stowed)
    return nudged(rig, units) if _axles(rig) else units


def _at_best_hole(rig: Rig, units: Sequence[Placement]) -> Rig:
    """Return the rig at its best lawful pin hole, or as it is when it does not slide or no hole is better."""
    stretches = stretches_of(units)
    hole = best_hole(holes(rig, stretches), kept_to_law=True) if _axles(rig) else None
    if hole is None or (hole.use >= worst_use(rig, stretches) and lawful_now(rig)):
        return rig
    return slid(rig, hole.centre_in)


def loaded_stretches(truck_night: TruckNight) -> tuple[tuple[int, int], ...]:
    """Return the numbers of the first and last stop of each load of a truck-night."""
    found, riding, first = [], set[str](), 0
    for stop in truck_night.stops:
        off = {lot.lot for lot in stop.set_down}
        if riding and riding <= off:
            found.append((first, stop.number))
        riding = riding - off
        if stop.picked_up and not riding:
            first = stop.number
        riding = riding | {lot.lot for lot in stop.picked_up}
    if riding:
        # Something is never set down: it rides to the end of the night.
        found.append((first, truck_night.stops[-1].number))
    return tuple(found)


def plan_load(
    operation: Operation, truck_night: TruckNight, *, number: int, first_stop: int, last_stop: int
) -> Load:
    """Return one load with its deck plan, its weights after each stop, and every check made on it.

    Parameters
    ----------
    operation
        Where groups, builds, pallets, trucks, axles and tie-downs are.
    truck_night
        The night.
    number
        Of the load within the night, from 1.
    first_stop, last_stop
        Numbers of the stops where the deck is first loaded and where it is empty again.

    Returns
    -------
    Load
        When not everything finds a place, the placements are those that do; a finding counts the others.

    Raises
    ------
    ValueError
        If nothing is picked up between the stops, or a name is not in the operation.
    """
    stops = [stop for stop in truck_night.stops if first_stop <= stop.number <= last_stop]
    carried = batches(operation, stops) if stops else ()
    if not carried:
        raise ValueError(
            f"{truck_night.id}: nothing is picked up between stops {first_stop} and {last_stop}."
        )
    road_limits = road_limits_on(operation, truck_night.night, {stop.place for stop in stops})
    rig = rig_of(operation, truck_night.truck).model_copy(update={"road_limits": road_limits})
    plan = deck_plan(room_to_fill(rig), carried)
    rig, units = plan.rig.model_copy(update={"truck": rig.truck}), plan.units
    axles = _axles(rig)
    moments = [Moment(stop.number, stop.place) for stop in moments_on_the_road(stops, carried)]
    load = Load(
        truck_night=truck_night.id,
        number=number,
        truck=truck_night.truck,
        night=truck_night.night,
        hives=sum(batch.number * batch.hives_each for batch in carried),
        placements=units,
        states=deck_states(axles, units, moments) if axles else (),
        top_of_load_in=0.0,
        straps_needed=0,
        straps_available=0,
        rehandled=0,
        findings=(),
    )
    lots = {batch.lot.lot: batch.lot for batch in carried}.values()
    subject = f"{load.truck_night}, load {load.number}"
    placed = (*_placed(load, plan, carried), *pallet_findings(operation, lots, subject))
    return judged(load, rig, about=circumstances(operation, truck_night, lots), first=placed)


def judged(load: Load, rig: Rig, *, about: Circumstances, first: tuple[Finding, ...] = ()) -> Load:
    """Return the load with the figures that follow from its placements and every finding, ``first`` first."""
    found = {
        "top_of_load_in": top_in(load.placements, rig.truck),
        "straps_needed": straps_needed(load.placements, rig),
        "straps_available": straps_available(rig),
        "rehandled": len(lifted_twice(load.placements, rig.truck.unloading)),
        "findings": (*first, *check_load(load, rig, about=about)),
        "to_do": (
            *_gear_words(rig),
            *pins_to_set(rig, stretches_of(load.placements)),
            *nudge_words(rig, load.placements),
            *handling_words(load.placements, rig.truck.unloading),
            *papers_to_renew(about.papers, load.night),
        ),
    }
    return load.model_copy(update=found)


def _gear_words(rig: Rig) -> tuple[str, ...]:
    """Return the sentence that keeps the deck free for gear; none when none stands on it."""
    gear = [one.what for one in rig.carried if one.deck_length_in]
    taken_in = rig.truck.deck_length_in - deck_left_of(rig)
    return (f"Keep the last {taken_in:g} in of the deck for {', '.join(gear)}: strap it down by itself.",) if gear else ()


def _axles(rig: Rig) -> Vehicle | None:
    """Return the axles, or None when their rows do not make a vehicle that stands: a finding says so."""
    try:
        return vehicle(rig)
    except ValueError:
        return None


def _placed(load: Load, plan: DeckPlan, carried: Sequence[Batch]) -> tuple[Finding, ...]:
    """Return how many units found no place, and for a plan that misses something what is known of better ones."""
    wanted = sum(batch.number for batch in carried)
    subject = f"{load.truck_night}, load {load.number}"
    placed = at_most("units without a place on the deck", subject, measured=wanted - len(plan.units), limit=0, unit="units",
                     force="own figure", source="deck and layers in the table of trucks")  # fmt: skip
    if not plan.told:
        return (placed,)
    better = Finding(check=BETTER, subject=subject, status="broken", force="practice", source=BETTER_SOURCE, note=plan.told)
    return (placed, better)
