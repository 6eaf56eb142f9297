"""The operation: every table together, one frozen value."""

import datetime as dt

from routing.inputs.arranged import Arranged
from routing.inputs.contract import Block, Bloom, Contract, Drop, Gate
from routing.inputs.fleet import AxleGroup, Driver, Gear, Pallet, TieDown, Truck
from routing.inputs.hive import Box, HiveBuild
from routing.inputs.honey import HoneyFlow
from routing.inputs.inspections import InspectionRow
from routing.inputs.land import LandFeature
from routing.inputs.phenology import BloomSum, PastBloom, StageNote, Weather
from routing.inputs.rigging import Carried, Hitch, Paper, RoadLimit
from routing.inputs.ways import ClosedPlace, RoadSign
from routing.inputs.yard import HiveGroup, Yard
from routing.record import Record, column


class Temperature(Record):
    """Temperature of one night at one place, measured or forecast."""

    place: str = column("yard or contract; empty: everywhere", example="", default="")
    night: dt.date = column("date of the evening", example=dt.date(2027, 4, 14))
    sunset_f: float = column("temperature at sunset", unit="deg F", example=52.0, ge=-40, le=130)
    low_f: float = column("lowest temperature of the night", unit="deg F", example=38.0, ge=-60, le=120)
    sunrise_f: float = column("temperature at sunrise", unit="deg F", example=40.0, ge=-60, le=120)


class Distance(Record):
    """Miles and minutes of one way between two places, known better than any estimate."""

    origin: str = column("yard or contract", example="Home yard")
    destination: str = column("yard or contract", example="Lower pears")
    miles: float = column("road miles", unit="mi", example=18.4, ge=0, le=4000)
    minutes: float = column("driving time of an ordinary vehicle", unit="min", example=29.0, ge=0, le=6000)
    both_ways: bool = column("is the way back the same?", example=True, default=True)
    trucks: str = column("trucks that the row is for, with commas; empty: every truck", example="", default="", max_length=400)
    basis: str = column("where the figures come from; empty: you measured them yourself", example="", default="", max_length=200)


class Constant(Record):
    """A figure of the program that the user replaces by their own."""

    name: str = column("name of the figure, as the manual lists it", example="stop_setup_min")
    value: float = column("the user's own value", example=12.0)
    source: str = column("where the value comes from", example="our own watch, spring 2026", min_length=1, max_length=300)


class Operation(Record):
    """What the beekeeper has and has promised."""

    name: str = column("name of the operation", example="Example Bees", min_length=1, max_length=80)
    note: str = column("anything a reader of the plan should know", example="", default="", max_length=500)
    time_zone: str = column("time zone of the operation", example="America/Chicago")
    first_night: dt.date = column("first night that may be planned (date of the evening)", example=dt.date(2027, 4, 1))
    last_night: dt.date = column("last night that may be planned", example=dt.date(2027, 7, 31))
    next_night: dt.date | None = column(
        "first night still to be planned; what happened on nights before it stands as it was; empty: the first night", example=None, default=None
    )
    emergency_contact: str = column("who to call when bees are loose or a truck is down", example="555-0100", default="", max_length=120)
    constants: tuple[Constant, ...] = ()
    hive_builds: tuple[HiveBuild, ...] = ()
    boxes: tuple[Box, ...] = ()
    pallets: tuple[Pallet, ...] = ()
    yards: tuple[Yard, ...] = ()
    hive_groups: tuple[HiveGroup, ...] = ()
    contracts: tuple[Contract, ...] = ()
    gates: tuple[Gate, ...] = ()
    blocks: tuple[Block, ...] = ()
    drops: tuple[Drop, ...] = ()
    land_features: tuple[LandFeature, ...] = ()
    blooms: tuple[Bloom, ...] = ()
    trucks: tuple[Truck, ...] = ()
    axle_groups: tuple[AxleGroup, ...] = ()
    tie_downs: tuple[TieDown, ...] = ()
    drivers: tuple[Driver, ...] = ()
    gear: tuple[Gear, ...] = ()
    temperatures: tuple[Temperature, ...] = ()
    distances: tuple[Distance, ...] = ()
    hitches: tuple[Hitch, ...] = ()
    carried: tuple[Carried, ...] = ()
    road_limits: tuple[RoadLimit, ...] = ()
    papers: tuple[Paper, ...] = ()
    inspections: tuple[InspectionRow, ...] = ()
    honey_flows: tuple[HoneyFlow, ...] = ()
    arranged: tuple[Arranged, ...] = ()
    weather: tuple[Weather, ...] = ()
    stage_notes: tuple[StageNote, ...] = ()
    past_blooms: tuple[PastBloom, ...] = ()
    bloom_sums: tuple[BloomSum, ...] = ()
    closed_places: tuple[ClosedPlace, ...] = ()
    road_signs: tuple[RoadSign, ...] = ()
