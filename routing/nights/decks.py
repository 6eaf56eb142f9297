"""What a rig's deck takes when units of several sizes ride together: rows of one size, shares that hold for any mix."""

from collections.abc import Iterable, Mapping

from routing.loads.mixed import Row, Sized, densest_row, most_worth
from routing.nights.problem import Problem, Rig

Size = tuple[float, float]
WHOLE = 1.0 + 1e-9


def by_size(problem: Problem, kinds: Iterable[int]) -> Mapping[Size, tuple[int, ...]]:
    """Return the kinds of each footprint."""
    found: dict[Size, list[int]] = {}
    for kind in kinds:
        found.setdefault(problem.kinds[kind].footprint_in, []).append(kind)
    return {size: tuple(alike) for size, alike in sorted(found.items())}


def row_of(problem: Problem, rig: Rig, alike: Iterable[int]) -> Row | None:
    """Return the densest row of kinds of one footprint, its layers counted in; None when they do not fit."""
    listed = list(alike)
    length_in, width_in = problem.kinds[listed[0]].footprint_in
    row = densest_row(rig.deck_in[1], length_in=length_in, width_in=width_in)
    tiers = min(rig.tiers[kind] for kind in listed)
    return Row(row.length_in, row.units * tiers) if row and tiers else None


def most_on_deck(problem: Problem, rig: Rig, worth: Mapping[int, float]) -> float:
    """Return an upper bound on what one deck of units is worth, whatever the mix.

    Parameters
    ----------
    problem, rig
        The kinds and the deck.
    worth
        Of one unit of each kind that may ride. >= 0.

    Returns
    -------
    float
        The least of what rows and lanes, the payload, the counts of each kind alone and the units had allow.
    """
    riding = {kind: each for kind, each in worth.items() if rig.fit[kind] and each > 0.0}
    if not riding:
        return 0.0
    bounds = [_most_of_any(problem, rig, riding)]
    for alike in alike_on_deck(problem, rig, riding):
        had = sum(problem.kinds[kind].units * riding[kind] for kind in alike)
        others = {kind: each for kind, each in riding.items() if kind not in alike}
        bounds.append(had + (_most_of_any(problem, rig, others) if others else 0.0))
    return min(bounds)


def _most_of_any(problem: Problem, rig: Rig, riding: Mapping[int, float]) -> float:
    """Return what one deck is at most worth when there are any number of units of each kind."""
    best: dict[Size, float] = {}
    for kind, each in riding.items():
        size = problem.kinds[kind].footprint_in
        best[size] = max(best.get(size, 0.0), each * rig.tiers[kind])
    by_rows = most_worth(*rig.deck_in, tuple(Sized(*size, each) for size, each in sorted(best.items())))
    by_weight = rig.payload_lb * max(each / problem.kinds[kind].weight_lb for kind, each in riding.items())
    alone = [max(rig.fit[kind] * riding[kind] for kind in alike) for alike in alike_on_deck(problem, rig, riding)]
    return min(by_rows, by_weight, sum(alone))


def shares(problem: Problem, rig: Rig, kinds: Iterable[int]) -> Mapping[int, float]:
    """Return the share of a deck that a unit of each kind takes, such that no deck's shares sum to more than one.

    Kinds that fill a deck alike share it exactly: one part in as many as fit. Where sizes mix, a deck may hold
    more than the parts of each alone would say; the sizes with the fewest hives then count as smaller parts.
    """
    left = sorted(
        alike_on_deck(problem, rig, [kind for kind in kinds if rig.fit[kind]]),
        key=lambda alike: (-sum(problem.kinds[kind].units * problem.kinds[kind].hives for kind in alike), alike),
    )
    found: dict[int, float] = {}
    for alike in left:
        fit = rig.fit[alike[0]]
        tried = (1.0 / parts for parts in range(fit, 2 * fit + 1, max(1, fit // 8)))
        each = (one for one in tried if most_on_deck(problem, rig, found | dict.fromkeys(alike, one)) <= WHOLE)
        # Units so small that they stand in what others leave over may take no share at all.
        found |= dict.fromkeys(alike, next(each, 0.0))
    return found


def alike_on_deck(problem: Problem, rig: Rig, kinds: Iterable[int]) -> list[tuple[int, ...]]:
    """Return kinds that fill a deck alike together: same footprint, layers and count; then counts add up exactly."""
    found: dict[tuple[Size, int, int], list[int]] = {}
    for kind in kinds:
        found.setdefault((problem.kinds[kind].footprint_in, rig.tiers[kind], rig.fit[kind]), []).append(kind)
    return [tuple(alike) for alike in found.values()]
