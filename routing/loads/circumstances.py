"""How the hives ride and how warm it is: what the checks ask beside the deck plan."""

from collections.abc import Iterable
from typing import Literal

from routing.inputs.constants import own_limit
from routing.inputs.hive import Entrance, HiveBuild
from routing.inputs.operation import Constant, Operation
from routing.inputs.rigging import Paper
from routing.limits import Limit, limit
from routing.loads.on_the_way import papers_of
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
    entrance: Entrance | None = None
    """As it rides; None when that is settled only before loading."""


class StandingStill(Record):
    """A stop during which hives are on the deck."""

    place: str
    minutes: float


class Circumstances(Record):
    """What the checks ask beside the deck plan."""

    temperature_f: float | None
    """Warmest that the load meets; None when no temperature was given."""
    riders: tuple[Riders, ...]
    net: bool | None = None
    """Is the load netted? None when it is not known."""
    stops: tuple[StandingStill, ...] | None = None
    """Every stop with hives aboard; None when the stops are not known."""
    water_gal: float | None = None
    """Water carried to wet the load; None when it is not known."""
    papers: tuple[Paper, ...] = ()
    """Rows of the user's table of papers for the places of the move."""
    constants: tuple[Constant, ...] = ()
    """Figures of the program that the user replaced."""

    def figure(self, name: str) -> Limit:
        """Return the row called ``name``, the user's own value where there is one."""
        return own_limit(self.constants, name)


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
        stops=_standing_still(truck_night, riding),
        water_gal=_water_gal(operation, truck_night.truck),
        papers=papers_of(operation, {stop.place for stop in truck_night.stops}),
        constants=operation.constants,
    )


def _riders(build: HiveBuild, *, group: str, hives: int) -> Riders:
    screened = build.ventilation in ("screened bottom", "top screen") or build.entrance == "screened"
    air: Air = "screened" if screened else "none" if build.ventilation == "none" else "entrance only"
    entrance = build.entrance if build.entrance == "screened" else None
    return Riders(group=group, hives=hives, strapped=True if build.strapped else None, air=air, entrance=entrance)


def _standing_still(truck_night: TruckNight, riding: tuple[Lot, ...]) -> tuple[StandingStill, ...]:
    """Return the stops at which some of the lots were on the deck before, and some stay on it after."""
    lots = {lot.lot for lot in riding}
    aboard, found = set[str](), []
    for stop in truck_night.stops:
        staying = aboard - {lot.lot for lot in stop.set_down}
        if staying:
            found.append(StandingStill(place=stop.place, minutes=(stop.leave - stop.arrive).total_seconds() / 60.0))
        aboard = staying | {lot.lot for lot in stop.picked_up if lot.lot in lots}
    return tuple(found)


def _water_gal(operation: Operation, truck: str) -> float | None:
    """Return the gallons among the things listed as carried; None when no water is listed."""
    pounds = [one.weight_lb for one in operation.carried if one.truck == truck and "water" in one.what.lower()]
    return sum(pounds) / limit("water_lb_per_gal").value if pounds else None


def _warmest_f(operation: Operation, truck_night: TruckNight, places: set[str]) -> float | None:
    rows = [row for row in operation.temperatures if row.night == truck_night.night]
    own = [row for row in rows if row.place in places]
    # A place without a row of its own is covered by the row for everywhere, if there is one.
    everywhere = [row for row in rows if row.place == ""] if places - {row.place for row in own} else []
    return max((max(row.sunset_f, row.sunrise_f) for row in own + everywhere), default=None)
