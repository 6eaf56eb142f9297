"""What is arranged already, across rows: nights of the season, stops that are one place, hives that were there."""

import datetime as dt
from collections import Counter
from collections.abc import Iterator

from routing.inputs.arranged import Arranged
from routing.inputs.faults import Flaw, shown
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup

Said = tuple[str, str, str]
"""Column, what was found, what is allowed."""


def arranged_flaws(operation: Operation) -> Iterator[Flaw]:
    """Yield what is wrong with the next night and with the rows of what is arranged."""
    first, last, following = operation.first_night, operation.last_night, operation.next_night
    if following is not None and not first <= following <= last:
        yield Flaw(table="operation", index=0, column="next_night", found=shown(following), allowed=f"a night from {first} to {last}",
                   uses=("first_night", "last_night"))  # fmt: skip
    for index, row in enumerate(operation.arranged):
        for column, found, allowed in (*_row(operation, row), *_whole(operation, row)):
            yield Flaw(table="arranged", index=index, column=column, found=found, allowed=allowed)
    yield from _one_place_a_stop(operation)
    yield from _were_there(operation)


def _row(operation: Operation, row: Arranged) -> Iterator[Said]:
    first, last = operation.first_night, operation.last_night
    if not first <= row.night <= last:
        yield ("night", shown(row.night), f"a night of the season, {first} to {last}")
    if row.destination_stop <= row.origin_stop:
        yield ("destination_stop", shown(row.destination_stop), f"a stop after {row.origin_stop}, where the lot is picked up")
    if row.origin == row.destination:
        yield ("destination", shown(row.destination), "another place than the origin")
    if row.done and row.night >= (operation.next_night or first):
        ahead = operation.next_night or "the season's first, as next_night is empty"
        yield ("done", "yes", f"no for a night that is still to be planned; the next night is {ahead}")


def _whole(operation: Operation, row: Arranged) -> Iterator[Said]:
    """A lot is whole pallets, with the group's part-filled one or without."""
    group = next((one for one in operation.hive_groups if one.name == row.group), None)
    if group is None or not row.done:
        return
    each = pallet_hives(operation, group)
    rest = row.hives % each
    if rest and rest != group.hives % each:
        part = f", with the last one of {group.hives % each} or without" if group.hives % each else ""
        yield ("hives", shown(row.hives), f"hives of whole pallets of {each}{part}")


def pallet_hives(operation: Operation, group: HiveGroup) -> int:
    """Return how many hives of a group are lifted at once."""
    return next((one.hives for one in operation.pallets if one.name == group.pallet), 1)


def _one_place_a_stop(operation: Operation) -> Iterator[Flaw]:
    known: dict[tuple[str, dt.date, int], str] = {}
    for index, row in enumerate(operation.arranged):
        for column, number, place in (("origin", row.origin_stop, row.origin), ("destination", row.destination_stop, row.destination)):
            before = known.setdefault((row.truck, row.night, number), place)
            if before != place:
                yield Flaw(table="arranged", index=index, column=column, found=shown(place),
                           allowed=f"{shown(before)}, as another row has it for stop {number} of {row.truck} on {row.night}")  # fmt: skip


def _were_there(operation: Operation) -> Iterator[Flaw]:
    """Yield lots that are done and took more of a group than stood at their origin."""
    there: Counter[tuple[str, str]] = Counter({(one.yard, one.name): one.hives for one in operation.hive_groups})
    done = [(row.night, row.origin_stop, index, row) for index, row in enumerate(operation.arranged) if row.done]
    for _, _, index, row in sorted(done, key=lambda one: one[:3]):
        had = there[row.origin, row.group]
        if row.hives > had:
            allowed = f"at most the {had} hives of {row.group} that stood at {row.origin} on {row.night}"
            yield Flaw(table="arranged", index=index, column="hives", found=shown(row.hives), allowed=allowed)
            return
        there[row.origin, row.group] -= row.hives
        there[row.destination, row.group] += row.hives
