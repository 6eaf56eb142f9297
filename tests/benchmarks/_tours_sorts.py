"""Hives that a peer need not tell apart: one sort for all units that serve the same promises on the same decks."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from routing.nights.problem import Problem

Place = str


@dataclass(frozen=True)
class Sort:
    """Alike units of many groups. What is safe of the weakest and heaviest of them is safe of all."""

    kinds: tuple[int, ...]
    hives: int
    frames: float
    weight_lb: float
    fit: tuple[int, ...]
    """Units on an otherwise empty deck, by rig."""
    serves: tuple[str, ...]


@dataclass(frozen=True)
class Sorted:
    """A problem with its sorts, and how many units of each stand in each yard at first."""

    problem: Problem
    sorts: tuple[Sort, ...]
    stock: Mapping[tuple[Place, int], int]
    duty_min: tuple[float, ...]
    """Longest duty of each rig when every own rig has its own driver all season; 0 for one that is left without."""

    def as_problem(self) -> Problem:
        """Return the problem with sorts as its kinds, each rig with the hours of its own driver."""
        kinds = tuple(
            replace(self.problem.kinds[one.kinds[0]], hives=one.hives, frames=one.frames, weight_lb=one.weight_lb)
            for one in self.sorts
        )
        rigs = tuple(
            replace(rig, fit={sort: one.fit[index] for sort, one in enumerate(self.sorts)}, duty_min=self.duty_min[index])
            for index, rig in enumerate(self.problem.rigs)
        )
        return replace(self.problem, kinds=kinds, rigs=rigs, stock=self.stock)

    def share(self, sort: int, rig: int) -> float:
        """Return the share of a rig's deck that one unit takes; above 1 when it does not fit."""
        one, deck = self.sorts[sort], self.problem.rigs[rig]
        return max(1.0 / one.fit[rig], one.weight_lb / deck.payload_lb) if one.fit[rig] else 2.0

    def minutes(self, rig: int, place: Place, sort: int) -> float:
        """Return minutes to lift one unit on or off. [min]"""
        return self.problem.handling_min(self.problem.rigs[rig], place, self.sorts[sort].kinds[0])


def sorted_out(problem: Problem) -> Sorted:
    """Return the problem with its kinds put into sorts.

    Kinds of one sort lie on the same side of every average asked for by the promises that they serve.
    """
    alike: dict[tuple[object, ...], list[int]] = defaultdict(list)
    for kind, one in enumerate(problem.kinds):
        serves = tuple(name for name, promise in problem.promises.items() if kind in promise.kinds)
        above = tuple(one.frames >= problem.promises[name].min_average for name in serves)
        fit = tuple(rig.fit[kind] for rig in problem.rigs)
        alike[one.hives, one.palletised, one.footprint_in, serves, above, fit].append(kind)
    sorts = tuple(_sort(problem, tuple(kinds)) for kinds in alike.values())
    number = {kind: index for index, sort in enumerate(sorts) for kind in sort.kinds}
    stock: Counter[tuple[Place, int]] = Counter()
    for (yard, kind), units in problem.stock.items():
        stock[yard, number[kind]] += units
    return Sorted(problem, sorts, dict(stock), _duties(problem))


def _duties(problem: Problem) -> tuple[float, ...]:
    """Give each own rig a driver, those whom few can drive first, and who may work longest of those who can."""
    hours = {one.name: 60.0 * (one.most_duty_hours or 24.0) for one in problem.operation.drivers}
    found = [rig.duty_min if rig.hired else 0.0 for rig in problem.rigs]
    own = [index for index, rig in enumerate(problem.rigs) if not rig.hired]
    for index in sorted(own, key=lambda one: (len(problem.rigs[one].driven_by), one)):
        able = [name for name in problem.rigs[index].driven_by if name in hours]
        if able:
            found[index] = min(problem.rigs[index].duty_min, hours.pop(max(able, key=lambda name: hours[name])))
    return tuple(found)


def _sort(problem: Problem, kinds: tuple[int, ...]) -> Sort:
    listed = [problem.kinds[kind] for kind in kinds]
    return Sort(
        kinds=kinds, hives=listed[0].hives, frames=min(one.frames for one in listed),
        weight_lb=max(one.weight_lb for one in listed), fit=tuple(rig.fit[kinds[0]] for rig in problem.rigs),
        serves=tuple(name for name, promise in problem.promises.items() if kinds[0] in promise.kinds),
    )  # fmt: skip


class Standing:
    """What stands where, night after night, down to the single kinds.

    Hives that come to a place tonight may leave it from tomorrow on.
    """

    def __init__(self, problem: Sorted) -> None:
        """Begin with the hives as they stand in their yards."""
        self.of = problem
        self.there: Counter[tuple[Place, int]] = Counter(dict(problem.problem.stock))
        self.coming: list[tuple[Place, int, int]] = []

    def next_night(self) -> None:
        """Let what came last night be taken from now on."""
        for place, kind, units in self.coming:
            self.there[place, kind] += units
        self.coming = []

    def had(self, place: Place, sort: int) -> int:
        """Return the units of a sort that may be taken tonight."""
        return sum(self.there[place, kind] for kind in self.of.sorts[sort].kinds)

    def take(self, place: Place, sort: int, units: int) -> Iterator[tuple[int, int]]:
        """Take units of a sort, of few kinds; yield (kind, units), fewer when there are fewer."""
        while units > 0:
            had = [kind for kind in self.of.sorts[sort].kinds if self.there[place, kind] > 0]
            if not had:
                return
            kind = min(had, key=lambda one: (self.there[place, one] < units, -self.there[place, one], one))
            many = min(units, self.there[place, kind])
            self.there[place, kind] -= many
            units -= many
            yield kind, many

    def bring(self, place: Place, kind: int, units: int) -> None:
        """Set units down, to be taken from the next night on."""
        self.coming.append((place, kind, units))
