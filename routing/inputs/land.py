"""Land about an orchard: tracks, water, houses and what else decides where hives may stand."""

from typing import Literal

from routing.record import Record, column

LandKind = Literal[
    "track", "water", "house", "school", "livestock", "spray neighbour", "public road", "wet ground", "steep ground",
    "no entry", "hazard", "shade", "competing bloom",
]  # fmt: skip

BUFFER_FIGURES: dict[str, str] = {
    "water": "water_buffer_ft", "house": "house_buffer_ft", "school": "school_buffer_ft", "livestock": "livestock_buffer_ft",
    "spray neighbour": "spray_neighbour_buffer_ft", "public road": "public_road_buffer_ft", "wet ground": "wet_ground_buffer_ft",
    "steep ground": "steep_ground_buffer_ft", "no entry": "no_entry_buffer_ft", "hazard": "hazard_buffer_ft",
}  # fmt: skip
"""Kinds that keep hives away, each with the figure that says how far. Tracks, shade and bloom keep none away."""


class LandFeature(Record):
    """One thing on the land about an orchard: a track to drive on, or something that hives keep away from."""

    contract: str = column("contract", example="Lower pears")
    kind: LandKind = column("what it is; a track is where the truck and the forklift can drive", example="track")
    name: str = column("name, to be told apart by", example="Main lane", min_length=1, max_length=60)
    shape: str = column(
        "point, line or polygon as WKT, longitude first, WGS 84; a track is a line",
        example="LINESTRING(-90.1 44.2,-90.0995 44.201,-90.098 44.201)", min_length=1, max_length=30000
    )
    buffer_ft: float | None = column(
        "distance that hives keep from it; empty: the default of its kind", unit="ft", example=None, default=None, ge=0, le=20000
    )
    note: str = column("anything a driver should know of it", example="gravel, dry after rain", default="", max_length=200)
