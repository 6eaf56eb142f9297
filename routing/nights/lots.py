"""Which hives ride from where to where: what a draft night picks up is matched with what it sets down."""

from collections import defaultdict
from string import ascii_uppercase

from routing.nights.draft import DraftNight
from routing.nights.problem import Problem
from routing.nights.tour import Lot, Purpose

Ride = tuple[int, int, int]
"""Kind, number of the stop where it comes on, number of the stop where it goes off (0 is the first)."""


def rides(problem: Problem, night: DraftNight) -> dict[Ride, int] | None:
    """Return the units of each ride, or None when hives of a yard could only go to another yard.

    Hives set down in a yard come out of orchards; those set down in an orchard come out of yards first.
    """
    aboard: dict[int, dict[int, int]] = defaultdict(dict)
    found: dict[Ride, int] = defaultdict(int)
    for number, stop in enumerate(night.stops):
        to_yard = problem.sites[stop.place].kind == "yard"
        for kind, units in stop.set_down:
            left = units
            for start in sorted(aboard[kind], key=lambda s: (_from_yard(problem, night, s) == to_yard, s)):
                if to_yard and _from_yard(problem, night, start):
                    continue
                taken = min(left, aboard[kind][start])
                if taken:
                    found[kind, start, number] += taken
                    aboard[kind][start] -= taken
                    left -= taken
            if left:
                return None
        for kind, units in stop.picked_up:
            aboard[kind][number] = units
    return dict(found)


def _from_yard(problem: Problem, night: DraftNight, stop: int) -> bool:
    return problem.sites[night.stops[stop].place].kind == "yard"


def lots(problem: Problem, night: DraftNight) -> dict[Ride, Lot]:
    """Return the lots of a draft night, lettered in the order in which they come on.

    Raises
    ------
    ValueError
        If the draft night moves hives from yard to yard.
    """
    found = rides(problem, night)
    if found is None:
        raise ValueError(f"night {night.night} moves hives from yard to yard")
    return {
        ride: _lot(problem, night, ride, units, letter)
        for (ride, units), letter in zip(
            sorted(found.items(), key=lambda item: (item[0][1], item[0][2], item[0][0])), letters(len(found)), strict=True
        )
    }


def letters(count: int) -> list[str]:
    """Return ``count`` names A, B, ... Z, AA, AB, ..."""
    double = [first + second for first in ascii_uppercase for second in ascii_uppercase]
    return [*ascii_uppercase, *double][:count]


def _lot(problem: Problem, night: DraftNight, ride: Ride, units: int, letter: str) -> Lot:
    kind, start, end = problem.kinds[ride[0]], night.stops[ride[1]].place, night.stops[ride[2]].place
    return Lot(
        lot=letter, group=kind.group, hives=units * kind.hives, pallets=units if kind.palletised else 0,
        origin=start, destination=end, purpose=_purpose(problem, start, end),
    )


def _purpose(problem: Problem, origin: str, destination: str) -> Purpose:
    if problem.sites[origin].kind == "yard":
        return "in"
    return "out" if problem.sites[destination].kind == "yard" else "on to the next bloom"
