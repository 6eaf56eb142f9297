"""Truck-nights with nothing in them but lots, for the tests of this room."""

import datetime as dt
from collections.abc import Callable
from zoneinfo import ZoneInfo

import pytest

from routing.nights.tour import Lot, Stop, TruckNight

ZONE = ZoneInfo("America/Detroit")
Move = tuple[str, int, str, str]
"""Group, hives, origin, destination."""


@pytest.fixture
def truck_night() -> Callable[..., TruckNight]:
    """Give the maker of such nights."""
    return _truck_night


def _truck_night(month: int, day: int, *moves: Move, truck: str = "Old blue") -> TruckNight:
    """Return a night on which each move is one lot; four hives ride on a pallet."""
    evening = dt.datetime(2027, month, day, 22, 0, tzinfo=ZONE)
    stops = []
    for number, (group, hives, origin, destination) in enumerate(moves):
        lot = Lot(lot="ABCDEFGH"[number], group=group, hives=hives, pallets=-(-hives // 4), origin=origin,
                  destination=destination, purpose="in")  # fmt: skip
        stops.append(Stop(number=2 * number + 1, place=origin, kind="yard", arrive=evening, leave=evening,
                          miles=0.0, drive_min=0.0, picked_up=(lot,)))  # fmt: skip
        stops.append(Stop(number=2 * number + 2, place=destination, kind="orchard", arrive=evening,
                          leave=evening, miles=0.0, drive_min=0.0, set_down=(lot,)))  # fmt: skip
    return TruckNight(id=f"{evening.date()} {truck}", truck=truck, night=evening.date(), driver="P. Nobody",
                      helpers=1, stops=tuple(stops), miles=0.0, driving_min=0.0, duty_min=0.0, cost_usd=0.0,
                      hours_rule="none")  # fmt: skip
