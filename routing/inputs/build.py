"""What follows from a hive's build: its outside size, the frames bees can occupy, its weight range.

Sizes and weights are rows of ``limits/hive_sizes.toml``, each with its source. Where two sources differ the
larger size is used, so that neither a deck nor a bridge is taken for wider or higher than it is.
"""

from typing import NamedTuple

from routing.inputs.constants import constant
from routing.inputs.hive import Box, HiveBuild
from routing.inputs.operation import Operation
from routing.record import Record

FEEDERS_AMONG_FRAMES = ("frame feeder", "division board feeder")
FEED_SHARE = {"none": 0.0, "some": 0.5, "full": 1.0}


class BuildMeasure(Record):
    """Size, room and weight of one hive of a build."""

    length_in: float
    """Outside, entrance side to back."""
    width_in: float
    """Outside, across the frames' ends."""
    height_in: float
    """From the ground, or the pallet's top, to the top of the lid."""
    frames_for_bees: int
    """Frames that bees can occupy: those hanging, never more than the feeder leaves room for."""
    weight_low_lb: float
    weight_high_lb: float


class _Span(NamedTuple):
    """A weight known from its lightest to its heaviest. [lb]"""

    low: float
    high: float

    def plus(self, other: "_Span", share: float = 1.0) -> "_Span":
        return _Span(self.low + share * other.low, self.high + share * other.high)


def measure(operation: Operation, build_name: str, *, travelling: bool) -> BuildMeasure:
    """Return size, room for bees and weight of one hive.

    Parameters
    ----------
    operation
        Where the build and its boxes are.
    build_name
        Name of a row of ``operation.hive_builds``.
    travelling
        True for the hive as it rides: a migratory lid, no inner cover, no honey supers. False for the hive
        as it stands today.

    Returns
    -------
    BuildMeasure
        Lengths in inches, weights in pounds.

    Raises
    ------
    ValueError
        If no build has that name.

    Notes
    -----
    A 10-frame box with a feeder that takes the room of two frames holds 8 frames (common practice, no
    source).
    Feed that is left counts in the heavier weight only: the driver may find the feeder emptied or not.
    """
    build = _build(operation, build_name)
    standing = tuple(box for box in operation.boxes if box.build == build_name)
    boxes = tuple(box for box in standing if box.role == "brood") if travelling else standing
    migratory = travelling or build.lid == "migratory"
    weight = _weight(operation, build, standing=standing, travelling=travelling)
    return BuildMeasure(
        length_in=_length_in(operation, build, migratory=migratory),
        width_in=_width_in(operation, build, migratory=migratory),
        height_in=_height_in(operation, build, boxes=boxes, migratory=migratory),
        frames_for_bees=sum(_frames(build, box) for box in boxes),
        weight_low_lb=weight.low,
        weight_high_lb=weight.high,
    )


def _build(operation: Operation, name: str) -> HiveBuild:
    for build in operation.hive_builds:
        if build.name == name:
            return build
    raise ValueError(f"No hive build is called {name!r}.")


def _frames(build: HiveBuild, box: Box) -> int:
    """Return the frames of one box that bees can occupy, never more than the box has room for."""
    taken = box.feeder_displaces_frames if box.feeder in FEEDERS_AMONG_FRAMES else 0
    return max(0, min(box.frames, build.box_frames - taken))


def _length_in(operation: Operation, build: HiveBuild, *, migratory: bool) -> float:
    lid = "hive_migratory_length_in" if migratory else "hive_telescoping_length_in"
    lengths = [constant(operation, "hive_box_length_in"), constant(operation, lid)]
    if build.bottom_board != "pallet":
        lengths.append(constant(operation, "hive_bottom_board_length_in"))
    return max(lengths)


def _width_in(operation: Operation, build: HiveBuild, *, migratory: bool) -> float:
    box_in = constant(operation, f"hive_box_width_{build.box_frames}_in")
    # A migratory lid is flush with the box's sides: that is why hives under it can stand side by side.
    return box_in if migratory else box_in + constant(operation, "hive_telescoping_beyond_width_in")


def _height_in(operation: Operation, build: HiveBuild, *, boxes: tuple[Box, ...], migratory: bool) -> float:
    parts = [f"hive_{box.depth}_height_in" for box in boxes]
    if build.bottom_board != "pallet":
        parts.append("hive_bottom_board_height_in")
    # A top feeder put into an empty box adds no height of its own.
    parts += ["hive_top_feeder_height_in" for box in boxes if box.feeder == "top feeder" and box.frames > 0]
    if migratory:
        parts.append("hive_migratory_height_in")
    else:
        parts += ["hive_telescoping_height_in"] + ["hive_inner_cover_height_in"] * build.inner_cover
    return sum(constant(operation, part) for part in parts)


def _weight(operation: Operation, build: HiveBuild, *, standing: tuple[Box, ...], travelling: bool) -> _Span:
    """Return the weight range: the user's scale where there is one, less what is taken off for the road."""
    today = _parts(operation, build, boxes=standing, migratory=build.lid == "migratory")
    brood = tuple(box for box in standing if box.role == "brood")
    rides = _parts(operation, build, boxes=brood, migratory=True) if travelling else today
    low, high = rides
    if build.weight_low_lb is not None:
        # The most that can come off: what stands at its heaviest, less what rides at its lightest.
        low = max(0.0, build.weight_low_lb - max(0.0, _off(today, rides)[1]))
    if build.weight_high_lb is not None:
        high = max(0.0, build.weight_high_lb - max(0.0, _off(today, rides)[0]))
    return _Span(min(low, high), max(low, high))


def _off(today: _Span, rides: _Span) -> tuple[float, float]:
    """Return the least and the most that is taken off for the road."""
    differences = (today.low - rides.low, today.high - rides.high)
    return min(differences), max(differences)


def _parts(operation: Operation, build: HiveBuild, *, boxes: tuple[Box, ...], migratory: bool) -> _Span:
    total = _Span(0.0, 0.0)
    for box in boxes:
        total = total.plus(_box(operation, build, box))
    lids = ["migratory"] if migratory else ["telescoping"] + ["inner_cover"] * build.inner_cover
    floor = [] if build.bottom_board == "pallet" else ["bottom_board"]
    for part in lids + floor:
        total = total.plus(_span(operation, f"hive_{part}"), share=build.box_frames / 10)
    return total


def _box(operation: Operation, build: HiveBuild, box: Box) -> _Span:
    kind = "brood" if box.role == "brood" else "super"
    shell = constant(operation, "hive_box_shell_share")
    # The published weights are of full 10-frame boxes; wood stays when a frame goes.
    share = (shell * build.box_frames + (1.0 - shell) * _frames(build, box)) / 10
    weight = _Span(0.0, 0.0).plus(_span(operation, f"hive_{kind}_{box.depth}"), share=share)
    if box.feeder == "top feeder":
        weight = weight.plus(_span(operation, "hive_top_feeder"))
        syrup_lb = constant(operation, "hive_syrup_top_feeder_lb")
    elif box.feeder in FEEDERS_AMONG_FRAMES:
        syrup_lb = constant(operation, "hive_syrup_frame_feeder_lb") * max(1, box.feeder_displaces_frames)
    else:
        return weight
    return _Span(weight.low, weight.high + syrup_lb * FEED_SHARE[build.feed_left])


def _span(operation: Operation, part: str) -> _Span:
    return _Span(constant(operation, f"{part}_low_lb"), constant(operation, f"{part}_high_lb"))
