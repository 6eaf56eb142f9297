"""The season as a network: hives of each kind flow through yards and orchards, night by night.

A *kind* is a hive group's units of one size (a pallet with its hives, or a loose hive). Evenings are counted from
the operation's first night. A yard is a row of nodes, one for each evening on which something may change there, with
and without honey supers; an orchard is one node. An *arc* is units that stay, move, or change their supers.

Hives go in on the first or the last night in time, and come out on the first or the last night out: every chain of
blooms that any nights inside the windows allow, one of these allows, and what stands in a yard between earns or costs
in straight lines. Which night it really is, tours say.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import pairwise
from math import floor

from routing.inputs.constants import constant
from routing.inputs.honey import HoneyFlow
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.season.assignment import Line
from routing.season.carriage import Carriage, Leg
from routing.season.frames import Counted
from routing.season.kinds import Kind, Span, Stand, date, evening, kinds_of, room_of, stands_of
from routing.season.terms import bonus_usd, feed_usd, has_supers, honey_usd


@dataclass(frozen=True)
class Node:
    """Somewhere to be: a yard on an evening, with supers or not; an orchard (``evening`` -1); the season's end."""

    place: str
    evening: int = -1
    supers: bool = False


END = Node("")


@dataclass(frozen=True)
class Arc:
    """Units of one kind that go from one node to another."""

    kind: int
    tail: Node
    head: Node
    usd: Mapping[Line, float] = field(default_factory=dict)
    """What one hive earns (positive) or costs on the way, by line. [USD]"""
    stands: tuple[str, int, int] | None = None
    """Yard, first and last evening on which these hives count there."""
    night: int | None = None
    """Night of the move, if it is one."""
    within: Span | None = None
    """Nights among which tours may choose."""
    frames: float = 0.0
    """Frames of bees counted on, each hive, on a move into an orchard."""
    supered: bool = False
    """Supers go on as soon as the move is done."""


@dataclass(frozen=True)
class Network:
    """All that the model and its reader look at."""

    carriage: Carriage
    kinds: tuple[Kind, ...]
    stands: Mapping[str, Stand]
    arcs: tuple[Arc, ...]
    starts: tuple[Node, ...]
    """Where each kind stands at the start."""
    room: Mapping[str, int]
    """Hives that each yard holds, those that may not travel taken off."""

    @property
    def operation(self) -> Operation:
        """The operation behind it."""
        return self.carriage.operation


def build_network(carriage: Carriage) -> Network:
    """Return the network of an operation.

    Raises
    ------
    OperationError
        If a contract's dates contradict each other.
    """
    operation = carriage.operation
    kinds = kinds_of(operation)
    counted = Counted(operation)
    stands = stands_of(counted, kinds)
    room = room_of(operation)
    builder = _Builder(carriage, counted, kinds, stands, tuple(name for name, hives in room.items() if hives > 0))
    arcs = tuple(arc for kind in range(len(kinds)) for arc in builder.arcs(kind))
    starts = tuple(builder.start(kind) for kind in range(len(kinds)))
    return Network(carriage, kinds, stands, arcs, starts, room)


@dataclass(frozen=True)
class _Builder:
    """Makes the arcs of one kind after another."""

    carriage: Carriage
    counted: Counted
    kinds: tuple[Kind, ...]
    stands: Mapping[str, Stand]
    yards: tuple[str, ...]

    @property
    def operation(self) -> Operation:
        return self.carriage.operation

    @property
    def last(self) -> int:
        """The evening after the last night."""
        return evening(self.operation, self.operation.last_night) + 1

    @property
    def rest(self) -> int:
        return floor(constant(self.operation, "rest_nights_between_blooms"))

    def start(self, kind: int) -> Node:
        group = self.kinds[kind].group
        return Node(group.yard, 0, has_supers(self.operation, group))

    def arcs(self, kind: int) -> Iterator[Arc]:
        group = self.kinds[kind].group
        strong = [
            one for one in self.stands.values()
            if one.nights_in and self.counted.strong_enough(group, one.contract, one.window.in_from)
        ]  # fmt: skip
        yards = self.yards if group.yard in self.yards else (*self.yards, group.yard)
        evenings = self._evenings()
        for yard in yards:
            yield from self._standing(kind, yard, evenings)
            for stand in strong:
                yield from self._moves_in(kind, yard, stand)
                yield from self._moves_out(kind, yard, stand)
        for stand in strong:
            if stand.window.out_from is None:
                yield Arc(kind, Node(stand.contract.name), END)
            yield from (arc for other in strong for arc in self._straight_on(kind, stand, other))

    def _evenings(self) -> list[int]:
        """Return the evenings on which something may change in a yard."""
        found = {0, self.last}
        for stand in self.stands.values():
            if stand.nights_in:
                found |= set(self.in_options(stand))
            if stand.nights_out:
                found |= {min(night + 1 + self.rest, self.last) for night in stand.nights_out}
        for flow in self.operation.honey_flows:
            found |= {evening(self.operation, flow.first_on) - 1, evening(self.operation, flow.last_on)}
        return sorted(one for one in found if 0 <= one <= self.last)

    def in_options(self, stand: Stand) -> tuple[int, ...]:
        first, last = stand.nights_in or (0, -1)
        before_out = last if stand.nights_out is None else min(last, stand.nights_out[0] - 1)
        return tuple(dict.fromkeys(night for night in (first, max(before_out, first))))

    def _standing(self, kind: int, yard: str, evenings: list[int]) -> Iterator[Arc]:
        group = self.kinds[kind].group
        supered = [self._may_be_supered(group, yard, one) for one in evenings]
        for index, (here, after) in enumerate(pairwise(evenings)):
            stands = (yard, here + 1, after)
            fed = self._feed_usd(yard, here, after)
            yield Arc(kind, Node(yard, here), Node(yard, after), {"feed": -fed} if fed else {}, stands)
            if supered[index] and supered[index + 1]:
                honey = self._honey_usd(kind, yard, here, after)
                terms: dict[Line, float] = {**({"honey": honey} if honey else {}), **({"feed": -fed} if fed else {})}
                yield Arc(kind, Node(yard, here, True), Node(yard, after, True), terms, stands)
        for here, may in zip(evenings, supered, strict=True):
            if may:
                on, off = (constant(self.operation, f"supers_{way}_usd_per_colony") for way in ("on", "off"))
                yield Arc(kind, Node(yard, here), Node(yard, here, True), {"supers on": -on})
                yield Arc(kind, Node(yard, here, True), Node(yard, here), {"supers off": -off})
        yield Arc(kind, Node(yard, self.last), END)
        if supered[-1] and group.yard == yard and has_supers(self.operation, group):
            yield Arc(kind, Node(yard, self.last, True), END)

    def _may_be_supered(self, group: HiveGroup, yard: str, here: int) -> bool:
        """Supers stand on during a flow; a group that comes with them keeps them in its yard until it travels."""
        if group.yard == yard and has_supers(self.operation, group):
            return True
        return any(
            evening(self.operation, flow.first_on) - 1 <= here <= evening(self.operation, flow.last_on)
            for flow in self._flows(yard)
        )  # fmt: skip

    def _flows(self, yard: str) -> tuple[HoneyFlow, ...]:
        return tuple(flow for flow in self.operation.honey_flows if flow.yard == yard)

    def _honey_usd(self, kind: int, yard: str, here: int, after: int) -> float:
        return honey_usd(self.counted, self.kinds[kind].group, (yard, here, after))

    def _feed_usd(self, yard: str, here: int, after: int) -> float:
        return feed_usd(self.operation, (yard, here, after), last_in=self._last_in())

    def _last_in(self) -> int:
        return max((one.nights_in[1] for one in self.stands.values() if one.nights_in), default=0)

    def _moves_in(self, kind: int, yard: str, stand: Stand) -> Iterator[Arc]:
        group, contract = self.kinds[kind].group, stand.contract
        within = stand.nights_in or (0, -1)
        usd = self._move_usd(group, yard, contract.name, within)
        for night in self.in_options(stand) if usd else ():
            frames = self.counted.frames(group, date(self.operation, night), contract)
            terms = {**usd, "bonus": bonus_usd(contract, frames)} if contract.bonus_usd_per_frame else usd
            yield Arc(kind, Node(yard, night), Node(contract.name), terms, None, night, within, frames)

    def _moves_out(self, kind: int, yard: str, stand: Stand) -> Iterator[Arc]:
        group, within = self.kinds[kind].group, stand.nights_out
        usd = self._move_usd(group, stand.contract.name, yard, within) if within else {}
        for night in dict.fromkeys(within or ()) if usd else ():
            back = min(night + 1 + self.rest, self.last)
            fed = self._feed_usd(yard, night + 1, back)
            terms = {**usd, "feed": -fed} if fed else usd
            stands = (yard, night + 1, back)
            came = Arc(kind, Node(stand.contract.name), Node(yard, back), terms, stands, night, within)
            yield came
            yield from self._resting_on_a_flow(came)

    def _resting_on_a_flow(self, came: Arc) -> Iterator[Arc]:
        """Yield the same move with supers put on at once, when the nights of rest bring honey."""
        yard, first, back = came.stands or ("", 0, 0)
        honey = self._honey_usd(came.kind, yard, first, back)
        if honey > 0.0:
            on, off = (constant(self.operation, f"supers_{way}_usd_per_colony") for way in ("on", "off"))
            terms: dict[Line, float] = {**came.usd, "honey": honey, "supers on": -on}
            yield replace(came, usd={**terms, "supers off": -off}, supered=True)
            if self._may_be_supered(self.kinds[came.kind].group, yard, back):
                yield replace(came, head=Node(yard, back, True), usd=terms, supered=True)

    def _straight_on(self, kind: int, stand: Stand, other: Stand) -> Iterator[Arc]:
        """Yield the move straight from one orchard to the next, on the first night that both allow."""
        if stand is other or stand.nights_out is None or other.nights_in is None:
            return
        ends = self.in_options(other)
        within = (max(stand.nights_out[0], ends[0]), min(stand.nights_out[1], ends[-1]))
        if within[0] > within[1]:
            return
        group, contract = self.kinds[kind].group, other.contract
        usd = self._move_usd(group, stand.contract.name, contract.name, within)
        if usd:
            frames = self.counted.frames(group, date(self.operation, within[0]), contract)
            terms = {**usd, "bonus": bonus_usd(contract, frames)} if contract.bonus_usd_per_frame else usd
            yield Arc(kind, Node(stand.contract.name), Node(contract.name), terms, None, within[0], within, frames)

    def _move_usd(self, group: HiveGroup, origin: str, destination: str, within: Span) -> dict[Line, float]:
        operation = self.operation
        leg = Leg(origin, destination, date(operation, within[0]), date(operation, within[1]))
        carried = self.carriage.usd_per_hive(group, leg)
        if carried is None:
            return {}
        lost = constant(operation, "move_loss_share") * constant(operation, "colony_value_usd")
        return {"moves": -carried, "losses on the road": -lost}
