"""Why the stock of hives is too small for a contract, or for several at once: in words, with the figures."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.keepable.access import no_load, no_night
from routing.keepable.need import Need, at_once, need_of, needs_of
from routing.keepable.reach import Reach, shortest_ways
from routing.keepable.solve import least_missing
from routing.keepable.words import colonies, counted, frames, listed, more_than, nights_span
from routing.nights.problem import Problem, Promise
from routing.strength.inspection import latest_inspection


@dataclass(frozen=True)
class Stock:
    """A problem as the exact models see it."""

    problem: Problem

    @cached_property
    def reach(self) -> Reach:
        """What can be brought where."""
        return Reach(shortest_ways(self.problem))

    @cached_property
    def needs(self) -> dict[str, Need]:
        """What each contract needs of the stock."""
        return dict(needs_of(self.problem, self.reach))

    def contract(self, name: str) -> Contract:
        """Return a contract by name."""
        return next(one for one in self.problem.operation.contracts if one.name == name)

    def least(self, *needs: Need) -> int:
        """Return the colonies that must be missing over some needs, whatever the plan."""
        return least_missing(needs, self.problem.kinds).proven

    def cannot_leave(self, promise: Promise) -> bool:
        """Tell whether hives brought to an orchard could in no plan be taken out on its nights out."""
        kinds = self.needs[promise.name].kinds
        return promise.out is not None and bool(kinds) and not self.reach.leaves(promise, kinds)

    def not_opened(self) -> tuple[str, ...]:
        """Return the groups that may travel and whose frames of bees were not written down."""
        groups = (one for one in self.problem.operation.hive_groups if one.may_travel)
        return tuple(one.name for one in groups if latest_inspection(self.problem.operation, one).mean_frames is None)

    def hives(self, kinds: Iterable[int]) -> int:
        """Return the hives of some kinds."""
        return sum(self.problem.kinds[kind].units * self.problem.kinds[kind].hives for kind in kinds)

    def groups(self, kinds: Iterable[int]) -> tuple[str, ...]:
        """Return the groups of some kinds, strongest first, each with its frames."""
        stock = [self.problem.kinds[kind] for kind in kinds]
        chosen = sorted(stock, key=lambda one: (-one.frames, one.group))
        return tuple(dict.fromkeys(f"{one.group}: {frames(one.frames)}" for one in chosen))


@dataclass(frozen=True)
class Together:
    """Contracts that hold their hives on one common night, and what must be missing over all of them."""

    night: int
    names: tuple[str, ...]
    missing: int


def why_missing(stock: Stock, promise: Promise, *, on_time: bool = False) -> str:
    """Return why colonies of one contract must be missing whatever the plan, as one clause or more.

    ``on_time`` counts hives set down late as missing.
    """
    last = promise.in_last if on_time else promise.late_last
    night = no_night(stock.reach, promise.name, promise.in_first, last)
    if night is not None:
        return night
    need = need_of(stock.reach, promise, on_time=on_time)
    lost = tuple(kind for kind in promise.kinds if kind not in need.kinds)
    nights = stock.reach.nights(promise.name, range(promise.in_first, last + 1))
    if not lost:
        return _too_few(stock, promise, need)
    away = no_load(stock.reach, promise.name, lost, nights)
    if not need.kinds:
        return f"{counted(stock.hives(lost), 'hive')} would do, but no load of them can come: {away}"
    more = f"{stock.hives(lost)} more would do, but no load of them can come: {away}"
    return f"{_too_few(stock, promise, need)}; {more}"


def _too_few(stock: Stock, promise: Promise, need: Need) -> str:
    most = need.colonies - stock.least(need)
    there, shown = stock.hives(need.kinds), listed(stock.groups(need.kinds))
    if not need.kinds:
        unknown = stock.not_opened()
        told = f" (frames of bees were not written down for {listed(unknown)})" if unknown else ""
        return f"there is no group of hives that may travel and is strong enough in each colony{told}"
    if there < need.colonies:
        more = f", and no more than {most} of them together" if most < there else ""
        return f"only {counted(there, 'such hive')} can be had ({shown}){more}"
    if stock.least(replace(need, average=None)) == 0:
        return (
            f"{there} hives are strong enough in each colony ({shown}), but no choice of {more_than(most)} of "
            f"them has an average of {frames(promise.min_average)}"
        )
    sizes = sorted({stock.problem.kinds[kind].hives for kind in need.kinds})
    beyond = f"no more than {need.over} beyond the promise are" if need.over else "none beyond the promise is"
    return (
        f"the hives stand on pallets of {listed(str(size) for size in sizes)}, which are not broken up, and "
        f"{beyond} taken: whole pallets come to {most}"
    )


def wish(stock: Stock, promise: Promise) -> str:
    """Return what a contract asks for; strengths only where strength is in question."""
    if (promise.kinds and not stock.needs[promise.name].kinds) or stock.cannot_leave(promise):
        return f"{promise.name} wants {colonies(promise.colonies)}"
    floor = stock.contract(promise.name).min_colony_frames
    below = constant(stock.problem.operation, "below_floor_share")
    asked = f"{promise.name} wants {colonies(promise.colonies)}"
    if promise.min_average > 0:
        asked += f" with an average of {frames(promise.min_average)} or more"
    if floor > 0:
        asked += f", single colonies of at least {frames(floor)} ({below:.0%} of a group may be under it)"
    return asked


def together(stock: Stock, name: str) -> tuple[Together, ...]:
    """Return the sets of contracts with ``name`` that lack more hives at once than each by itself."""
    found = []
    for night, names in at_once(stock.needs):
        needs = [stock.needs[one] for one in names]
        missing = stock.least(*needs) if name in names else 0
        if missing > sum(stock.least(need) for need in needs):
            found.append(Together(night, names, missing))
    return tuple(found)


def why_together(stock: Stock, shared: Together) -> str:
    """Return why colonies must be missing over contracts that hold their hives at once."""
    wanted = sum(stock.needs[name].colonies for name in shared.names)
    night = nights_span(stock.problem, shared.night, shared.night)
    return (
        f"{listed(shared.names)} all hold their hives on the night of {night}; together they want "
        f"{colonies(wanted)}, and no choice of hives gives them more than {wanted - shared.missing}"
    )
