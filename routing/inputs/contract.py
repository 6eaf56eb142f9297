"""Contracts: the orchard, what was promised, when to be in and out, what it pays and what failing costs."""

import datetime as dt
from typing import Literal

from routing.inputs.inspections import FrameCoverage
from routing.inputs.yard import Loading, VehicleClass
from routing.record import Record, column

OverDelivery = Literal["not taken", "taken unpaid", "paid"]


class Contract(Record):
    """One rental of colonies to one grower for one orchard."""

    name: str = column("short name of the contract or orchard", example="Lower pears", min_length=1, max_length=60)
    grower: str = column("grower's name", example="A. Example", min_length=1, max_length=80)
    phone: str = column("grower's telephone", example="555-0110", default="", max_length=40)
    crop: str = column("crop to be pollinated", example="pear", min_length=1, max_length=40)
    colonies: int = column("colonies promised", unit="colonies", example=24, ge=1, le=5000)
    min_average_frames: float = column("least average strength, frames of bees", unit="frames", example=8.0, ge=0, le=30)
    min_colony_frames: float = column("least strength of a single colony, frames of bees", unit="frames", example=6.0, ge=0, le=30)
    access: VehicleClass = column("largest vehicle that can get to the drops and turn", example="straight truck")
    loading: Loading = column("lifting gear that the grower has at the drops", example="forklift", default="hand")
    in_from: dt.date | None = column("first night on which hives may be set down (date of the evening)", example=None, default=None)
    in_until: dt.date | None = column("last night on which hives are on time (date of the evening)", example=None, default=None)
    in_at_percent_bloom: float | None = column(
        "bloom at which hives are wanted, when no dates are agreed; needs rows in the bloom table", unit="%", example=10.0, default=None, ge=0, le=100
    )
    in_within_nights: int = column("nights after that bloom within which hives are on time", unit="nights", example=2, default=2, ge=0, le=30)
    petal_fall_on: dt.date | None = column("day of petal fall, from which hives may leave", example=dt.date(2027, 4, 28), default=None)
    out_from: dt.date | None = column("first night on which hives may be taken out; overrides petal fall", example=None, default=None)
    out_until: dt.date | None = column("last night on which hives must be taken out", example=dt.date(2027, 5, 3), default=None)
    spray_on: dt.date | None = column("day of the first spray after bloom; hives must be gone before", example=dt.date(2027, 5, 5), default=None)
    open_from: dt.time | None = column("earliest hour of the evening that a truck may come", example=None, default=None)
    open_until: dt.time | None = column("latest hour of the morning that a truck may stay", example=None, default=None)
    fee_usd_per_colony: float = column("fee for one colony", unit="USD", example=62.0, ge=0, le=2000)
    bonus_usd_per_frame: float = column("bonus for each frame above the least average, each colony", unit="USD", example=0.0, default=0.0, ge=0, le=500)
    bonus_up_to_frames: float = column("strength above which no more bonus is paid", unit="frames", example=0.0, default=0.0, ge=0, le=30)
    late_nights_allowed: int = column("nights late that the grower still takes", unit="nights", example=2, default=0, ge=0, le=14)
    late_usd_per_colony_night: float = column("taken off for each colony and night late", unit="USD", example=5.0, default=0.0, ge=0, le=2000)
    short_usd_per_colony: float = column("penalty for each colony missing, beside the lost fee", unit="USD", example=20.0, default=0.0, ge=0, le=5000)
    weak_usd_per_frame: float | None = column(
        "taken off for each frame that the average is short, each colony; empty: a weak lot is not taken", unit="USD", example=None, default=None, ge=0, le=500
    )
    over_delivery: OverDelivery = column("are more colonies than promised taken?", example="taken unpaid", default="taken unpaid")
    pesticide_contact: str = column("who sprays, and the number to call before a move", example="555-0111", default="", max_length=120)
    emergency_contact: str = column("who to call in an accident with bees", example="555-0112", default="", max_length=120)
    hazards: str = column("what a driver must know in the dark", example="power line over the gate", default="", max_length=300)
    time_zone: str | None = column("time zone, if not the operation's", example=None, default=None)
    signed: bool = column("is the contract signed? One that is not is an offer: the season may take or refuse it", example=True, default=True)
    least_colonies: int | None = column(
        "of an offer: fewest colonies that the grower takes as a part; empty: all or none", unit="colonies", example=None, default=None, ge=1, le=5000
    )
    frame_coverage: FrameCoverage | None = column("how much of a frame bees cover for it to count as one; empty: as your inspections count", example=None, default=None)
    opened_share: float | None = column("share of the lot that the grower's inspection opens; empty: contract_opened_share", unit="share", example=None, default=None, gt=0, le=1)
    opened_least_hives: int = column("fewest hives that it opens", unit="hives", example=5, default=5, ge=1, le=5000)
    weak_allowed_share: float | None = column(
        "share of the hives opened that may be under the least strength of a single colony; empty: below_floor_share", unit="share", example=None, default=None, ge=0, le=1
    )
    cultivar: str = column("cultivar, for chill and heat that are known for it", example="", default="", max_length=40)
    out_at_percent_petal_fall: float | None = column(
        "share of petals fallen at which hives leave, when petal fall is forecast and no date is given", unit="%", example=None, default=None, ge=0, le=100
    )


class Gate(Record):
    """A way into an orchard. The first gate of a contract is where its truck goes."""

    contract: str = column("contract", example="Lower pears")
    name: str = column("name of the gate", example="North gate", min_length=1, max_length=60)
    latitude_deg: float = column("latitude, WGS 84", unit="deg", example=44.2, ge=-90, le=90)
    longitude_deg: float = column("longitude, WGS 84", unit="deg", example=-90.1, ge=-180, le=180)
    note: str = column("lock, code, which way to turn", example="chain, no lock", default="", max_length=200)


class Block(Record):
    """One piece of orchard under one crop."""

    contract: str = column("contract", example="Lower pears")
    name: str = column("name of the block", example="Block 1", min_length=1, max_length=60)
    acres: float = column("planted acres", unit="acres", example=12.0, gt=0, le=20000)
    outline: str | None = column(
        "outline as WKT polygon, longitude first, WGS 84; empty when a map file brings it",
        example="POLYGON((-90.101 44.2,-90.098 44.2,-90.098 44.202,-90.101 44.202,-90.101 44.2))", default=None, max_length=30000
    )
    row_bearing_deg: float | None = column(
        "which way the tree rows run: 0 north, 45 north-east, 90 east", unit="deg", example=None, default=None, ge=0, lt=360
    )
    row_spacing_ft: float | None = column("from one tree row to the next", unit="ft", example=None, default=None, ge=1, le=200)


class Drop(Record):
    """A point inside an orchard where hives are set down."""

    contract: str = column("contract", example="Lower pears")
    name: str = column("number or letter on the drop's stake", example="1", min_length=1, max_length=20)
    latitude_deg: float = column("latitude, WGS 84", unit="deg", example=44.2005, ge=-90, le=90)
    longitude_deg: float = column("longitude, WGS 84", unit="deg", example=-90.0995, ge=-180, le=180)
    most_hives: int = column("hives that may stand at this drop", unit="hives", example=24, ge=1, le=1000)
    note: str = column("which side of the track, which way entrances face", example="entrances south-east", default="", max_length=200)


class Bloom(Record):
    """One dated note, or forecast, of how far a contract's bloom is."""

    contract: str = column("contract", example="Lower pears")
    percent_bloom: float = column("share of flowers open", unit="%", example=10.0, ge=0, le=100)
    on: dt.date = column("day", example=dt.date(2027, 4, 14))
    seen: bool = column("seen in the orchard (yes) or forecast (no)?", example=False, default=False)
