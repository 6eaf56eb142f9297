"""Fleet: trucks with their axles and straps, pallets, drivers, gear on hand."""

import datetime as dt
from typing import Literal

from routing.inputs.yard import Loading, VehicleClass
from routing.record import Record, column

TieDownKind = Literal["webbing strap", "chain", "rope", "wire rope"]

# Smaller than any real one: a slip of the pen, and a thing that could be set side by side without end.
LEAST_SIDE_IN = 8.0
"""Narrower than the smallest box that bees are moved in (five frames; common practice, no source)."""
LEAST_DECK_IN = 36.0
LEAST_PAYLOAD_LB = 100.0
LEAST_AXLE_LB = 100.0
LEAST_WLL_LB = 50.0


class Pallet(Record):
    """A kind of pallet that hives stand and travel on."""

    name: str = column("name of the pallet kind", example="four-way", min_length=1, max_length=40)
    length_in: float = column("length", unit="in", example=45.0, ge=LEAST_SIDE_IN, le=200)
    width_in: float = column("width", unit="in", example=37.0, ge=LEAST_SIDE_IN, le=200)
    height_in: float = column("height of the empty pallet", unit="in", example=4.5, ge=0.5, le=20)
    hives: int = column("hives that stand on one pallet", unit="hives", example=4, ge=1, le=12)
    weight_lb: float = column("weight of the empty pallet", unit="lb", example=42.0, ge=1, le=500)


class Truck(Record):
    """A truck, a truck with its trailer, or a hired semi: all that rolls with one driver."""

    name: str = column("name or number of the truck", example="Old blue", min_length=1, max_length=40)
    vehicle_class: VehicleClass = column("kind of vehicle, for access to yards", example="straight truck")
    hired: bool = column("hired with its own driver (for-hire carrier)?", example=False, default=False)
    base: str = column("yard where it starts and ends the night", example="Home yard")
    deck_on: Literal["truck", "trailer"] = column("what carries the load deck", example="truck", default="truck")
    deck_length_in: float = column("usable length of the load deck", unit="in", example=240.0, ge=LEAST_DECK_IN, le=700)
    deck_width_in: float = column("usable width of the load deck", unit="in", example=96.0, ge=LEAST_DECK_IN, le=120)
    deck_height_in: float = column("height of the deck above the road", unit="in", example=42.0, gt=0, le=80)
    deck_front_in: float = column("front end of the deck behind the steer axle; on a trailer, behind the coupling (negative: ahead of it)", unit="in", example=30.0, ge=-200, le=400)
    most_tiers: int = column("layers of pallets that may be stacked", unit="layers", example=1, default=1, ge=1, le=3)
    payload_lb: float = column("payload rating", unit="lb", example=11000.0, ge=LEAST_PAYLOAD_LB, le=80000)
    gross_rating_lb: float = column("gross weight rating, all that rolls together", unit="lb", example=25900.0, gt=0, le=150000)
    coupling_in: float | None = column("kingpin, ball or gooseneck behind the steer axle, when there is a trailer", unit="in", example=None, default=None, ge=0, le=400)
    headboard: bool = column("is there a headboard that the load stands against?", example=True, default=False)
    unloading: Literal["side", "rear"] = column("side by forklift or boom, or from the rear", example="side")
    lifting: Loading = column("lifting gear carried along", example="forklift", default="hand")
    lifting_weight_lb: float = column("weight of that gear when it rides on this vehicle", unit="lb", example=0.0, default=0.0, ge=0, le=12000)
    lifting_mount: Literal["towed or at site", "rear overhang", "behind cab"] = column("where that gear rides", example="towed or at site", default="towed or at site")
    most_height_in: float = column("height that the lowest bridge on your roads lets through", unit="in", example=162.0, default=162.0, gt=60, le=180)
    cost_usd_per_mile: float = column("cost of a mile: fuel, tyres, wear", unit="USD", example=1.1, ge=0, le=20)
    cost_usd_per_night: float = column("cost of using it for one night: hire, insurance", unit="USD", example=60.0, default=0.0, ge=0, le=10000)
    helpers: int = column("people beside the driver", unit="people", example=1, default=0, ge=0, le=6)
    speed_factor: float = column("its speed, loaded, against the road's (1 = the same)", example=0.95, default=1.0, gt=0.2, le=1.5)
    available_from: dt.date | None = column("first night available", example=None, default=None)
    available_until: dt.date | None = column("last night available", example=None, default=None)
    nights_away: str = column("nights not available, dates with commas", example="", default="", max_length=1000)
    headboard_height_in: float | None = column("height of the headboard above the deck; empty: not measured", unit="in", example=None, default=None, gt=0, le=144)
    headboard_holds_lb: float | None = column("forward force that the headboard's maker says it holds; empty: not known", unit="lb", example=None, default=None, gt=0, le=100000)
    overall_length_in: float | None = column("length of all that rolls, bumper to bumper; empty: not measured", unit="in", example=None, default=None, gt=0, le=1400)
    cab_height_in: float | None = column("height of the cab, or of whatever on the empty vehicle is highest; empty: not measured", unit="in", example=None, default=None, gt=0, le=180)


class AxleGroup(Record):
    """One axle, or one set of axles close together, of a vehicle."""

    truck: str = column("truck", example="Old blue")
    position: int = column("order from the front, 1 is the steer axle", example=1, ge=1, le=6)
    unit: Literal["truck", "trailer"] = column("part of the vehicle it is under", example="truck", default="truck")
    axles: int = column("axles in the group", unit="axles", example=1, ge=1, le=4)
    centre_in: float = column("centre of the group behind the steer axle; on a trailer, behind the coupling", unit="in", example=0.0, ge=0, le=700)
    spread_in: float = column("first to last axle of the group", unit="in", example=0.0, default=0.0, ge=0, le=200)
    empty_lb: float = column("weight on the group, vehicle empty, driver and fuel on board", unit="lb", example=6200.0, ge=LEAST_AXLE_LB, le=40000)
    rating_lb: float = column("rating of the group (axles, tyres, springs: the least)", unit="lb", example=9000.0, ge=LEAST_AXLE_LB, le=80000)


class TieDown(Record):
    """Straps or chains that a truck carries for its cargo."""

    truck: str = column("truck", example="Old blue")
    kind: TieDownKind = column("kind of tie-down", example="webbing strap")
    size: str = column("width of webbing, size and grade of chain, as marked", example="4 in", max_length=40)
    count: int = column("how many", unit="tie-downs", example=8, ge=1, le=200)
    wll_lb: float | None = column("working load limit marked on it; empty: unmarked, the published table's value counts", unit="lb", example=5400.0, default=None, ge=LEAST_WLL_LB, le=50000)
    over_to_other_side: bool = column("does it go over the load to the other side of the deck?", example=True, default=True)
    anchor_wll_lb: float | None = column("working load limit of the ring, rail or winch that it hooks to; empty: not marked", unit="lb", example=None, default=None, gt=0, le=50000)


class Driver(Record):
    """A person who drives."""

    name: str = column("driver's name", example="S. Example", min_length=1, max_length=60)
    phone: str = column("telephone", example="555-0120", default="", max_length=40)
    wage_usd_per_hour: float = column("wage", unit="USD", example=24.0, ge=0, le=300)
    drives: VehicleClass = column("largest vehicle that this person may and can drive", example="straight truck")
    most_duty_hours: float | None = column("most hours on duty in a night, the person's own limit", unit="h", example=11.0, default=None, gt=1, le=14)
    nights_away: str = column("nights not available, dates with commas", example="", default="", max_length=1000)


class Gear(Record):
    """Things that make a hive fit to travel, counted in the shed."""

    item: Literal["migratory lid", "hive strap", "entrance screen", "entrance reducer", "pallet", "load net"] = column("what", example="migratory lid")
    on_hand: int = column("how many are ready to use", example=120, ge=0, le=100000)
