"""Frames of bees across columns: what an inspection tells must be whole, readable, and fit the boxes."""

from collections.abc import Iterator
from typing import Literal, NamedTuple

from routing.inputs.faults import Flaw, shown
from routing.inputs.frames import frames_seen
from routing.inputs.inspections import InspectionRow
from routing.inputs.yard import HiveGroup

_MEANS = ("frames_mean", "frames_sd", "hives_inspected")


class Told(NamedTuple):
    """One row that tells of an inspection, and what it is judged by."""

    table: Literal["hive_groups", "inspections"]
    number: int
    """Row of the table, from 0."""
    row: HiveGroup | InspectionRow
    hives: int
    """Hives that there were to open."""
    room: int
    """Frames that the boxes hold; 0 when the boxes are not known."""
    build: str

    def flaw(self, column: str, found: str, allowed: str, *uses: str) -> Flaw:
        """Return a flaw of this row."""
        return Flaw(table=self.table, index=self.number, column=column, found=found, allowed=allowed, uses=uses)


def frames_flaws(told: Told) -> Iterator[Flaw]:
    """Yield what is wrong with the frames of bees that one row tells of."""
    means = {name: getattr(told.row, name) for name in _MEANS}
    if told.row.frames_seen is None:
        yield from _mean_flaws(told, [name for name, value in means.items() if value is None])
        return
    for name, value in means.items():
        if value is not None:
            yield told.flaw(name, shown(value), "nothing, since frames seen is filled", "frames_seen")
    try:
        seen = frames_seen(told.row.frames_seen)
    except ValueError as error:
        found = f"a text in which {str(error).removesuffix('.')}"
        yield told.flaw("frames_seen", found, "such as 8, 9.5, 7 or 8x5, 9x3")
        return
    if len(seen) > told.hives:
        allowed = f"at most the {told.hives} of the group{_alive(told)}"
        yield told.flaw("frames_seen", f"{len(seen)} hives opened", allowed, *_hives(told))
    if told.room and max(seen) > told.room:
        found = f"a hive of {max(seen):g} frames"
        yield told.flaw("frames_seen", found, _most(told), *_build(told))


def _mean_flaws(told: Told, missing: list[str]) -> Iterator[Flaw]:
    if len(missing) == 3:
        allowed = "frames seen, or their mean, spread and the hives inspected"
        yield told.flaw("frames_seen", "nothing", allowed, *_MEANS)
    else:
        for name in missing:
            allowed = "mean, spread and hives inspected all three, or frames seen instead"
            yield told.flaw(name, "nothing", allowed, "frames_seen")
    opened = told.row.hives_inspected
    if opened is not None and opened > told.hives:
        allowed = f"at most the {told.hives} hives of the group{_alive(told)}"
        yield told.flaw("hives_inspected", str(opened), allowed, *_hives(told))
    mean = told.row.frames_mean
    if mean is not None and told.room and mean > told.room:
        yield told.flaw("frames_mean", shown(mean), _most(told), *_build(told))


def _most(told: Told) -> str:
    return f"at most the {told.room} frames of build '{told.build}'"


def _alive(told: Told) -> str:
    return " alive that day" if isinstance(told.row, InspectionRow) and told.row.hives_alive else ""


def _hives(told: Told) -> tuple[str, ...]:
    return ("hives",) if told.table == "hive_groups" else ("group", "hives_alive", "hive_groups")


def _build(told: Told) -> tuple[str, ...]:
    if told.table == "hive_groups":
        return ("build", "boxes", "hive_builds")
    return ("group", "hive_groups", "boxes", "hive_builds")
