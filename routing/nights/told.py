"""What is arranged, in the numbers of the search: done nights, and what growers and drivers know of those to come.

Rows of one truck and night are one truck-night. Rows that are not done, on nights before the next, did not happen.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from routing.errors import OperationError
from routing.inputs.arranged import Arranged
from routing.inputs.constants import constant
from routing.inputs.faults import Fault
from routing.inputs.operation import Operation
from routing.nights.draft_night import DraftNight, DraftStop

Move = tuple[str, int, bool]
"""Orchard, night, inward."""
Size = tuple[str, int]
"""Group, hives of one unit."""


@dataclass(frozen=True)
class Told:
    """What is told of the nights to come, and what it costs to do otherwise."""

    hives: Mapping[Move, int]
    runs: frozenset[tuple[str, int]]
    """(truck, night)."""
    nights: tuple[DraftNight, ...]
    """As told; they may no longer be possible."""
    usd_per_colony: float
    usd_per_run: float


NOTHING_TOLD = Told({}, frozenset(), (), 0.0, 0.0)
"""Of a plan that nobody knows of yet."""


def arranged(
    operation: Operation, rigs: Mapping[str, int], sizes: Mapping[Size, int]
) -> tuple[tuple[DraftNight, ...], Told]:
    """Return the truck-nights that are done, and what is told of those to come.

    Raises
    ------
    OperationError
        If a row that is done is of a truck that nobody may drive, or of hives that may not travel.
    """
    ahead = rows_ahead(operation)
    told = Told(
        hives=hives_told(operation, ahead),
        runs=frozenset((row.truck, (row.night - operation.first_night).days) for row in ahead),
        nights=drafts(operation, ahead, rigs, sizes, strict=False),
        usd_per_colony=constant(operation, "change_usd_per_colony"),
        usd_per_run=constant(operation, "change_usd_per_truck_night"),
    )
    return drafts(operation, [row for row in operation.arranged if row.done], rigs, sizes, strict=True), told


def rows_ahead(operation: Operation) -> tuple[Arranged, ...]:
    """Return the rows that are told for nights still to be planned."""
    following = operation.next_night or operation.first_night
    return tuple(row for row in operation.arranged if not row.done and row.night >= following)


def hives_told(operation: Operation, rows: Iterable[Arranged]) -> dict[Move, int]:
    """Return the hives told to come to, or leave, each orchard on each night."""
    orchards = {one.name for one in operation.contracts}
    found: Counter[Move] = Counter()
    for row in rows:
        night = (row.night - operation.first_night).days
        for place, inward in ((row.destination, True), (row.origin, False)):
            if place in orchards:
                found[place, night, inward] += row.hives
    return dict(found)


def drafts(
    operation: Operation, rows: Iterable[Arranged], rigs: Mapping[str, int], sizes: Mapping[Size, int], *, strict: bool
) -> tuple[DraftNight, ...]:
    """Return the truck-nights of arranged rows.

    Parameters
    ----------
    operation
        Its rows of what is arranged.
    rows
        Some of them.
    rigs
        Number of each truck that someone may drive.
    sizes
        Number of each unit kind.
    strict
        Whether a row that cannot be told in these numbers is a fault; else the row is left out.

    Raises
    ------
    OperationError
        If a row is of a truck that nobody may drive, or of hives that may not travel.
    """
    found: dict[tuple[int, int], dict[int, _Stop]] = defaultdict(dict)
    faults = []
    for row in rows:
        units = _units(row, sizes)
        if row.truck not in rigs or units is None:
            faults.append(_fault(operation, row, "truck" if row.truck not in rigs else "group"))
            continue
        stops = found[(row.night - operation.first_night).days, rigs[row.truck]]
        for number, place, sign in ((row.origin_stop, row.origin, 0), (row.destination_stop, row.destination, 1)):
            stop = stops.setdefault(number, _Stop(place, (Counter(), Counter())))
            stop.lifted[sign].update(units)
    if faults and strict:
        raise OperationError(tuple(faults))
    return tuple(
        DraftNight(rig, night, tuple(one.draft() for _, one in sorted(stops.items())))
        for (night, rig), stops in sorted(found.items())
    )


@dataclass(frozen=True)
class _Stop:
    place: str
    lifted: tuple[Counter[int], Counter[int]]

    def draft(self) -> DraftStop:
        on, off = (tuple(sorted(one.items())) for one in self.lifted)
        return DraftStop(self.place, on, off)


def _units(row: Arranged, sizes: Mapping[Size, int]) -> Counter[int] | None:
    """Return the units of a lot by kind: whole ones first; None when its group has no such units."""
    left, found = row.hives, Counter[int]()
    for hives in sorted((size for group, size in sizes if group == row.group), reverse=True):
        if left >= hives:
            full = hives == max(size for group, size in sizes if group == row.group)
            many = left // hives if full else 1
            found[sizes[row.group, hives]] += many
            left -= many * hives
    return found if left == 0 and found else None


def _fault(operation: Operation, row: Arranged, column: str) -> Fault:
    allowed = "a truck that someone of the drivers may drive" if column == "truck" else "a group whose hives may travel"
    value = row.truck if column == "truck" else row.group
    return Fault(file="operation", path=f"arranged[{operation.arranged.index(row)}].{column}", found=repr(value), allowed=allowed)
