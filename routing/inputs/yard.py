"""Yards and the hive groups that stand in them."""

import datetime as dt
from typing import Literal

from routing.inputs.inspections import FrameCoverage
from routing.record import Record, column

VehicleClass = Literal["pickup", "pickup with trailer", "straight truck", "semi"]
VEHICLE_CLASSES: tuple[VehicleClass, ...] = ("pickup", "pickup with trailer", "straight truck", "semi")
"""Smallest first: a place that lets one in lets in all before it."""
Loading = Literal["forklift", "boom", "hand"]


class Yard(Record):
    """A place where hives stand between blooms, or a truck's base."""

    name: str = column("name of the yard", example="Home yard", min_length=1, max_length=60)
    latitude_deg: float = column("latitude of the loading place, WGS 84", unit="deg", example=44.1, ge=-90, le=90)
    longitude_deg: float = column("longitude of the loading place, WGS 84", unit="deg", example=-90.2, ge=-180, le=180)
    access: VehicleClass = column("largest vehicle that can get in and turn", example="straight truck")
    loading: Loading = column("lifting gear that stays at the yard", example="hand", default="hand")
    capacity_hives: int = column("hives that may stand here at once", unit="hives", example=80, ge=0, le=5000)
    open_from: dt.time | None = column("earliest hour of the evening that a truck may come", example=None, default=None)
    open_until: dt.time | None = column("latest hour of the morning that a truck may stay", example=None, default=None)
    contact: str = column("land owner's name", example="R. Example", default="", max_length=80)
    phone: str = column("land owner's telephone", example="555-0100", default="", max_length=40)
    hazards: str = column("what a driver must know in the dark", example="soft ground left of the gate", default="", max_length=300)
    time_zone: str | None = column("time zone, if not the operation's", example=None, default=None)


class HiveGroup(Record):
    """Hives of one build and one strength that stand in one yard."""

    name: str = column("name of the group, painted on or chalked on its pallets", example="H1", min_length=1, max_length=30)
    yard: str = column("yard where the group stands at the start", example="Home yard")
    build: str = column("hive build", example="double deep 10")
    pallet: str | None = column("pallet kind; empty for loose hives", example="four-way", default=None)
    hives: int = column("hives in the group", unit="hives", example=24, ge=1, le=5000)
    inspected_on: dt.date = column("day of the inspection", example=dt.date(2027, 3, 20))
    frames_seen: str | None = column(
        "frames of bees, one number for each hive opened (8, 9.5, 7) or counts (8x5, 9x3)", unit="frames", example="8x5, 9x3, 10x2", default=None, max_length=4000
    )
    frames_mean: float | None = column("mean frames of bees, when single counts were not kept", unit="frames", example=None, default=None, ge=0, le=30)
    frames_sd: float | None = column("spread (standard deviation) of frames of bees", unit="frames", example=None, default=None, ge=0, le=15)
    hives_inspected: int | None = column("hives opened, when single counts were not kept", unit="hives", example=None, default=None, ge=1, le=5000)
    may_travel: bool = column("may this group leave its yard?", example=True, default=True)
    frame_coverage: FrameCoverage | None = column("how much of a frame bees cover for it to count as one; empty: counted as the contracts count", example=None, default=None)
