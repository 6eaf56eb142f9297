"""Small decks on which every stowage can be tried: the price of each, worked out anew, against the search's."""

import itertools
import math
import random
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from routing.loads import rows
from routing.loads.deck import Batch, Stowed, layouts, placements
from routing.loads.load import Placement
from routing.loads.order import lifted_twice
from routing.loads.search import best_on
from routing.loads.states import stretches_of
from routing.loads.stowage import Deck
from routing.loads.vehicle import vehicle
from tests.benchmarks._decks import DOUBLES, Fleet, batches, flatbed, split

NEAR = 0.011
"""The search may stop at one per cent from its bound; whole per cents and tenths of pounds round the rest."""


class Compared(NamedTuple):
    """What the search found on one small deck, and the best of all stowages."""

    searched: float | None
    tried: float | None

    @property
    def agree(self) -> bool:
        """Tell whether both found none, or prices as near as the search's own limit."""
        if self.searched is None or self.tried is None:
            return self.searched is None and self.tried is None
        return abs(self.searched - self.tried) <= NEAR * max(self.tried, 1.0) + 150.0


def small_deck(seed: int) -> Deck:
    """Return a deck of two to six places in one layer, with one to three drops; the seed tells all."""
    draw = random.Random(seed)
    fleet: Fleet = flatbed(draw.choice(("side", "rear")))
    length, lanes = draw.choice(((1, 2), (2, 2), (3, 2), (2, 1), (3, 1), (4, 1)))
    truck = fleet.rig.truck.model_copy(update={
        "deck_length_in": 37.0 * length + draw.choice((0.0, 12.0)), "deck_width_in": 46.0 * lanes, "most_tiers": 1,
        "headboard": draw.random() < 0.5, "deck_front_in": draw.choice((40.0, 60.0, 120.0)),
    })  # fmt: skip
    rig = fleet.rig.model_copy(update={"truck": truck})
    total = draw.randint(1, length * lanes)
    heavy = DOUBLES.model_copy(update={"hive_high_lb": draw.choice((120.0, 300.0, 700.0))})
    carried = batches(heavy, split(total, draw.randint(1, min(3, total)), draw), draw)
    if draw.random() < 0.3 and len(carried) > 1:
        later = carried[0]._replace(ride=carried[0].ride._replace(on=2, off=carried[-1].ride.off + 1))
        carried = (later, *carried[1:])
    return Deck(rig, vehicle(rig), carried, layouts(truck, carried)[0])


def compared(deck: Deck) -> Compared:
    """Return the search's price and the least of all stowages'."""
    found = best_on(deck, in_order=True, effort=2.0)
    every = [price for stowed in _every(deck) if (price := price_of(deck, stowed)) is not None]
    return Compared(found.price if found else None, min(every, default=None))


def _every(deck: Deck) -> Iterator[tuple[Stowed, ...]]:
    """Yield each way to put alike units into slots; units that never ride together may share one."""
    choices = []
    for place, batch in enumerate(deck.carried):
        fitting = [slot for slot, where in enumerate(deck.layout) if batch.fits(where)]
        choices.append([[Stowed(place, slot, 1) for slot in taken] for taken in itertools.combinations(fitting, batch.number)])
    for parts in itertools.product(*choices):
        yield tuple(itertools.chain.from_iterable(parts))


def price_of(deck: Deck, stowed: Sequence[Stowed]) -> float | None:
    """Return what the formulation in ``search`` makes a stowage cost; None when it is not allowed."""
    units = placements(deck.carried, deck.layout, stowed)
    used = sorted({one.slot for one in stowed})
    if _shared(deck.carried, stowed) or lifted_twice(units, deck.rig.truck.unloading) or not _without_gaps(deck, used):
        return None
    use, leaning = _use_percent(deck, units), _leaning_percent(deck, units)
    fronts = {round(deck.layout[slot].front_in, 3) for slot in used}
    starts_at = min(fronts)
    away = deck.rig.truck.headboard and starts_at > min(round(slot.front_in, 3) for slot in deck.layout)
    begins, parts = _lots(deck, stowed)
    outside = sum(deck.steps_out(slot) for slot in used)
    weights = 100 * use + 10_000 * max(0, use - 100)
    sides = 10 * leaning + 6000 * max(0, leaning - 5)
    return weights + sides + 60 * len(fronts) + outside + 5000 * away + 50 * begins + 4 * parts


def _shared(carried: Sequence[Batch], stowed: Sequence[Stowed]) -> bool:
    return any(
        one.slot == other.slot and carried[one.batch].ride.meets(carried[other.batch].ride)
        for one, other in itertools.combinations(stowed, 2)
    )


def _without_gaps(deck: Deck, used: Sequence[int]) -> bool:
    """Tell whether every used slot has a used one ahead, or is first behind one starting line that all keep."""
    for line_in, firsts in rows.starting_lines(deck.layout):
        if any(deck.layout[slot].front_in < line_in - 0.01 for slot in used):
            continue
        if all(slot in firsts or set(rows.ahead(deck.layout, slot)) & set(used) for slot in used):
            return True
    return False


def _use_percent(deck: Deck, units: Sequence[Placement]) -> int:
    axles, worst = deck.vehicle, 0.0
    for bearing in axles.bearings if axles else ():
        if axles is None or all(part == 1.0 for part in bearing.parts):
            continue
        for riding in stretches_of(units):
            total_lb = bearing.on(axles.empty_lb)
            for unit in riding:
                share = bearing.on([one.at(unit.front_in + unit.length_in / 2) for one in axles.shares])
                total_lb += max(share * unit.weight_low_lb, share * unit.weight_high_lb)
            worst = max(worst, 100.0 * total_lb / bearing.limit_lb)
    return math.ceil(worst - 1e-6)


def _leaning_percent(deck: Deck, units: Sequence[Placement]) -> int:
    half_in = deck.rig.truck.deck_width_in / 2
    empty_lb = sum(group.empty_lb for group in deck.rig.axle_groups)
    worst = 0.0
    for riding in stretches_of(units):
        moment = abs(sum(unit.weight_high_lb * (unit.left_in + unit.width_in / 2 - half_in) for unit in riding))
        worst = max(worst, 100.0 * moment / ((empty_lb + sum(unit.weight_high_lb for unit in riding)) * half_in))
    return math.ceil(worst - 1e-6)


def _lots(deck: Deck, stowed: Sequence[Stowed]) -> tuple[int, int]:
    begins = parts = 0
    for lot in {deck.carried[one.batch].lot.lot for one in stowed}:
        here = {one.slot for one in stowed if deck.carried[one.batch].lot.lot == lot}
        parts += len(here)
        begins += sum(not here & set(rows.ahead(deck.layout, slot)) for slot in here)
    return begins, parts
