"""Deck plans: seconds on three vehicles, share of 500 feasible loads solved, agreement with brute force on 200 decks."""

import random
import statistics
import time
from collections.abc import Sequence

from routing.loads.capacity import slots, tiers_that_fit
from routing.loads.deck import Batch, Stowed, placements
from routing.loads.load import Placement
from routing.loads.solve import deck_plan
from tests.benchmarks._decks import FLEETS, Fleet, batches, broken, split
from tests.benchmarks._record import Record
from tests.benchmarks._small_decks import compared, small_deck

FEASIBLE_LOADS, SMALL_DECKS, LOADS_EACH = 500, 200, 12


def rows() -> list[Record]:
    """Return a row for each timed load, then the sums."""
    timed = [row for make in FLEETS for row in _timed(make("side").name)]
    return [*timed, *_sums(timed), _solved(), _agreement()]


def _timed(name: str) -> list[Record]:
    """Return full decks of one vehicle with one to five drops, from the side and from the rear."""
    found = []
    for number in range(LOADS_EACH):
        draw = random.Random(number)
        fleet = next(make(("side", "rear")[number % 2]) for make in FLEETS if make("side").name == name)
        drops = 1 + number // 2 % 5
        carried = batches(fleet.unit, split(fleet.most, drops, draw), draw)
        found.append({"what": "full deck", **_one(fleet, carried)})
    return found


def _one(fleet: Fleet, carried: Sequence[Batch]) -> Record:
    wall, processor = time.monotonic(), time.process_time()
    rig, units, _, told = deck_plan(fleet.rig, carried)
    seconds, processor_s = time.monotonic() - wall, time.process_time() - processor
    wanted = sum(one.number for one in carried)
    found = broken(units, rig)
    missed = f"{found[0].check}; {told}" if found else "valid"
    status = f"{wanted - len(units)} left out" if len(units) < wanted else missed
    return {"vehicle": fleet.name, "hives": wanted * fleet.unit.hives, "drops": len(carried),
            "unloading": fleet.rig.truck.unloading, "seconds": seconds, "processor_s": processor_s, "status": status}  # fmt: skip


def _sums(timed: Sequence[Record]) -> list[Record]:
    found: list[Record] = []
    for name in dict.fromkeys(row["vehicle"] for row in timed):
        own = [row for row in timed if row["vehicle"] == name]
        for what, pick in (("median", statistics.median), ("worst", max)):
            found.append({"what": what, "vehicle": name, "seconds": pick([float(row["seconds"] or 0) for row in own]),
                          "processor_s": pick([float(row["processor_s"] or 0) for row in own]),
                          "status": f"{sum(row['status'] == 'valid' for row in own)} of {len(own)} valid"})  # fmt: skip
    return found


def _solved() -> Record:
    """Return the share of loads known to be feasible, because one was packed by hand first, for which a valid plan is found."""
    begun, solved = time.monotonic(), 0
    failed: list[str] = []
    for seed in range(FEASIBLE_LOADS):
        fleet, carried = feasible(seed)
        status = str(_one(fleet, carried)["status"])
        solved += status == "valid"
        failed += [] if status == "valid" else [f"seed {seed}: {status}"]
    return {"what": f"{FEASIBLE_LOADS} feasible loads", "seconds": time.monotonic() - begun, "share": solved / FEASIBLE_LOADS,
            "status": "; ".join(failed[:5]) or "all solved"}  # fmt: skip


def feasible(seed: int) -> tuple[Fleet, tuple[Batch, ...]]:
    """Return a random load of which a plan is known that the judge finds nothing broken in."""
    draw = random.Random(seed)
    while True:
        fleet = draw.choice(FLEETS)(draw.choice(("side", "rear")))
        total = draw.randint(2, fleet.most)
        carried = batches(fleet.unit, split(total, draw.randint(1, min(4, total)), draw), draw)
        units = _packed_by_hand(fleet, carried, draw)
        if units and not broken(units, fleet.rig):
            return fleet, carried


def _packed_by_hand(fleet: Fleet, carried: Sequence[Batch], draw: random.Random) -> tuple[Placement, ...]:
    """Return the load stacked row by row from a random row on, the last drop first; nothing when it does not fit."""
    truck = fleet.rig.truck
    layout = slots(truck.deck_length_in, truck.deck_width_in, length_in=fleet.unit.length_in, width_in=fleet.unit.width_in)
    tiers = draw.randint(1, tiers_that_fit(truck, fleet.unit.height_in))
    rest = len(layout) - -(-sum(one.number for one in carried) // tiers)
    if rest < 0:
        return ()
    places = [(slot, tier) for slot in range(draw.randint(0, rest), len(layout)) for tier in range(1, tiers + 1)]
    order = [place for place in reversed(range(len(carried))) for _ in range(carried[place].number)]
    stowed = [Stowed(batch, slot, tier) for batch, (slot, tier) in zip(order, places, strict=False)]
    return placements(carried, layout, stowed)


def _agreement() -> Record:
    begun = time.monotonic()
    found = [compared(small_deck(seed)) for seed in range(SMALL_DECKS)]
    off = [f"seed {seed}: {one.searched} against {one.tried}" for seed, one in enumerate(found) if not one.agree]
    return {"what": f"{SMALL_DECKS} small decks by brute force", "seconds": time.monotonic() - begun,
            "share": sum(one.agree for one in found) / SMALL_DECKS, "status": "; ".join(off[:5]) or "all agree"}  # fmt: skip
