"""The judge of a season: from its chains and the operation alone, every law and every figure anew.

It knows nothing of the model. Law 1: hives are neither lost nor made, and pallets stay whole. Law 2: they go in on time,
come out within the window, rest in between, and a yard never holds more than it may. Law 3: a contract gets hives strong
enough, and no more than it takes; a refused offer gets none. Law 4: the account is what the chains earn and cost.
"""

import datetime as dt
from collections.abc import Iterator
from itertools import pairwise

from routing.finding import Finding, at_least, at_most, not_checked
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.yard import VEHICLE_CLASSES, HiveGroup
from routing.season.assignment import LINES, Chain, Line, Season, Stay
from routing.season.carriage import Carriage, Leg
from routing.season.frames import Counted
from routing.season.kinds import Stand, evening, kinds_of, room_of, stands_of
from routing.season.terms import bonus_usd, feed_usd, honey_usd

CENT_USD = 0.02
"""Lines are told to the cent; each may be half a cent off."""
TERMS, OWN = "terms of the contract", "your own tables"


def check_season(season: Season) -> tuple[Finding, ...]:
    """Return every finding on a season, the good ones too."""
    judge = _Judge(season)
    return (*judge.hives(), *judge.nights(), *judge.yards(), *judge.trucks(), *judge.contracts(), *judge.account())


class _Judge:
    """A season and what it is held against."""

    def __init__(self, season: Season) -> None:
        self.season, self.operation = season, season.operation
        self.groups = {one.name: one for one in self.operation.hive_groups}
        self.counted = Counted(self.operation)
        self.stands = stands_of(self.counted, kinds_of(self.operation))
        self.carriage = Carriage(self.operation, season.carry_costs)
        self.a_night = {one.name: self.carriage.hives_a_night(one) for one in self.operation.trucks}
        self.last = evening(self.operation, self.operation.last_night) + 1

    def hives(self) -> Iterator[Finding]:
        for group in self.operation.hive_groups:
            told = sum(chain.hives for chain in self.season.chains if chain.group == group.name)
            due = group.hives if group.may_travel else 0
            yield _same("hives of the group", group.name, told, due, "hives")
        for chain in self.season.chains:
            yield _same("pallets whole", _name(chain), float(self._pallets(chain)), float(chain.pallets), "pallets")

    def _pallets(self, chain: Chain) -> int:
        group = self.groups[chain.group]
        pallet = next((one for one in self.operation.pallets if one.name == group.pallet), None)
        if pallet is None:
            return 0
        spare = chain.hives % pallet.hives
        return chain.hives // pallet.hives + (1 if spare and spare == group.hives % pallet.hives else 99 if spare else 0)

    def nights(self) -> Iterator[Finding]:
        for chain in self.season.chains:
            for before, after in pairwise(chain.stays):
                yield from self._move(chain, before, after)
            for before, between, after in zip(chain.stays, chain.stays[1:], chain.stays[2:], strict=False):
                if before.kind == after.kind == "orchard" and between.came and between.left:
                    rest = constant(self.operation, "rest_nights_between_blooms")
                    nights = (between.left - between.came).days - 1
                    yield at_least("rest between two blooms", _name(chain), measured=nights, limit=int(rest), unit="nights",
                                   force="practice", source="rest_nights_between_blooms")  # fmt: skip

    def _move(self, chain: Chain, before: Stay, after: Stay) -> Iterator[Finding]:
        night = after.came
        well = night is not None and night == before.left and (before.came is None or before.came < night)
        yield _holds("one move a night, in order", _name(chain), well)
        if night is None:
            return
        for stay, come in ((before, False), (after, True)):
            if stay.kind == "orchard":
                span = self.stands[stay.place].nights_in if come else self.stands[stay.place].nights_out
                inside = span is not None and span[0] <= evening(self.operation, night) <= span[1]
                yield _holds(f"night {'in' if come else 'out'} within the window", f"{_name(chain)}, {stay.place}", inside)

    def yards(self) -> Iterator[Finding]:
        room = room_of(self.operation)
        for yard in self.operation.yards:
            stays = [(chain.hives, stay) for chain in self.season.chains for stay in chain.stays if stay.place == yard.name]
            comes = sorted({stay.came for _, stay in stays if stay.came is not None})
            most = max((sum(h for h, stay in stays if _stands(stay, night)) for night in comes), default=0)
            yield at_most("room in the yard", yard.name, measured=most, limit=room[yard.name], unit="hives", force="own figure",
                          source="capacity of the yard")  # fmt: skip

    def trucks(self) -> Iterator[Finding]:
        moves = [
            (chain.hives, before.place, after.place, self._leg(before, after))
            for chain in self.season.chains for before, after in pairwise(chain.stays)
        ]  # fmt: skip
        sites = self.carriage.sites
        for rank, size in enumerate(VEHICLE_CLASSES):
            held = [
                (hives, leg) for hives, a, b, leg in moves
                if min(VEHICLE_CLASSES.index(sites[a].access), VEHICLE_CLASSES.index(sites[b].access)) <= rank
            ]  # fmt: skip
            runs = {(a.first, b.last) for _, a in held for _, b in held if a.first <= b.last}
            over = {run: self._inside(held, run) - self._carried(rank, *run) for run in runs}
            most = max(over, key=lambda run: over[run], default=None)
            note = f"the fullest run of nights is {most[0]} to {most[1]}" if most else "no move"
            yield at_most(
                "hives beyond what trucks move in a run of nights", f"up to a {size}", limit=0.0, unit="hives", note=note,
                measured=max(over[most], 0.0) if most else 0.0, force="practice", source="loads_per_truck_night",
            )  # fmt: skip

    def _inside(self, held: list[tuple[int, Leg]], run: tuple[dt.date, dt.date]) -> int:
        return sum(hives for hives, leg in held if run[0] <= leg.first and leg.last <= run[1])

    def _carried(self, rank: int, first: dt.date, last: dt.date) -> float:
        nights = [first + dt.timedelta(days=day) for day in range((last - first).days + 1)]
        able = [one for one in self.operation.trucks if VEHICLE_CLASSES.index(one.vehicle_class) <= rank]
        return sum(self.a_night[one.name] * sum(self.carriage.truck_is_there(one, night) for night in nights) for one in able)

    def contracts(self) -> Iterator[Finding]:
        for choice in self.season.choices:
            stand = self.stands[choice.contract]
            one, came = stand.contract, self._came(choice.contract)
            got = sum(chain.hives for chain, _ in came)
            yield _same("delivered as told", one.name, got, choice.delivered, "hives")
            yield at_most("no more than is taken", one.name, measured=got, limit=one.colonies + stand.over, unit="hives",
                          force="own figure", source=TERMS)  # fmt: skip
            if not one.signed:
                least = 0 if choice.outcome == "refused" else one.least_colonies or one.colonies
                well = got == 0 if choice.outcome == "refused" else got >= least
                yield _holds("an offer is taken as it is offered", one.name, well)
            yield from self._strength(one, came)

    def _came(self, name: str) -> list[tuple[Chain, dt.date]]:
        return [
            (chain, stay.came) for chain in self.season.chains for stay in chain.stays
            if stay.place == name and stay.came is not None
        ]  # fmt: skip

    def _strength(self, one: Contract, came: list[tuple[Chain, dt.date]]) -> Iterator[Finding]:
        for name in dict.fromkeys(chain.group for chain, _ in came):
            well = self.counted.strong_enough(self.groups[name], one, self.stands[one.name].window.in_from)
            yield _holds("single colonies strong enough", f"{one.name}, {name}", well)
        if came and one.weak_usd_per_frame is None:
            average = self._frames(one, came) / sum(chain.hives for chain, _ in came)
            yield at_least("average strength", one.name, measured=round(average, 6), limit=one.min_average_frames, unit="frames",
                           force="own figure", source=TERMS)  # fmt: skip

    def _frames(self, one: Contract, came: list[tuple[Chain, dt.date]]) -> float:
        return sum(chain.hives * self.counted.frames(self.groups[chain.group], night, one) for chain, night in came)

    def account(self) -> Iterator[Finding]:
        usd: dict[Line, float] = dict.fromkeys(LINES, 0.0)
        for stand in self.stands.values():
            self._earned(stand, usd)
        for chain in self.season.chains:
            self._spent(chain, self.groups[chain.group], usd)
        told = {line.name: line.usd for line in self.season.lines}
        for name, true in usd.items():
            yield _same(f"account: {name}", "season", told.get(name, 0.0), round(true, 2), "USD", within=CENT_USD)
        yield _same("profit", "season", self.season.profit_usd, sum(told.values()), "USD", within=CENT_USD)
        if self.season.bound_usd is None:
            yield not_checked("bound", "season", force="own figure", source="the solver", note="no bound was proven in the time")
        else:
            yield at_most("profit within the bound", "season", measured=self.season.profit_usd, limit=self.season.bound_usd,
                          unit="USD", force="own figure", source="the solver's proof")  # fmt: skip

    def _earned(self, stand: Stand, usd: dict[Line, float]) -> None:
        one, came = stand.contract, self._came(stand.contract.name)
        got = sum(chain.hives for chain, _ in came)
        usd["fees"] += one.fee_usd_per_colony * (got if one.over_delivery == "paid" else min(got, one.colonies))
        if one.signed:
            usd["short: penalties"] -= one.short_usd_per_colony * max(one.colonies - got, 0)
        usd["weak"] -= (one.weak_usd_per_frame or 0.0) * max(one.min_average_frames * got - self._frames(one, came), 0.0)
        for chain, night in came:
            frames = self.counted.frames(self.groups[chain.group], night, one)
            usd["bonus"] += chain.hives * bonus_usd(one, frames)

    def _spent(self, chain: Chain, group: HiveGroup, usd: dict[Line, float]) -> None:
        for before, after in pairwise(chain.stays):
            each = self.carriage.usd_per_hive(group, self._leg(before, after))
            usd["moves"] -= chain.hives * (float("inf") if each is None else each)
            lost = constant(self.operation, "move_loss_share") * constant(self.operation, "colony_value_usd")
            usd["losses on the road"] -= chain.hives * lost
        for stay in chain.stays:
            if stay.kind == "yard":
                self._in_yard(chain.hives, group, stay, usd)

    def _leg(self, before: Stay, after: Stay) -> Leg:
        out, into = (self.stands.get(place) for place in (before.place, after.place))
        spans = [one for one in (out and out.nights_out, into and into.nights_in) if one]
        low, high = max(one[0] for one in spans), min(one[1] for one in spans)
        if into and into.nights_out:
            high = min(high, max(into.nights_out[0] - 1, into.nights_in[0] if into.nights_in else high)) if out else high
        night = [self.operation.first_night + dt.timedelta(days=one) for one in (low, high)]
        return Leg(before.place, after.place, night[0], night[1])

    def _in_yard(self, hives: int, group: HiveGroup, stay: Stay, usd: dict[Line, float]) -> None:
        first = 0 if stay.came is None else evening(self.operation, stay.came) + 1
        after = self.last if stay.left is None else evening(self.operation, stay.left)
        last_in = max((one.nights_in[1] for one in self.stands.values() if one.nights_in), default=0)
        usd["feed"] -= hives * feed_usd(self.operation, (stay.place, first, after), last_in=last_in)
        for supers in stay.supers:
            on = first if supers.on is None else evening(self.operation, supers.on)
            off = after if supers.off is None else evening(self.operation, supers.off)
            usd["honey"] += hives * honey_usd(self.counted, group, (stay.place, on, off))
            usd["supers on"] -= hives * constant(self.operation, "supers_on_usd_per_colony") * (supers.on is not None)
            usd["supers off"] -= hives * constant(self.operation, "supers_off_usd_per_colony") * (supers.off is not None)


def _name(chain: Chain) -> str:
    return f"{chain.hives} hives of {chain.group}"


def _stands(stay: Stay, night: dt.date) -> bool:
    """Tell whether hives of a stay stand there at the end of a night."""
    return (stay.came is None or stay.came <= night) and (stay.left is None or stay.left > night)


def _holds(check: str, subject: str, well: bool) -> Finding:
    return at_least(check, subject, measured=float(well), limit=1.0, force="own figure", source=OWN)


def _same(check: str, subject: str, told: float, true: float, unit: str, *, within: float = 1e-6) -> Finding:
    note = f"told {told:g}, is {true:g}"
    return at_most(check, subject, measured=abs(told - true), limit=within, unit=unit, force="own figure", source=OWN, note=note)
