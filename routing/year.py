"""The loop between season and tours: what to promise -> how it is hauled -> what that truly costs -> what to promise.

Each round plans the season at the carrying costs known so far, has tours planned for what it takes, and shares the cost of
every truck-night among the orchards that it serves. It ends when the season chooses as before at the costs that its own
choice led to, or after a number of rounds.
"""

import time
from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise

from routing.inputs.operation import Operation
from routing.nights.tour import Lot
from routing.plan import Progress, make_plan
from routing.plan_record import Plan
from routing.record import Record
from routing.roads.roads import Roads, road_table
from routing.season.assignment import CarryCost, Season, Stay
from routing.season.carriage import Carriage, Leg
from routing.season.choose import plan_season, without_refused
from routing.season.frames import Counted
from routing.season.kinds import Stand, date, kinds_of, stands_of

ROUNDS = 3
SHARE_FOR_SEASON, SEASON_S = 0.15, 15.0
"""The season has at least so many seconds a round; it takes what its proof takes, most often less. [s]"""
NEAR = 0.1
"""Costs that differ by less than this share agree."""
LEAST_FACTOR, MOST_FACTOR = 0.2, 5.0
SHARED_HOW = (
    "the cost of each truck-night is shared among its lots in proportion to their hives times what a truck-night for that lot "
    "alone would cost; a lot from orchard to orchard counts half for each"
)


class Round(Record):
    """One turn of the loop."""

    profit_usd: float
    """The season's, at the carrying costs that it was given."""
    taken: dict[str, int]
    """Colonies that the season brings to each contract and offer taken."""
    estimated_usd: float
    """What the season took the moves to cost."""
    hauled_usd: float
    """What the tours of this choice cost on the road."""
    tours_gap: float
    costs: tuple[CarryCost, ...]
    """As the tours tell them."""


class Year(Record):
    """The season and the tours that go with it."""

    season: Season
    plan: Plan
    rounds: tuple[Round, ...]
    settled: bool
    """True when season and tours agree."""
    verdict: str
    seconds: float


@dataclass(frozen=True)
class Budget:
    """Time and chance for the whole loop."""

    seconds: float = 120.0
    rounds: int = ROUNDS
    seed: int = 0


def plan_year(
    operation: Operation,
    budget: Budget | None = None,
    *,
    progress: Callable[[Progress], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Year:
    """Return the season and the tours that agree with it.

    Parameters
    ----------
    operation
        What is had, owed and offered.
    budget
        Seconds for all rounds together, most rounds, and the seed of the tours.
    progress
        Called with how far the tours of a round are.
    stop
        Asked between steps; True ends with what the last whole round came to.

    Raises
    ------
    OperationError
        If a contract's dates contradict each other.
    """
    own, begun, asked = budget or Budget(), time.monotonic(), stop or (lambda: False)
    each = own.seconds / max(own.rounds, 1)
    costs: tuple[CarryCost, ...] = ()
    cap: dict[str, int] = {}
    rounds: list[Round] = []
    while True:
        season = plan_season(operation, seconds=max(each * SHARE_FOR_SEASON, SEASON_S), costs=costs, cap=cap)
        plan = make_plan(
            without_refused(season), seed=own.seed, seconds=each * (1.0 - SHARE_FOR_SEASON), progress=progress, stop=stop
        )
        told = true_costs(season, plan)
        rounds.append(_round(season, plan, told))
        held = _held(season, plan)
        settled = season.bound_usd is not None and _agree(rounds, costs, told) and not held.items() - cap.items()
        if settled or len(rounds) >= own.rounds or asked():
            break
        # What tours told of an offer that is now refused still holds.
        known = {one.contract: one for one in (*costs, *told)}
        costs, cap = tuple(known.values()), {**cap, **held}
    return Year(
        season=season, plan=plan, rounds=tuple(rounds), settled=settled, verdict=_verdict(rounds, settled),
        seconds=round(time.monotonic() - begun, 3),
    )  # fmt: skip


def true_costs(season: Season, plan: Plan) -> tuple[CarryCost, ...]:
    """Return what carrying a hive to and from each orchard costs in the tours, against the season's first estimate."""
    estimated, hauled = _estimated(season), _hauled(plan)
    found = []
    for name, (usd, hives) in hauled.items():
        guess, moved = estimated.get(name, (0.0, 0.0))
        if hives and moved and guess > 0.0:
            factor = (usd / hives) / (guess / moved)
            found.append(CarryCost(contract=name, factor=round(min(max(factor, LEAST_FACTOR), MOST_FACTOR), 4)))
    return tuple(found)


def _estimated(season: Season) -> dict[str, tuple[float, float]]:
    """Return the first estimate of carrying, and the hive moves it is for, by orchard."""
    carriage = Carriage(season.operation)
    stands = stands_of(Counted(season.operation), kinds_of(season.operation))
    groups = {one.name: one for one in season.operation.hive_groups}
    usd: dict[str, float] = defaultdict(float)
    moved: dict[str, float] = defaultdict(float)
    for chain in season.chains:
        for before, after in pairwise(chain.stays):
            each = carriage.usd_per_hive(groups[chain.group], _leg(season.operation, stands, before, after)) or 0.0
            ends = [name for name in (before.place, after.place) if name in stands]
            for name in ends:
                usd[name] += chain.hives * each / len(ends)
                moved[name] += chain.hives / len(ends)
    return {name: (usd[name], moved[name]) for name in usd}


def _leg(operation: Operation, stands: Mapping[str, Stand], before: Stay, after: Stay) -> Leg:
    spans = [span for name, out in ((before.place, True), (after.place, False)) if (one := stands.get(name))
             and (span := one.nights_out if out else one.nights_in)]  # fmt: skip
    first, last = max(span[0] for span in spans), min(span[1] for span in spans)
    return Leg(before.place, after.place, date(operation, first), date(operation, max(last, first)))


def _hauled(plan: Plan) -> dict[str, tuple[float, float]]:
    """Return the cost of the tours and the hive moves, shared among orchards as ``SHARED_HOW`` says."""
    roads = road_table(plan.operation)
    orchards = {one.name for one in plan.operation.contracts}
    usd: dict[str, float] = defaultdict(float)
    moved: dict[str, float] = defaultdict(float)
    for one in plan.truck_nights:
        truck = next(row for row in plan.operation.trucks if row.name == one.truck)
        lots = [lot for stop in one.stops for lot in stop.picked_up]
        per_mile, per_night = truck.cost_usd_per_mile, truck.cost_usd_per_night
        alone = [lot.hives * (per_night + per_mile * _miles(roads, truck.base, lot)) for lot in lots]
        total = sum(alone)
        for lot, weight in zip(lots, alone, strict=True):
            ends = [name for name in (lot.origin, lot.destination) if name in orchards]
            for name in ends:
                usd[name] += one.cost_usd * (weight / total if total else 1.0 / len(lots)) / len(ends)
                moved[name] += lot.hives / len(ends)
    return {name: (usd[name], moved[name]) for name in usd}


def _miles(roads: Roads, base: str, lot: Lot) -> float:
    way = ((base, lot.origin), (lot.origin, lot.destination), (lot.destination, base))
    return sum(0.0 if a == b else roads.miles(a, b) for a, b in way)


def _round(season: Season, plan: Plan, told: tuple[CarryCost, ...]) -> Round:
    return Round(
        profit_usd=season.profit_usd, taken=_taken(season),
        estimated_usd=round(abs(sum(line.usd for line in season.lines if line.name == "moves")), 2),
        hauled_usd=round(sum(one.cost_usd for one in plan.truck_nights), 2), tours_gap=plan.gap, costs=told,
    )  # fmt: skip


def _taken(season: Season) -> dict[str, int]:
    return {one.contract: one.delivered for one in season.choices if one.delivered}


def _held(season: Season, plan: Plan) -> dict[str, int]:
    """Return the offers of which tours bring fewer colonies than the season takes, with what they bring."""
    offers = {one.contract: one.delivered for one in season.choices if not one.signed and one.delivered}
    brought = {row.contract: row.delivered for row in plan.deliveries}
    return {name: brought[name] for name, wanted in offers.items() if name in brought and brought[name] < wanted}


def _agree(rounds: list[Round], given: tuple[CarryCost, ...], told: tuple[CarryCost, ...]) -> bool:
    """Tell whether the season chose as in the round before, and tours cost what it counted with."""
    if len(rounds) < 2 or rounds[-1].taken.keys() != rounds[-2].taken.keys():
        return False
    counted = {one.contract: one.factor for one in given}
    return all(abs(one.factor - counted.get(one.contract, 1.0)) <= NEAR * max(one.factor, 1e-9) for one in told)


def _verdict(rounds: list[Round], settled: bool) -> str:
    last, number = rounds[-1], len(rounds)
    same = number > 1 and last.taken.keys() == rounds[-2].taken.keys()
    costs = f"it counts ${last.estimated_usd:,.0f} for moves, its tours cost ${last.hauled_usd:,.0f}"
    if settled:
        return f"Season and tours agree after {number} rounds: {costs}; {SHARED_HOW}."
    choice = "the same contracts are taken as in the round before" if same else "the last round took other contracts"
    if number == 1:
        choice = "one round is no agreement"
    return f"Season and tours do not yet agree after {number} rounds: {choice}; {costs}; {SHARED_HOW}."
