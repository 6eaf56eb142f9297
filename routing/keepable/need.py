"""What a contract needs of the stock of hives: how many, how strong, and when at the same time as others."""

from collections.abc import Mapping
from dataclasses import dataclass

from routing.keepable.reach import Reach
from routing.nights.problem import Problem, Promise

FOREVER = 10**6


@dataclass(frozen=True)
class Need:
    """One contract's side of the supply model."""

    contract: str
    colonies: int
    over: int
    """Colonies beyond the promise that are taken."""
    average: float | None
    """Least average asked for; None when a weak lot is taken at a price. [frames]"""
    kinds: tuple[int, ...]
    """Kinds strong enough that can be brought."""
    stands: tuple[int, int] | None = None
    """First and last night after which everything delivered stands in the orchard for certain; None: none."""
    again: bool = False
    """True when hives could leave and come back within the window in: the stock then bounds nothing."""


def need_of(reach: Reach, promise: Promise, *, on_time: bool = False) -> Need:
    """Return what a promise needs; ``on_time`` counts hives set down late as missing."""
    nights = reach.nights_in(promise)
    if on_time:
        nights = tuple(night for night in nights if night <= promise.in_last)
    last_in = max(nights, default=None)
    gone = min(reach.nights_out(promise), default=FOREVER)
    stands = None if last_in is None or last_in >= gone else (last_in, gone - 1)
    return Need(
        contract=promise.name, colonies=promise.colonies, over=promise.over,
        average=promise.min_average if promise.usd_weak is None else None,
        kinds=reach.kinds(promise, nights) if nights else (),
        stands=stands, again=last_in is not None and last_in > gone,
    )  # fmt: skip


def needs_of(problem: Problem, reach: Reach) -> Mapping[str, Need]:
    """Return what every promise needs, by name."""
    return {name: need_of(reach, promise) for name, promise in problem.promises.items()}


def at_once(needs: Mapping[str, Need]) -> tuple[tuple[int, tuple[str, ...]], ...]:
    """Return the largest sets of contracts that hold their hives on one common night, each with such a night.

    Stays that overlap in pairs overlap all at once on a line (Helly), and each largest set is met on the
    first night of one of its stays.
    """
    stays = {name: need.stands for name, need in needs.items() if need.stands is not None}
    found: dict[frozenset[str], int] = {}
    for night in sorted({first for first, _ in stays.values()}):
        there = frozenset(name for name, (first, last) in stays.items() if first <= night <= last)
        found.setdefault(there, night)
    largest = [there for there in found if not any(there < other for other in found)]
    return tuple((found[there], tuple(name for name in needs if name in there)) for there in largest)
