"""What is known of the roads beside miles and minutes: places a truck cannot get to, signs to look at on the way."""

from typing import Literal

from routing.record import Record, column

SignKind = Literal[
    "height", "weight", "axle weight", "tandem weight", "length", "width", "rated weight", "at times", "trucks", "season", "ferry"
]


class ClosedPlace(Record):
    """A place that one truck cannot get to, or not away from, whatever its access says: a low bridge, a posted weight."""

    truck: str = column("truck that is kept out", example="Old blue")
    place: str = column("yard or contract", example="Lower pears")
    why: str = column("what keeps it out, and who says so", example="bridge of 11 ft 8 in on Mill Road, own tape", min_length=1, max_length=500)


class RoadSign(Record):
    """A sign on a measured way that was not checked against the truck, or not in full: the driver must look."""

    origin: str = column("yard or contract where the way begins; empty: on many ways", example="Home yard", default="")
    destination: str = column("yard or contract where it ends; empty: on many ways", example="Lower pears", default="")
    trucks: str = column("trucks whose way it is, with commas; empty: every truck", example="", default="", max_length=400)
    kind: SignKind = column("what the sign is about", example="height")
    text: str = column("what is known of it, as the map has it", example="maxheight=12-6", min_length=1, max_length=200)
    road: str = column("name or number of the road", example="Mill Road", default="", max_length=120)
    latitude_deg: float = column("latitude, WGS 84", unit="deg", example=44.12, ge=-90, le=90)
    longitude_deg: float = column("longitude, WGS 84", unit="deg", example=-90.21, ge=-180, le=180)
    kept_out: bool = column("does it keep the truck out, as far as it can be read?", example=False, default=False)
