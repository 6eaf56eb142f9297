"""A hive as it rides, and what makes it unfit to travel as it stands."""

from routing.finding import Finding, Force, Status
from routing.inputs.constants import constant
from routing.inputs.hive import HiveBuild
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.limits import limit
from routing.readiness.air import has_air

PRACTICE = "common practice, no source"
LIST = "your own tables of hive groups, builds and boxes"


def travel_build(build: HiveBuild, *, needs_screen: bool) -> HiveBuild:
    """Return the build as it rides, once every task is done.

    Parameters
    ----------
    build
        The build as it stands.
    needs_screen
        True when the night is warm, or its temperature not known.

    Returns
    -------
    HiveBuild
        Migratory lid, strap, no feed, entrance closed; screened instead where nothing else lets air in.
    """
    closed = build.model_copy(
        update={"lid": "migratory", "inner_cover": False, "strapped": True, "feed_left": "none",
                "entrance": "closed"}
    )  # fmt: skip
    if needs_screen and not has_air(closed):
        return closed.model_copy(update={"entrance": "screened"})
    return closed


def travel_faults(operation: Operation, group: HiveGroup) -> tuple[Finding, ...]:
    """Return what makes a hive of ``group`` unfit to travel as it stands today.

    Parameters
    ----------
    operation
        Gives the group's build and boxes, and the temperatures.
    group
        A group of the operation.

    Returns
    -------
    tuple of Finding
        Only what is ``broken`` or ``unknown``; ``note`` names the task that cures it, or says that none does.

    Raises
    ------
    LookupError
        If the group's build is not in the operation.
    """
    build = build_of(operation, group)
    roles = [box.role for box in operation.boxes if box.build == build.name]
    pinned_note = "no task cures it: your own list says that this group stays"
    brood_note = "no task cures it: without a brood box nothing is left once honey supers are off"
    feed_note = "cured by emptying the feeder: syrup slops and drowns bees"
    found = [
        _fault("leave to travel", group, not group.may_travel, LIST, pinned_note),
        _fault("brood box", group, "brood" not in roles, LIST, brood_note),
        _fault("honey supers off", group, "honey super" in roles, PRACTICE, "cured by taking them off"),
        _fault("migratory lid", group, build.lid != "migratory" or build.inner_cover, PRACTICE,
               "cured by changing inner cover and lid for a migratory lid"),
        _fault("strap", group, not build.strapped, PRACTICE, "cured by strapping it, lid to bottom board"),
        _fault("empty feeder", group, build.feed_left != "none", PRACTICE, feed_note),
        _screen_without_air(group, build),
        _air(operation, group, build),
    ]  # fmt: skip
    return tuple(finding for finding in found if finding is not None)


def build_of(operation: Operation, group: HiveGroup) -> HiveBuild:
    """Return the group's build; raise ``LookupError`` when the operation has none of that name."""
    for build in operation.hive_builds:
        if build.name == group.build:
            return build
    raise LookupError(f"Hive group {group.name} is of build {group.build!r}; no hive build has that name.")


def _fault(check: str, group: HiveGroup, broken: bool, source: str, note: str) -> Finding | None:
    force: Force = "own figure" if source == LIST else "practice"
    if not broken:
        return None
    return Finding(check=check, subject=group.name, status="broken", force=force, source=source, note=note)


def _screen_without_air(group: HiveGroup, build: HiveBuild) -> Finding | None:
    contradiction = build.ventilation == "screened bottom" and build.bottom_board == "solid"
    note = "a screened bottom is listed over a solid bottom board; it is not counted as a way for air"
    return _fault("ventilation as listed", group, contradiction, LIST, note)


def _air(operation: Operation, group: HiveGroup, build: HiveBuild) -> Finding | None:
    """Return the fault of a hive that gets no air once closed, on the warmest night known."""
    if has_air(travel_build(build, needs_screen=False)):
        return None
    warm, nest = limit("closed_hive_warm_f"), limit("brood_nest_high_f")
    threshold_f = constant(operation, warm.name)
    at_yard = [row for row in operation.temperatures if row.place in ("", group.yard)]
    hottest_f = max((max(row.sunset_f, row.low_f, row.sunrise_f) for row in at_yard), default=None)
    if hottest_f is not None and hottest_f < threshold_f:
        return None
    status: Status = "unknown" if hottest_f is None else "broken"
    known = "no temperature is given" if hottest_f is None else f"nights of {hottest_f:g} F are listed"
    return Finding(
        check="way for air when warm", subject=group.name, status=status, measured=hottest_f,
        limit=threshold_f, margin=None if hottest_f is None else threshold_f - hottest_f, unit="deg F",
        force=warm.force, source=f"{warm.source}; {nest.source}",
        note=f"{known}; cured by an entrance screen: shut in, a brood nest climbs over {nest.value:g} F",
    )  # fmt: skip
