"""A small land that the tests of roads share: three places, two trucks, and ways measured by hand."""

import datetime as dt
from collections.abc import Callable

import pytest

from fixtures.tiny import tiny_operation
from routing.inputs.operation import Operation
from routing.inputs.yard import Yard
from routing.roads.measured import Measured, Meeting, OffRoad, Way
from routing.roads.vehicle import RoadVehicle

AT = {"Home": (44.0, -90.0), "Hill": (44.2, -90.1), "Marsh": (44.1, -90.5)}


@pytest.fixture
def land() -> Operation:
    """Home, Hill and Marsh; Old blue and a semi that start at Home."""
    tiny = tiny_operation()
    yards = tuple(
        Yard(name=name, latitude_deg=at[0], longitude_deg=at[1], access="semi", capacity_hives=100) for name, at in AT.items()
    )
    blue = tiny.trucks[0].model_copy(update={"base": "Home"})
    semi = blue.model_copy(update={"name": "Semi", "vehicle_class": "semi", "most_tiers": 2, "deck_height_in": 60.0})
    return Operation(
        name="Land", time_zone="America/Chicago", first_night=dt.date(2027, 4, 1), last_night=dt.date(2027, 4, 30),
        hive_builds=tiny.hive_builds, boxes=tiny.boxes, pallets=tiny.pallets, yards=yards,
        hive_groups=tuple(one.model_copy(update={"yard": "Home"}) for one in tiny.hive_groups),
        trucks=(blue, semi), axle_groups=tiny.axle_groups, drivers=tiny.drivers,
    )  # fmt: skip


@pytest.fixture
def vehicle() -> "Callable[..., RoadVehicle]":
    """A function that returns a vehicle; any figure may be given."""

    def make(*trucks: str, **figures: object) -> RoadVehicle:
        usual = {
            "vehicle_class": "straight truck", "height_in": 132.0, "height_measured": True, "width_in": 96.0, "length_in": 336.0,
            "length_measured": True, "gross_lb": 24000.0, "rating_lb": 25900.0, "axle_lb": 17500.0, "tandem_lb": 0.0, "axles": 2,
            "axles_known": True,
        }  # fmt: skip
        return RoadVehicle.model_validate({"trucks": trucks or ("Old blue",), **usual, **figures})

    return make


@pytest.fixture
def measured(vehicle: "Callable[..., RoadVehicle]") -> "Callable[..., Measured]":
    """A function that returns ways measured for a truck: ``{"Home Hill": (miles, minutes)}``."""

    def make(ways: "dict[str, tuple[float, float]]", *trucks: str, basis: str = "road graph of x.osm.pbf (0123)",
             off: "dict[str, OffRoad] | None" = None, **figures: object) -> Measured:  # fmt: skip
        met: dict[str, Meeting | OffRoad] = {name: Meeting(30.0, *at) for name, at in AT.items()} | (off or {})
        found = {(a, b): Way(*way) for pair, way in ways.items() for a, b in [pair.split()]}
        return Measured(vehicle=vehicle(*trucks, **figures), basis=basis, meetings=met, ways=found, limits_obeyed=True)

    return make
