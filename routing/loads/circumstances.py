"""How the hives ride and how warm it is: what the checks ask beside the deck plan."""

from collections.abc import Iterable
from typing import Literal

from routing.inputs.hive import HiveBuild
from routing.inputs.operation import Operation
from routing.nights.tour import Lot, TruckNight
from routing.record import Record

Air = Literal["screened", "entrance only", "none"]


class Riders(Record):
    """Hives of one group in a load, and how they are made ready."""

    group: str
    hives: int
    strapped: bool | None
    """None when it is not known yet."""
    air: Air | None
    """The way for air when the entrance is closed; None when it is not known."""


class Circumstances(Record):
    """What the checks ask beside the deck plan."""

    temperature_f: float | None
    """Warmest that the load meets; None when no temperature was given."""
    riders: tuple[Riders, ...]


def circumstances(operation: Operation, truck_night: TruckNight, lots: Iterable[Lot]) -> Circumstances:
    """Return the circumstances of a load that is still to be made.

    A hive that is not strapped today may be by then: that is not known yet, the yard sheet asks for it.
    """
    riding = tuple(lots)
    builds = {build.name: build for build in operation.hive_builds}
    groups = {group.name: group for group in operation.hive_groups}
    hives: dict[str, int] = {}
    for lot in riding:
        hives[lot.group] = hives.get(lot.group, 0) + lot.hives
    return Circumstances(
        temperature_f=_warmest_f(operation, truck_night, {lot.origin for lot in riding}),
        riders=tuple(
            _riders(builds[groups[name].build], group=name, hives=count)
            for name, count in sorted(hives.items())
        ),
    )


def _riders(build: HiveBuild, *, group: str, hives: int) -> Riders:
    screened = build.ventilation in ("screened bottom", "top screen") or build.entrance == "screened"
    air: Air = "screened" if screened else "none" if build.ventilation == "none" else "entrance only"
    return Riders(group=group, hives=hives, strapped=True if build.strapped else None, air=air)


def _warmest_f(operation: Operation, truck_night: TruckNight, places: set[str]) -> float | None:
    rows = [row for row in operation.temperatures if row.night == truck_night.night]
    own = [row for row in rows if row.place in places]
    # A place without a row of its own is covered by the row for everywhere, if there is one.
    everywhere = [row for row in rows if row.place == ""] if places - {row.place for row in own} else []
    return max((max(row.sunset_f, row.sunrise_f) for row in own + everywhere), default=None)
