"""Kinds that serve the same promises alike are planned as one, a blend, and told apart again afterwards.

A blend's strength is that of its weakest kind, its weight that of its heaviest, its bonus the least: whatever
kinds are loaded for it, promises and decks that hold for the blend hold for them. The search has fewer things to
choose between, and no plan is tied to which of two like groups went where.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from routing.nights.draft import DraftNight, DraftStop, Units
from routing.nights.lots import rides
from routing.nights.problem import Problem, Promise, Rig, UnitKind
from routing.nights.segments import segments
from routing.nights.slot import segment_of

Members = tuple[tuple[int, ...], ...]


@dataclass(frozen=True)
class Blended:
    """The problem with blends as its kinds, and the kinds of each."""

    fine: Problem
    problem: Problem
    members: Members


def blend(problem: Problem, *, hopeful: bool = False) -> Blended:
    """Return the problem with like kinds blended.

    Parameters
    ----------
    problem
        The operation in numbers.
    hopeful
        A blend is then as strong as its strongest kind, as light as its lightest, and misses the least bonus: every
        plan of the kinds is one of the blends and costs no more there, so that a bound on these is a bound on those.
    """
    found: dict[tuple[object, ...], list[int]] = defaultdict(list)
    for kind in range(len(problem.kinds)):
        found[_likeness(problem, kind)].append(kind)
    members = tuple(tuple(alike) for alike in found.values())
    number = {kind: index for index, alike in enumerate(members) for kind in alike}
    stock: Counter[tuple[str, int]] = Counter()
    for (yard, kind), units in problem.stock.items():
        stock[yard, number[kind]] += units
    return Blended(problem, replace(
        problem,
        kinds=tuple(_one_kind(problem, alike, hopeful=hopeful) for alike in members),
        stock=dict(stock),
        rigs=tuple(_rig(rig, members) for rig in problem.rigs),
        promises={name: _promise(one, members, number, hopeful=hopeful) for name, one in problem.promises.items()},
        done=tuple(_numbered(one, number) for one in problem.done),
        told=replace(problem.told, nights=tuple(_numbered(one, number) for one in problem.told.nights)),
    ), members)


def _numbered(night: DraftNight, number: Mapping[int, int]) -> DraftNight:
    """Return a draft night of kinds as one of blends."""
    def blended(units: Units) -> Units:
        total: Counter[int] = Counter()
        for kind, many in units:
            total[number[kind]] += many
        return tuple(sorted(total.items()))
    return replace(night, stops=tuple(DraftStop(one.place, blended(one.picked_up), blended(one.set_down)) for one in night.stops))


def _likeness(problem: Problem, kind: int) -> tuple[object, ...]:
    """Return what two kinds must have in common to be blended; strengths on the same side of every average asked."""
    one = problem.kinds[kind]
    serves = tuple(name for name, promise in problem.promises.items() if kind in promise.kinds)
    averages = tuple(one.frames >= problem.promises[name].min_average for name in serves)
    decks = tuple((rig.fit[kind], rig.tiers[kind]) for rig in problem.rigs)
    # Which group went where on a night that is done is a fact.
    itself = kind if problem.done else -1
    return one.hives, one.palletised, one.footprint_in, serves, averages, decks, itself


def _one_kind(problem: Problem, alike: tuple[int, ...], *, hopeful: bool) -> UnitKind:
    listed = [problem.kinds[kind] for kind in alike]
    heavy, strong = (min, max) if hopeful else (max, min)
    return replace(
        listed[0], units=sum(one.units for one in listed), weight_lb=heavy(one.weight_lb for one in listed),
        frames=strong(one.frames for one in listed),
    )


def _rig(rig: Rig, members: Members) -> Rig:
    return replace(
        rig, fit={index: rig.fit[alike[0]] for index, alike in enumerate(members)},
        tiers={index: rig.tiers[alike[0]] for index, alike in enumerate(members)},
    )


def _promise(promise: Promise, members: Members, number: Mapping[int, int], *, hopeful: bool) -> Promise:
    kinds = tuple(sorted({number[kind] for kind in promise.kinds}))
    of_all = min if hopeful else max
    missed = {index: of_all(promise.usd_bonus_missed[kind] for kind in members[index]) for index in kinds}
    return replace(promise, kinds=kinds, usd_bonus_missed=missed)


def tell_apart(blended: Blended, nights: tuple[DraftNight, ...]) -> tuple[DraftNight, ...]:
    """Return a draft of blends as a draft of kinds, with few kinds to a stop.

    Parameters
    ----------
    blended
        The problem, blended.
    nights
        A draft of the blended problem, in order of nights.

    Raises
    ------
    ValueError
        If the draft moves what is not there.
    """
    pieces = segments(blended.fine)
    there: dict[str, Counter[int]] = defaultdict(Counter)
    for (yard, kind), units in blended.fine.stock.items():
        there[yard][kind] += units
    coming: list[tuple[int, str, int, int]] = []
    found = []
    for night in sorted(nights, key=lambda one: (one.night, one.rig)):
        now = segment_of(pieces, night.night)
        for segment, place, kind, units in [one for one in coming if one[0] < now]:
            there[place][kind] += units
            coming.remove((segment, place, kind, units))
        found.append(_apart(blended, night, there))
        for stop in found[-1].stops:
            for kind, units in stop.set_down:
                if blended.fine.sites[stop.place].kind == "yard":
                    coming.append((now, stop.place, kind, units))
                else:
                    there[stop.place][kind] += units
    return tuple(found)


def _apart(blended: Blended, night: DraftNight, there: Mapping[str, Counter[int]]) -> DraftNight:
    """Choose kinds for each ride where it comes on; they go off where it ends, and nowhere else."""
    riding = rides(blended.problem, night)
    if riding is None:
        raise ValueError("the draft moves hives from yard to yard")
    on = [Counter[int]() for _ in night.stops]
    off = [Counter[int]() for _ in night.stops]
    for (index, start, end), units in sorted(riding.items(), key=lambda one: (one[0][1], one[0][2], one[0][0])):
        chosen = _choose(blended.members, ((index, units),), there[night.stops[start].place])
        on[start].update(chosen)
        off[end].update(chosen)
    return replace(night, stops=tuple(
        DraftStop(stop.place, tuple(sorted(came.items())), tuple(sorted(went.items())))
        for stop, came, went in zip(night.stops, on, off, strict=True)
    ))  # fmt: skip


def _choose(members: Members, wanted: Units, had: Counter[int]) -> Counter[int]:
    """Take units of each blend out of what is there, few kinds of them, and return the kinds taken."""
    taken: Counter[int] = Counter()
    for index, units in wanted:
        left = units
        while left:
            kind = _next(members[index], left, had)
            many = min(left, had[kind])
            taken[kind] += many
            had[kind] -= many
            left -= many
    return taken


def _next(alike: Iterable[int], wanted: int, had: Counter[int]) -> int:
    """Return the kind whose units just suffice, else the one with the most."""
    there = [kind for kind in alike if had[kind] > 0]
    if not there:
        raise ValueError("the draft moves hives that are not there")
    return min(there, key=lambda kind: (had[kind] < wanted, had[kind] if had[kind] >= wanted else -had[kind], kind))
