"""An invented county as a map: a signed bridge with a way round, a low underpass, a ferry, a one-way private track.

::

           Ridge Road (rated weight 10 st)
        X1r ------------------------- X2r
         |                             |
    H --X1====[Mill Bridge 20 st]====X2 -- Pears
    |\\
    | \\ Low Lane, maxheight=12-6 ------ Cherries
    |  one-way private track ----------> Hops
    ferry - - - - - - - - - - - - - - - > Island
"""

import datetime as dt
from pathlib import Path

from fixtures.tiny import tiny_operation
from routing.inputs.contract import Contract, Gate
from routing.inputs.fleet import AxleGroup, Truck
from routing.inputs.operation import Operation
from routing.inputs.yard import Yard

POINTS = {
    "H": (44.000, -90.000), "X1": (44.000, -89.950), "B1": (44.000, -89.930), "B2": (44.000, -89.920), "X2": (44.000, -89.900),
    "P": (44.000, -89.890), "X1r": (44.030, -89.950), "X2r": (44.030, -89.900), "L1": (43.980, -89.990), "L2": (43.978, -89.989),
    "C": (43.960, -89.980), "T": (44.020, -90.030), "F1": (43.990, -90.050), "F2": (43.990, -90.080), "I": (43.990, -90.100),
}  # fmt: skip
ROADS = (
    ("H X1", {"name": "County A", "maxweight:conditional": "5 st @ (Mar-Apr)"}), ("X1 B1", {"name": "County A"}),
    ("B1 B2", {"name": "Mill Bridge", "maxweight": "20 st"}), ("B2 X2", {"name": "County A"}), ("X2 P", {"name": "County A"}),
    ("X1 X1r X2r X2", {"name": "Ridge Road", "maxweightrating": "10 st"}),
    ("H L1", {"name": "Low Lane"}), ("L1 L2", {"name": "Low Lane", "maxheight": "12-6"}), ("L2 C", {"name": "Low Lane"}),
    ("H T", {"name": "", "highway": "track", "oneway": "yes", "access": "private"}),
    ("H F1", {"name": "Shore Road"}), ("F1 F2", {"name": "Old Ferry", "route": "ferry", "highway": "", "motor_vehicle": "yes"}),
    ("F2 I", {"name": "Island Road"}),
)  # fmt: skip
ORCHARDS = {"Pears": "P", "Cherries": "C", "Hops": "T", "Island": "I"}
ELSEWHERE = {"Nowhere": (44.047, -90.000), "Far away": (44.900, -90.000)}
"""Within the map and two miles from any road; outside the map."""
HIGH, LONG = 162.0, 780.0


def write_county(file: Path, *, changes: "dict[str, dict[str, str]] | None" = None) -> Path:
    """Write the map; ``changes`` replaces tags of roads by their two ends."""
    import osmium
    from osmium.osm import mutable

    number = {name: index for index, name in enumerate(POINTS, 1)}
    with osmium.SimpleWriter(str(file)) as writer:
        for name, (north, east) in POINTS.items():
            writer.add_node(mutable.Node(id=number[name], location=(east, north), version=1))
        for index, (ends, tags) in enumerate(ROADS, 1):
            told = {"highway": "secondary", **tags, **(changes or {}).get(ends, {})}
            nodes = [number[name] for name in ends.split()]
            writer.add_way(mutable.Way(id=index, nodes=nodes, tags={k: v for k, v in told.items() if v}, version=1))
    return file


def county_operation(*, trucks: "tuple[str, ...]" = ("Old blue", "Hired semi"), places: "tuple[str, ...]" = ()) -> Operation:
    """Return an invented operation whose home yard and orchards lie in the county."""
    tiny = tiny_operation()
    at = {name: POINTS[point] for name, point in ORCHARDS.items()} | ELSEWHERE
    orchards = places or tuple(at)
    model = tiny.contracts[0]
    return tiny.model_copy(update={
        "name": "County Bees", "yards": (_yard(),), "distances": (), "blocks": (), "drops": (), "time_zone": "America/Chicago",
        "hive_groups": tuple(one.model_copy(update={"yard": "Home"}) for one in tiny.hive_groups),
        "contracts": tuple(_contract(model, name) for name in orchards),
        "gates": tuple(_gate(name, at[name]) for name in orchards),
        "trucks": tuple(one for one in (_blue(tiny.trucks[0]), _semi(tiny.trucks[0])) if one.name in trucks),
        "axle_groups": tuple(one for one in (*tiny.axle_groups, *SEMI_AXLES) if one.truck in trucks),
        "tie_downs": tuple(one for one in tiny.tie_downs if one.truck in trucks),
    })  # fmt: skip


SEMI_AXLES = (
    AxleGroup(truck="Hired semi", position=1, axles=1, centre_in=0.0, empty_lb=10500.0, rating_lb=12000.0),
    AxleGroup(truck="Hired semi", position=2, axles=2, centre_in=190.0, spread_in=52.0, empty_lb=9500.0, rating_lb=34000.0),
    AxleGroup(truck="Hired semi", position=3, unit="trailer", axles=2, centre_in=440.0, spread_in=49.0, empty_lb=10000.0,
              rating_lb=34000.0),
)  # fmt: skip


def _yard() -> Yard:
    north, east = POINTS["H"]
    return Yard(name="Home", latitude_deg=north, longitude_deg=east, access="semi", loading="forklift", capacity_hives=100)


def _gate(name: str, at: "tuple[float, float]") -> Gate:
    return Gate(contract=name, name="Gate", latitude_deg=at[0], longitude_deg=at[1])


def _contract(model: Contract, name: str) -> Contract:
    return model.model_copy(update={"name": name, "access": "semi", "colonies": 4})


def _blue(model: Truck) -> Truck:
    return model.model_copy(update={"base": "Home", "cab_height_in": 108.0, "overall_length_in": 336.0})


def _semi(model: Truck) -> Truck:
    return model.model_copy(update={
        "name": "Hired semi", "vehicle_class": "semi", "hired": True, "base": "Home", "deck_on": "trailer", "coupling_in": 190.0,
        "deck_length_in": 576.0, "deck_width_in": 102.0, "deck_height_in": 60.0, "deck_front_in": -36.0, "most_tiers": 2,
        "payload_lb": 45000.0, "gross_rating_lb": 80000.0, "cab_height_in": HIGH, "overall_length_in": LONG, "lifting": "hand",
    })  # fmt: skip


NIGHT = dt.date(2027, 4, 24)
