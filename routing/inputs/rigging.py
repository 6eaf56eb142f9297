"""What rides with a truck beside its hives, how its trailer is hitched, and what States ask: tables that the user fills."""

import datetime as dt
from typing import Literal

from routing.record import Record, column

HitchKind = Literal["ball", "pintle", "gooseneck", "fifth wheel"]
RoadLimitKind = Literal[
    "gross weight", "steer axle", "single axle", "tandem", "tridem", "height", "width", "overall length", "kingpin to rear axle"
]
PaperKind = Literal[
    "health certificate", "entry permit", "apiary registration", "grower notice", "pesticide notice list", "other"
]


class Hitch(Record):
    """How the trailer of a truck is hitched, what it weighs empty, and where its axles slide."""

    truck: str = column("truck that pulls the trailer", example="Old blue")
    kind: HitchKind = column("kind of coupling", example="ball")
    trailer_empty_lb: float | None = column("whole empty trailer on a scale, unhitched; empty: not weighed", unit="lb", example=None, default=None, gt=0, le=40000)
    least_share: float | None = column("least share of trailer and cargo that the maker wants on the coupling; empty: the cited default", unit="share", example=None, default=None, ge=0, le=1)
    most_share: float | None = column("most share of trailer and cargo that the maker allows on the coupling; empty: the cited default", unit="share", example=None, default=None, ge=0, le=1)
    share_source: str = column("where those shares are written", example="", default="", max_length=200)
    coupling_rating_lb: float | None = column("most weight that hitch, ball or fifth wheel may carry; empty: not known", unit="lb", example=None, default=None, gt=0, le=60000)
    slide_from_in: float | None = column("centre of the sliding axle group behind the coupling at the foremost pin; empty: it does not slide", unit="in", example=None, default=None, gt=0, le=700)
    slide_until_in: float | None = column("the same at the rearmost pin", unit="in", example=None, default=None, gt=0, le=700)
    slide_step_in: float | None = column("from one pin hole to the next", unit="in", example=None, default=None, gt=0, le=48)
    sliding_lb: float | None = column("weight of the axles and frame that slide; empty: not known", unit="lb", example=None, default=None, ge=0, le=12000)


class Carried(Record):
    """Something heavy that rides along and is not in the empty weights: people, fuel, water, nets, tools, empty gear."""

    truck: str = column("truck that carries it", example="Old blue")
    what: str = column("what it is", example="nets and straps", min_length=1, max_length=60)
    weight_lb: float = column("its weight", unit="lb", example=120.0, ge=0, le=20000)
    unit: Literal["truck", "trailer"] = column("part of the vehicle it rides on", example="truck", default="truck")
    deck_length_in: float = column("length of the deck that it takes, at the rear end; 0: it stands elsewhere", unit="in", example=0.0, default=0.0, ge=0, le=800)
    behind_in: float = column("its centre behind the steer axle; on a trailer, behind the coupling (negative: ahead of it)", unit="in", example=40.0, ge=-200, le=800)


class RoadLimit(Record):
    """A limit of a State, county or posted road, as the user read it; none is assumed."""

    where: str = column("State, county or road", example="Example County, spring thaw", min_length=1, max_length=80)
    kind: RoadLimitKind = column("what it limits", example="single axle")
    value: float = column("the limit: pounds for weights, inches for sizes", example=18000.0, gt=0, le=200000)
    places: str = column("yards and contracts on whose moves it counts, with commas; empty: every move", example="", default="", max_length=1000)
    counts_from: dt.date | None = column("first night on which it counts; empty: always", example=None, default=None)
    counts_until: dt.date | None = column("last night on which it counts; empty: always", example=None, default=None)
    source: str = column("where it is written or who said so", example="sign at the county line, read 3 March", min_length=1, max_length=300)


class Paper(Record):
    """A paper that a move may call for, and the one that is at hand; the State says what it asks."""

    state: str = column("State or county that may ask for it", example="Example State", min_length=1, max_length=60)
    kind: PaperKind = column("kind of paper", example="health certificate")
    asked: Literal["yes", "no", "not known"] = column("does that State ask for it, as it told you?", example="not known", default="not known")
    places: str = column("yards and contracts whose moves touch that State, with commas; empty: every move", example="", default="", max_length=1000)
    number: str = column("number of the paper at hand; empty: none yet", example="", default="", max_length=60)
    valid_from: dt.date | None = column("first day on which it is valid", example=None, default=None)
    valid_until: dt.date | None = column("last day on which it is valid", example=None, default=None)
    warn_days: int = column("days before its end to be warned", unit="days", example=14, default=14, ge=0, le=365)
    note: str = column("who gives it, what it costs, how long it takes", example="ask the State apiarist", default="", max_length=300)
