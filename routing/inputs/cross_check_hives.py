"""Hives across rows: builds and their boxes, groups and what was seen in them."""

from collections import defaultdict
from collections.abc import Iterator
from math import ceil

from routing.inputs.build import measure
from routing.inputs.cross_check_frames import Told, frames_flaws
from routing.inputs.faults import Flaw, shown
from routing.inputs.hive import LEAST_HIVE_LB, Box, HiveBuild
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup

FEEDERS_AMONG_FRAMES = ("frame feeder", "division board feeder")


def hive_flaws(operation: Operation) -> Iterator[Flaw]:
    """Yield what is wrong with builds, boxes and hive groups."""
    boxes: dict[str, list[Box]] = defaultdict(list)
    for box in operation.boxes:
        boxes[box.build].append(box)
    builds = {build.name: build for build in operation.hive_builds}
    for index, build in enumerate(operation.hive_builds):
        yield from _build_flaws(index, build, boxes[build.name])
        yield from _too_light(index, build, operation)
    for index, box in enumerate(operation.boxes):
        yield from _box_flaws(index, box, builds.get(box.build))
    for index, group in enumerate(operation.hive_groups):
        if group.build in builds:
            yield from _group_flaws(index, group, builds[group.build])
            room = _room(builds[group.build], boxes[group.build])
            yield from frames_flaws(Told("hive_groups", index, group, group.hives, room, group.build))
    yield from _inspection_flaws(operation, builds, boxes)
    yield from _too_many_in_yard(operation)


def _build_flaws(index: int, build: HiveBuild, boxes: list[Box]) -> Iterator[Flaw]:
    def flaw(column: str, found: str, allowed: str, *uses: str) -> Flaw:
        return Flaw(table="hive_builds", index=index, column=column, found=found, allowed=allowed, uses=uses)

    positions = sorted(box.position for box in boxes)
    stack = [box.role for box in sorted(boxes, key=lambda box: box.position)]
    if positions != list(range(1, len(boxes) + 1)) or not boxes:
        found = f"boxes at {', '.join(map(str, positions))}" if boxes else "no box"
        yield flaw("name", found, "boxes at places 1, 2, 3 and so on, without a gap", "boxes")
    elif "brood" not in stack:
        yield flaw("name", "no brood box", "at least one brood box below the honey supers", "boxes")
    elif stack != sorted(stack):  # 'brood' sorts before 'honey super'
        yield flaw("name", "a honey super below a brood box", "brood boxes below the honey supers", "boxes")
    low, high = build.weight_low_lb, build.weight_high_lb
    if low is not None and high is not None and low > high:
        yield flaw("weight_low_lb", shown(low), f"at most the heaviest weight, {high:g} lb", "weight_high_lb")
    if build.feed_left != "none" and boxes and all(box.feeder == "none" for box in boxes):
        found = f"'{build.feed_left}' without a box that has a feeder"
        yield flaw("feed_left", found, "none, or a box with a feeder", "boxes")


def _too_light(index: int, build: HiveBuild, operation: Operation) -> Iterator[Flaw]:
    """Yield a weight off the scale that leaves next to nothing once honey supers and heavy lid are off."""
    if build.weight_high_lb is None:
        return
    least_lb = LEAST_HIVE_LB + _off_lb(build, operation)
    if build.weight_high_lb < least_lb:
        yield Flaw(
            table="hive_builds",
            index=index,
            column="weight_high_lb",
            found=shown(build.weight_high_lb),
            allowed=f"at least {ceil(least_lb)} lb, as honey supers and lid that come off weigh most of it, or nothing",
            uses=("boxes", "constants", "name"),
        )


def _off_lb(build: HiveBuild, operation: Operation) -> float:
    """Return the least that is taken off for the road, as the parts' own weights tell it. [lb]"""
    by_parts = build.model_copy(update={"weight_low_lb": None, "weight_high_lb": None})
    alone = operation.model_copy(update={"hive_builds": (by_parts,)})
    today, rides = (measure(alone, build.name, travelling=travels) for travels in (False, True))
    return max(0.0, min(today.weight_low_lb - rides.weight_low_lb, today.weight_high_lb - rides.weight_high_lb))


def _box_flaws(index: int, box: Box, build: HiveBuild | None) -> Iterator[Flaw]:
    def flaw(column: str, found: str, allowed: str, *uses: str) -> Flaw:
        return Flaw(table="boxes", index=index, column=column, found=found, allowed=allowed, uses=uses)

    taken = box.feeder_displaces_frames
    if build is not None and box.frames + taken > build.box_frames:
        found = f"{box.frames}" + (f" beside a feeder in the room of {taken}" if taken else "")
        allowed = f"at most {max(0, build.box_frames - taken)} in a {build.box_frames}-frame box"
        yield flaw("frames", found, allowed, "build", "feeder_displaces_frames", "hive_builds")
    if box.feeder in FEEDERS_AMONG_FRAMES and taken == 0:
        allowed = f"1 to 4: a {box.feeder} hangs among the frames"
        yield flaw("feeder_displaces_frames", "0", allowed, "feeder")
    if box.feeder not in FEEDERS_AMONG_FRAMES and taken > 0:
        allowed = f"0, since the feeder is '{box.feeder}'"
        yield flaw("feeder_displaces_frames", str(taken), allowed, "feeder")


def _room(build: HiveBuild, boxes: list[Box]) -> int:
    """Return the frames that bees can occupy, over all boxes, supers too."""
    room = (min(box.frames, build.box_frames - box.feeder_displaces_frames) for box in boxes)
    return sum(max(0, frames) for frames in room)


def _group_flaws(index: int, group: HiveGroup, build: HiveBuild) -> Iterator[Flaw]:
    if group.pallet is None and build.bottom_board == "pallet":
        yield Flaw(
            table="hive_groups",
            index=index,
            column="pallet",
            uses=("build", "hive_builds"),
            found="nothing",
            allowed=f"a pallet kind: the floor of build '{build.name}' is its pallet",
        )


def _inspection_flaws(
    operation: Operation, builds: dict[str, HiveBuild], boxes: dict[str, list[Box]]
) -> Iterator[Flaw]:
    """Yield what is wrong with the rows of inspections; a group that is not there is told elsewhere."""
    groups = {group.name: group for group in operation.hive_groups}
    for index, row in enumerate(operation.inspections):
        group = groups.get(row.group)
        if group is None or group.build not in builds:
            continue
        room = _room(builds[group.build], boxes[group.build])
        told = Told("inspections", index, row, row.hives_alive or group.hives, room, group.build)
        if row.hives_alive is not None and row.hives_alive > group.hives:
            allowed = f"at most the {group.hives} hives of the group"
            yield told.flaw("hives_alive", str(row.hives_alive), allowed, "group", "hive_groups")
        yield from frames_flaws(told)


def _too_many_in_yard(operation: Operation) -> Iterator[Flaw]:
    standing: dict[str, int] = defaultdict(int)
    for group in operation.hive_groups:
        standing[group.yard] += group.hives
    for index, yard in enumerate(operation.yards):
        if standing[yard.name] > yard.capacity_hives:
            yield Flaw(
                table="yards",
                index=index,
                column="capacity_hives",
                found=str(yard.capacity_hives),
                allowed=f"at least the {standing[yard.name]} hives that stand there at the start",
                uses=("name", "hive_groups"),
            )
