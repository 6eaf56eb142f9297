"""The tasks of one departure: the difference between the hive as it stands and the hive as it rides."""

from routing.inputs.hive import HiveBuild
from routing.inputs.operation import Operation
from routing.limits import limit
from routing.plan_record import Task
from routing.readiness.air import Warmth, has_air, warmth
from routing.readiness.departure import Departure
from routing.readiness.travel import PRACTICE, build_of, travel_build

NO_FLIGHT = "no bee may fly from a moving truck; wait until flying has stopped"


def departure_tasks(operation: Operation, leaving: Departure) -> list[Task]:
    """Return what must be done to the hives of one departure, in the order of the work.

    Parameters
    ----------
    operation
        Gives the build, its boxes and the temperatures.
    leaving
        Hives that leave one place on one night. Leaving their first yard, they are made ready from the ground
        up; leaving any other place, they are ready but for entrances and air.

    Returns
    -------
    list of Task
        Each with the night by which it must be done, its reason, force and source.
    """
    build = build_of(operation, leaving.group)
    tonight = warmth(operation, leaving.night, (leaving.place, *leaving.destinations))
    ready = _make_ready(operation, leaving, build) if leaving.from_home else []
    return [*ready, *_air_tasks(leaving, build, tonight)]


def _make_ready(operation: Operation, leaving: Departure, build: HiveBuild) -> list[Task]:
    floor = "pallet" if build.bottom_board == "pallet" else "bottom board"
    supers = any(box.role == "honey super" for box in operation.boxes if box.build == build.name)
    on_pallet = leaving.group.pallet is not None and build.bottom_board != "pallet"
    steps = [
        (supers, "take honey supers off",
         "weight and height that need not ride; full ones are heavy: lift with two"),
        (build.feed_left != "none", "empty the feeder", "syrup slops, drowns bees and draws robbers"),
        (build.lid == "telescoping", _lid_task(build), "telescoping lids keep hives apart on the deck"),
        (build.lid == "migratory" and build.inner_cover, "take the inner cover off",
         "a migratory lid sits on the box itself"),
        (not build.strapped, f"strap hives, lid to {floor}",
         "boxes must not shift; these straps do not replace the tie-downs of the load"),
        (on_pallet, "set the hives on their pallets", "the load plan counts on whole pallets"),
    ]  # fmt: skip
    return [_task(leaving, task, why) for due, task, why in steps if due]


def _lid_task(build: HiveBuild) -> str:
    covers = "inner cover and telescoping lid" if build.inner_cover else "telescoping lid"
    return f"change {covers} for a migratory lid"


def _air_tasks(leaving: Departure, build: HiveBuild, tonight: Warmth) -> list[Task]:
    rides = travel_build(build, needs_screen=tonight.needs_screen)
    if rides.entrance == "screened":
        return [_air_task(leaving, "screen entrances on the night", f"{NO_FLIGHT}; {_heat(tonight)}")]
    if not has_air(rides):
        why = f"{NO_FLIGHT}; {tonight.words}, but leave some way for air, and screen if it turns warm"
        return [_task(leaving, "close or screen entrances on the night", why)]
    way = "top screen" if build.ventilation == "top screen" else "screened bottom"
    air = [_air_task(leaving, f"open the {way} for air", _heat(tonight))] if tonight.needs_screen else []
    return [*air, _task(leaving, "close entrances on the night", NO_FLIGHT)]


def _heat(tonight: Warmth) -> str:
    low, high, wet = limit("brood_nest_low_f"), limit("brood_nest_high_f"), limit("wet_load_above_f")
    return (
        f"{tonight.words}; a brood nest is held at {low.value:g}-{high.value:g} F and overheats without air; "
        f"keep stops short, wet a load that stands at over {wet.value:g} F"
    )


def _task(leaving: Departure, task: str, why: str) -> Task:
    return Task(
        group=leaving.group.name, yard=leaving.place, task=task, hives=leaving.hives, by_night=leaving.night,
        why=why, force="practice", source=PRACTICE,
    )  # fmt: skip


def _air_task(leaving: Departure, task: str, why: str) -> Task:
    nest, warm, wet = limit("brood_nest_high_f"), limit("closed_hive_warm_f"), limit("wet_load_above_f")
    source = f"brood nest: {nest.source}; warm: {warm.status}; wetting: {wet.source}"
    return _task(leaving, task, why).model_copy(update={"force": nest.force, "source": source})
