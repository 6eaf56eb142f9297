"""Small seasons against every season there is, each worked out without the network and the solver."""

import datetime as dt
import itertools
import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.honey import HoneyFlow
from routing.inputs.operation import Constant, Operation
from routing.season.carriage import Carriage, Leg
from routing.season.check import check_season
from routing.season.choose import GAP, plan_season

CHERRIES, BLUES = "Early cherries", "Late blueberries"
YARDS = ("Home yard", "Far yard")
FRAMES = {"H1": 9.0, "W1": 6.5}


def small(seed: int) -> Operation:
    """Return a season of 3 strong pallets and 2 weak ones, with terms, offers, honey and rest drawn by chance."""
    draw = random.Random(seed)
    tiny = tiny_operation()
    strong, _, weak = tiny.hive_groups
    groups = (
        strong.model_copy(update={"hives": 12, "frames_seen": "9x12"}),
        weak.model_copy(update={"hives": 8, "frames_seen": "6.5x8", "build": "double deep 10"}),
    )
    contracts = tuple(
        one.model_copy(update={
            "colonies": draw.choice((4, 6, 8, 12)), "fee_usd_per_colony": float(draw.choice((12, 18, 25, 40, 60))),
            "signed": draw.random() < 0.5, "least_colonies": draw.choice((None, 4)), "min_colony_frames": 5.0,
            "min_average_frames": float(draw.choice((6.0, 7.5, 8.0))), "short_usd_per_colony": float(draw.choice((0, 15))),
            "bonus_usd_per_frame": float(draw.choice((0, 3))), "bonus_up_to_frames": 10.0,
            "weak_usd_per_frame": draw.choice((None, 2.0)),
            "over_delivery": draw.choice(("not taken", "taken unpaid", "paid")),
            "in_until": one.in_until if one.name == CHERRIES else dt.date(2027, 5, draw.choice((13, 16))),
        })
        for one in tiny.contracts
    )  # fmt: skip
    flow = HoneyFlow(
        yard="Far yard", flow="maple", first_on=dt.date(2027, 5, 1), last_on=dt.date(2027, 5, 20),
        honey_lb_per_colony=float(draw.choice((0, 10, 40))), honey_usd_per_lb=1.5, least_frames=7.0,
    )  # fmt: skip
    rest = Constant(name="rest_nights_between_blooms", value=float(draw.choice((0, 2, 4))), source="drawn")
    return tiny.model_copy(update={
        "hive_groups": groups, "contracts": contracts, "honey_flows": (flow,), "constants": (rest,),
        "last_night": dt.date(2027, 6, 10),
    })  # fmt: skip


@dataclass(frozen=True)
class Way:
    """One way that a pallet can go: the orchards that it serves, and what a hive of it earns beside fees."""

    orchards: tuple[str, ...]
    usd: float


def days(first: dt.date, last: dt.date) -> list[dt.date]:
    return [first + dt.timedelta(days=day) for day in range((last - first).days + 1)]


class Every:
    """Every season of a small operation."""

    def __init__(self, operation: Operation) -> None:
        self.operation = operation
        self.contracts = {one.name: one for one in operation.contracts}
        self.carriage = Carriage(operation)
        self.flow = operation.honey_flows[0]
        self.rest = int(operation.constants[0].value)
        self.last_in = max(one.in_until for one in operation.contracts if one.in_until)

    def ways(self, group_name: str) -> list[Way]:
        """Return the best way for each list of orchards, over all nights and yards."""
        best: dict[tuple[str, ...], float] = {}
        for orchards, usd in self._walk(group_name, "Home yard", None, self.operation.first_night, ()):
            best[orchards] = max(usd, best.get(orchards, -1e9))
        return [Way(*one) for one in best.items()]

    def _walk(
        self, name: str, yard: str, came: dt.date | None, free: dt.date, done: tuple[str, ...]
    ) -> Iterator[tuple[tuple[str, ...], float]]:
        """Yield the orchards and money of every way on from a yard; hives came on a night and are free from another."""
        yield done, self._stand(name, yard, came, None)
        for one in self.contracts.values():
            if one.name in done:
                continue
            for night in days(one.in_from, one.in_until):
                if night >= free:
                    before = self._stand(name, yard, came, night) + self._move(name, yard, one.name, night)
                    yield from ((got, before + usd) for got, usd in self._out(name, one.name, (*done, one.name)))

    def _out(self, name: str, orchard: str, done: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], float]]:
        one = self.contracts[orchard]
        for night in days(one.out_from, one.out_until):
            for yard in YARDS:
                free = night + dt.timedelta(days=1 + self.rest)
                moved = self._move(name, orchard, yard, night)
                yield from ((got, moved + usd) for got, usd in self._walk(name, yard, night, free, done))
            for other in self.contracts.values():
                if other.name not in done and other.in_from <= night <= other.in_until:
                    moved = self._move(name, orchard, other.name, night)
                    yield from ((got, moved + usd) for got, usd in self._out(name, other.name, (*done, other.name)))

    def _move(self, name: str, origin: str, destination: str, night: dt.date) -> float:
        group = next(one for one in self.operation.hive_groups if one.name == name)
        usd = self.carriage.usd_per_hive(group, Leg(origin, destination, night, night))
        assert usd is not None
        if destination in self.contracts:
            one = self.contracts[destination]
            above = FRAMES[name] - one.min_average_frames
            bonus = one.bonus_usd_per_frame * min(max(above, 0.0), 10.0 - one.min_average_frames)
        else:
            bonus = 0.0
        return bonus - usd - 0.005 * 200.0

    def _stand(self, name: str, yard: str, came: dt.date | None, left: dt.date | None) -> float:
        """Return honey less supers, if that pays, less feed, of one hive: $4.50 each 14 nights until the last night in."""
        first = self.operation.first_night if came is None else came + dt.timedelta(days=1)
        last = left or self.operation.last_night + dt.timedelta(days=1)
        stood = days(first, last)[1:]
        flowing = [day for day in stood if yard == self.flow.yard and self.flow.first_on <= day <= self.flow.last_on]
        fed = [day for day in stood if day not in flowing and day <= self.last_in]
        lb = self.flow.honey_lb_per_colony if FRAMES[name] >= self.flow.least_frames else 0.0
        honey = lb * self.flow.honey_usd_per_lb * len(flowing) / 20
        return max(honey - 3.0 - 4.0, 0.0) - 4.5 * len(fed) / 14

    def best(self) -> float:
        """Return the profit of the best season: every way for each of the 3 strong and 2 weak pallets of 4 hives."""
        found = [
            self.profit([*((way, "H1") for way in strong), *((way, "W1") for way in weak)])
            for strong in itertools.combinations_with_replacement(self.ways("H1"), 3)
            for weak in itertools.combinations_with_replacement(self.ways("W1"), 2)
        ]  # fmt: skip
        return max(one for one in found if one is not None)

    def profit(self, pallets: list[tuple[Way, str]]) -> float | None:
        total = sum(4 * way.usd for way, _ in pallets)
        for one in self.contracts.values():
            came = Counter(name for way, name in pallets for orchard in way.orchards if orchard == one.name)
            got = 4 * sum(came.values())
            lack = sum(4 * count * (one.min_average_frames - FRAMES[name]) for name, count in came.items())
            over = 0 if one.over_delivery == "not taken" else 3
            least = one.colonies if one.least_colonies is None else one.least_colonies
            if got > one.colonies + over or (not one.signed and 0 < got < least):
                return None
            if lack > 1e-9 and one.weak_usd_per_frame is None:
                return None
            total += one.fee_usd_per_colony * (got if one.over_delivery == "paid" else min(got, one.colonies))
            total -= one.short_usd_per_colony * max(one.colonies - got, 0) if one.signed else 0.0
            total -= (one.weak_usd_per_frame or 0.0) * max(lack, 0.0)
        return total


@pytest.mark.parametrize("seed", [0, 1, 5, 7, 9, 11])
def test_no_season_of_all_there_are_earns_more_and_the_one_found_is_among_the_best(seed: int) -> None:
    operation = small(seed)
    season, most = plan_season(operation, seconds=20.0), Every(operation).best()
    assert season.profit_usd <= most + 0.05
    assert season.bound_usd >= most - 0.05
    assert season.profit_usd >= most - GAP * abs(most) - 0.05
    assert [one for one in check_season(season) if one.status == "broken"] == []
