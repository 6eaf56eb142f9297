"""A hive's build, from bottom board to lid, and what follows from it: size, frames, weight."""

from typing import Literal

from routing.record import Record, column

Depth = Literal["deep", "medium", "shallow"]
Role = Literal["brood", "honey super"]
Feeder = Literal["none", "frame feeder", "division board feeder", "top feeder"]
Lid = Literal["telescoping", "migratory"]
BottomBoard = Literal["solid", "screened", "pallet"]
Entrance = Literal["open", "reduced", "closed", "screened"]
Ventilation = Literal["none", "screened bottom", "top screen", "entrance only"]

LEAST_HIVE_LB = 10.0
"""Less than the woodwork alone of any hive weighs (common practice, no source)."""


class Box(Record):
    """One box of a build."""

    build: str = column("hive build that this box is part of", example="double deep 10")
    position: int = column("place in the stack, 1 at the bottom", example=1, ge=1, le=8)
    depth: Depth = column("depth of the box", example="deep")
    role: Role = column("brood chamber or honey super", example="brood")
    frames: int = column("frames hanging in the box, the feeder not counted", unit="frames", example=8, ge=0, le=10)
    feeder: Feeder = column("feeder inside the box", example="frame feeder", default="none")
    feeder_displaces_frames: int = column(
        "frames whose room the feeder takes", unit="frames", example=2, default=0, ge=0, le=4
    )


class HiveBuild(Record):
    """How one kind of hive is put together. Its boxes are rows of their own."""

    name: str = column("name of the build, used by hive groups", example="double deep 10", min_length=1, max_length=60)
    box_frames: Literal[8, 10] = column("width of the boxes, as the frames they are made for", unit="frames", example=10)
    bottom_board: BottomBoard = column("floor of the hive", example="solid")
    entrance: Entrance = column("state of the entrance as the hive stands today", example="open")
    entrance_reducer: bool = column("is a reducer at hand for this build?", example=True, default=False)
    inner_cover: bool = column("is there an inner cover under the lid?", example=True, default=False)
    lid: Lid = column("lid as the hive stands today", example="telescoping")
    strapped: bool = column("is the hive strapped, lid to bottom board?", example=False, default=False)
    ventilation: Ventilation = column("way for air with the entrance closed", example="screened bottom", default="entrance only")
    feed_left: Literal["none", "some", "full"] = column("syrup left in the feeder today", example="none", default="none")
    weight_low_lb: float | None = column(
        "lightest weight seen on a scale, whole hive; empty: worked out from its boxes", unit="lb", example=95.0, default=None, ge=LEAST_HIVE_LB, le=500
    )
    weight_high_lb: float | None = column(
        "heaviest weight seen on a scale, whole hive; empty: worked out from its boxes", unit="lb", example=120.0, default=None, ge=LEAST_HIVE_LB, le=500
    )
