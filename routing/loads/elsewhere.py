"""A second deck plan for a load that the marked places do not suit: units anywhere, then the fewest lifted twice.

What is said of it is as strong as what is proven: that no better deck plan exists, or only that none was found.
"""

from collections.abc import Sequence
from typing import NamedTuple

from routing.loads.anywhere.search import none_exists, stand_anywhere
from routing.loads.capacity import tiers_that_fit
from routing.loads.deck import Batch, placements
from routing.loads.load import Placement
from routing.loads.merit import Merit, merit
from routing.loads.stowage import Deck
from routing.loads.vehicle import Rig, Vehicle

MOST_UNITS = 24
"""A load of more units has the marked places only: the search anywhere would not end in time."""
FEW_UNITS = 10
"""So few units find their places faster when no other plan is looked near."""
SPARES = (0.001, 0.003, 0.0)
"""Shares of the trailer that its coupling keeps free, tried one after the other: the chance of a miss must be small too."""
EFFORT, LONGER = 0.3, 1.0
"""Of one search, in the solver's deterministic time; the longer one when a drop must not be lifted twice and none was found."""
MOST_FEW = 3
"""So few units lifted twice are tried one after the other, then any number of them."""
KEEPS = "keeps every weight limit"
NOT_PROVEN = "that there is none is not proven"


class DeckPlan(NamedTuple):
    """Where every unit stands, how that is, and what is known of better plans."""

    rig: Rig
    """With its sliding axles where they are best."""
    units: tuple[Placement, ...]
    merit: Merit
    told: str = ""
    """Empty when nothing is missed."""


def plan_elsewhere(rig: Rig, vehicle: Vehicle | None, *, units: tuple[Placement, ...], carried: Sequence[Batch]) -> DeckPlan:
    """Return the plan as it is when it misses nothing, else the better of it and one without marked places.

    Parameters
    ----------
    rig, vehicle
        The truck, and its axles when they are known.
    units
        The plan on marked places.
    carried
        What rides.
    """
    wanted = sum(batch.number for batch in carried)
    now = DeckPlan(rig, units, merit(rig, units, wanted=wanted))
    if now.merit.sound:
        return now
    if wanted > MOST_UNITS:
        return now._replace(told=f"no better deck plan was found on marked places; {NOT_PROVEN}")
    deck = Deck(rig, vehicle, carried, ())
    if too_high(rig, carried):
        return now._replace(told="proven: standing on the deck, some unit is higher than the lowest bridge")
    best, proven = _best(now, deck, lifts=0)
    if best.merit.sound:
        return best
    if not any(one.ride.hinders(other.ride) for one in carried for other in carried):
        return best._replace(told=_at_all_words(proven))
    return _lifting(deck, best, proven=proven)


def too_high(rig: Rig, carried: Sequence[Batch]) -> bool:
    """Tell whether some unit, standing on the deck, is higher than the lowest bridge."""
    return any(tiers_that_fit(rig.truck, batch.unit.height_in) == 0 for batch in carried)


def _lifting(deck: Deck, now: DeckPlan, *, proven: bool) -> DeckPlan:
    """Return the better of a plan and one with the fewest units lifted twice; ``proven``: without lifting there is none."""
    wanted = sum(batch.number for batch in deck.carried)
    if proven and none_exists(deck, lifts=wanted, effort=EFFORT):
        return now._replace(told=_at_all_words(proven))
    best, fewest = now, proven
    for lifts in (*range(1, min(MOST_FEW, wanted - 1) + 1), wanted):
        best, none = _best(best, deck, lifts=lifts)
        if best.merit.rolls:
            there = "there can be" if fewest else "found"
            return best._replace(told=f"{_in_order_words(proven)}; {best.merit.lifted} lifted twice is the fewest {there}")
        fewest = fewest and none
    return best._replace(told=_in_order_words(proven))


def _at_all_words(proven: bool) -> str:
    if proven:
        return f"proven: wherever its units stand, no deck plan {KEEPS}"
    return f"no deck plan was found that {KEEPS}; {NOT_PROVEN}"


def _in_order_words(proven: bool) -> str:
    asked = f"{KEEPS} and lets every drop come off by itself"
    if proven:
        return f"proven: wherever its units stand, no deck plan {asked}"
    return f"no deck plan was found that {asked}; {NOT_PROVEN}"


def _best(now: DeckPlan, deck: Deck, *, lifts: int) -> tuple[DeckPlan, bool]:
    """Return the best plan found with at most so many units lifted twice, and whether it is proven that there is none."""
    best, wanted = now, sum(batch.number for batch in deck.carried)
    efforts = [(EFFORT, spare) for spare in SPARES] + [(LONGER, spare) for spare in SPARES[:2] if not lifts]
    for effort, spare in efforts:
        near = best.units if wanted > FEW_UNITS or effort > EFFORT else ()
        answer = stand_anywhere(deck, lifts=lifts, effort=effort, spare=spare, near=near)
        if answer.proven:
            return best, True
        if answer.stowage is not None:
            units = placements(deck.carried, answer.stowage.layout, answer.stowage.stowed)
            found = DeckPlan(now.rig, units, merit(now.rig, units, wanted=wanted))
            best = found if found.merit < best.merit else best
        if best.merit.rolls and best.merit.lifted <= lifts:
            break
    return best, False
