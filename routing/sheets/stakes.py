"""Which hives stand at which stake of an orchard, stop after stop, over the whole plan.

Stakes are filled in the order of their table, each up to its most hives, a pallet never split. When the table has
the order of the drive (``routing.drops`` writes it so), what comes off the deck first is set down at the first drop.
"""

from routing.inputs.contract import Drop
from routing.loads.load import Placement
from routing.nights.tour import Stop, TruckNight
from routing.plan_record import Plan
from routing.record import Record
from routing.sheets.lot_units import SheetUnit, placements_of, units_of
from routing.sheets.sheet_record import StakeLine
from routing.sheets.words import counted, label_ranges


class Standing(Record):
    """One unit that stands at a stake; the stake is empty when there was no room at any."""

    stake: str
    group: str
    hives: int


class StopStakes(Record):
    """The stakes that one stop fills or empties, and what must be said of them."""

    stakes: tuple[StakeLine, ...] = ()
    note: str = ""


def stop_stakes(plan: Plan) -> dict[tuple[str, int], StopStakes]:
    """Return the stakes of every orchard stop.

    Parameters
    ----------
    plan
        Any plan; stops are taken in the order in which trucks arrive.

    Returns
    -------
    dict[tuple[str, int], StopStakes]
        By truck-night and stop number. Hives set down earlier keep their stakes until they are fetched.
    """
    visits = [
        (stop, truck_night)
        for truck_night in plan.truck_nights
        for stop in truck_night.stops
        if stop.kind == "orchard"
    ]
    standing: dict[str, tuple[Standing, ...]] = {}
    found: dict[tuple[str, int], StopStakes] = {}
    for stop, truck_night in sorted(visits, key=lambda visit: (visit[0].arrive, visit[1].id)):
        drops = tuple(drop for drop in plan.operation.drops if drop.contract == stop.place)
        here = standing.get(stop.place, ())
        here, taken = _fetch(stop, here)
        here, filled, without = _fill(plan, stop, truck_night, drops=drops, here=here)
        standing[stop.place] = here
        found[truck_night.id, stop.number] = _lines(drops, stop, taken=taken, filled=filled, without=without)
    return found


def _fetch(stop: Stop, here: tuple[Standing, ...]) -> tuple[tuple[Standing, ...], dict[str, int]]:
    wanted: dict[str, int] = {}
    for lot in stop.picked_up:
        wanted[lot.group] = wanted.get(lot.group, 0) + lot.hives
    left: list[Standing] = []
    taken: dict[str, int] = {}
    for unit in here:
        if 0 < unit.hives <= wanted.get(unit.group, 0):
            wanted[unit.group] -= unit.hives
            taken[unit.stake] = taken.get(unit.stake, 0) + unit.hives
        else:
            left.append(unit)
    return tuple(left), taken


def _fill(
    plan: Plan, stop: Stop, truck_night: TruckNight, *, drops: tuple[Drop, ...], here: tuple[Standing, ...]
) -> tuple[tuple[Standing, ...], dict[str, tuple[SheetUnit, ...]], int]:
    placements = placements_of(plan, truck_night)
    now = list(here)
    filled: dict[str, tuple[SheetUnit, ...]] = {}
    without = 0
    for group, unit in _as_they_come_off(stop, placements):
        stake = _first_with_room(drops, now, unit.hives)
        now.append(Standing(stake=stake, group=group, hives=unit.hives))
        filled[stake] = (*filled.get(stake, ()), unit)
        without += 0 if stake else unit.hives
    return tuple(now), filled, without


def _as_they_come_off(stop: Stop, placements: dict[str, tuple[Placement, ...]]) -> list[tuple[str, SheetUnit]]:
    """Return group and unit of all that is set down, as it can be lifted: the top layer first, from the rear on.

    Lots without a deck plan come in the order of the stop.
    """
    found: list[tuple[tuple[int, float, float], str, SheetUnit]] = []
    for lot in stop.set_down:
        there = placements.get(lot.lot, ())
        for place, unit in enumerate(units_of(lot, there)):
            key = (-there[place].tier, -there[place].front_in, there[place].left_in) if there else (0, 0.0, 0.0)
            found.append((key, lot.group, unit))
    return [(group, unit) for _, group, unit in sorted(found, key=lambda one: one[0])]


def _first_with_room(drops: tuple[Drop, ...], standing: list[Standing], hives: int) -> str:
    for drop in drops:
        there = sum(unit.hives for unit in standing if unit.stake == drop.name)
        if there + hives <= drop.most_hives:
            return drop.name
    return ""


def _lines(
    drops: tuple[Drop, ...],
    stop: Stop,
    *,
    taken: dict[str, int],
    filled: dict[str, tuple[SheetUnit, ...]],
    without: int,
) -> StopStakes:
    if not drops:
        return StopStakes(note="No stakes were given for this orchard: ask the grower where the hives stand.")
    lines = []
    for drop in drops:
        units = filled.get(drop.name, ())
        down, up = sum(unit.hives for unit in units), taken.get(drop.name, 0)
        if down or up:
            labels = label_ranges(unit.label for unit in units if unit.label)
            lines.append(_line(drop, down=down, fetched=up, labels=labels))
    note = ""
    if without:
        note = f"NO STAKE HAS ROOM for {counted(without, 'hive')}: ask the grower before setting them down."
    elif stop.picked_up and taken.get("", 0):
        note = f"{counted(taken[''], 'hive')} to fetch stand at no stake: ask the grower where."
    return StopStakes(stakes=tuple(lines), note=note)


def _line(drop: Drop, *, down: int, fetched: int, labels: str) -> StakeLine:
    return StakeLine(
        name=drop.name, set_down=down, fetched=fetched, labels=labels, note=drop.note,
        latitude_deg=drop.latitude_deg, longitude_deg=drop.longitude_deg,
    )  # fmt: skip
