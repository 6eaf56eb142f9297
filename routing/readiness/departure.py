"""Hives of one group that leave one place on one night."""

import datetime as dt
from collections.abc import Iterable, Iterator

from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.nights.tour import Lot, TruckNight
from routing.record import Record


class Departure(Record):
    """All hives of a group that leave a place on a night, on whatever truck."""

    night: dt.date
    place: str
    group: HiveGroup
    hives: int
    pallets: int
    destinations: tuple[str, ...]

    @property
    def from_home(self) -> bool:
        """True when they leave the yard where the group stands at the start, so are not made ready yet."""
        return self.place == self.group.yard


def departures(operation: Operation, truck_nights: Iterable[TruckNight]) -> tuple[Departure, ...]:
    """Return the departures in order of night, place and group.

    Raises
    ------
    LookupError
        If a lot is of a group that the operation does not have.
    """
    lots: dict[tuple[dt.date, str, str], list[Lot]] = {}
    for night, lot in picked_up(truck_nights):
        lots.setdefault((night, lot.origin, lot.group), []).append(lot)
    return tuple(_departure(operation, key, lots[key]) for key in sorted(lots))


def picked_up(truck_nights: Iterable[TruckNight]) -> Iterator[tuple[dt.date, Lot]]:
    """Yield every lot picked up, with its night."""
    for one in truck_nights:
        for stop in one.stops:
            for lot in stop.picked_up:
                yield one.night, lot


def set_down(truck_nights: Iterable[TruckNight]) -> Iterator[tuple[dt.date, Lot]]:
    """Yield every lot set down, with its night."""
    for one in truck_nights:
        for stop in one.stops:
            for lot in stop.set_down:
                yield one.night, lot


def _departure(operation: Operation, key: tuple[dt.date, str, str], lots: list[Lot]) -> Departure:
    night, place, name = key
    group = next((one for one in operation.hive_groups if one.name == name), None)
    if group is None:
        raise LookupError(
            f"A lot leaves {place} on {night} with hives of {name!r}; no hive group has that name."
        )
    return Departure(
        night=night, place=place, group=group, hives=sum(lot.hives for lot in lots),
        pallets=sum(lot.pallets for lot in lots),
        destinations=tuple(sorted({lot.destination for lot in lots})),
    )  # fmt: skip
