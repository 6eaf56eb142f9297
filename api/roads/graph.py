"""Ways measured on the tiles of a folder: one vehicle at a time, kept on disk by what they depend on."""

import gzip
import json
from collections.abc import Sequence
from dataclasses import asdict
from functools import cached_property
from pathlib import Path
from typing import Any

from api.roads.engine import Engine, need
from api.roads.matrix import FREE_COSTING, Costing, meetings, truck_costing, ways
from api.roads.tiles import Stamp, content_id, read_stamp
from api.roads.vehicle_options import truck_options
from routing.inputs.places import Place
from routing.roads.measured import GRAPH, Measured, Meeting, OffRoad, Pair, Way
from routing.roads.vehicle import RoadVehicle

KEPT, KEPT_FORMAT = "measured", 3
NEAR_BOX_DEG = 0.02
"""A place so far outside the map's roads may still meet one."""


class Graph:
    """A source of ways: the tiles of one folder."""

    def __init__(self, folder: Path, *, paved_only: bool = False) -> None:
        self.folder, self.paved_only = folder, paved_only
        need("pyvalhalla", "valhalla")
        self.stamp: Stamp = read_stamp(folder)
        self.engine = Engine(folder)

    @cached_property
    def words(self) -> str:
        """What its figures go by, in words."""
        paved = ", paved roads only" if self.paved_only else ""
        return f"{GRAPH} of {self.stamp.extract} ({self.stamp.sha256[:8]}{paved})"

    def measure(self, vehicle: RoadVehicle, places: Sequence[Place]) -> Measured:
        """Return the ways of a vehicle between all ordered pairs of places that meet a road."""
        inside = [one for one in places if self._covers(one)]
        costing = truck_costing(truck_options(vehicle, paved_only=self.paved_only))
        met: dict[str, Meeting | OffRoad] = {one.name: OffRoad("outside the map") for one in places}
        met |= meetings(self.engine, inside, costing)
        on_road = [one for one in inside if isinstance(met[one.name], Meeting)]
        return Measured(
            vehicle=vehicle, basis=self.words, meetings=met, ways=self._ways(on_road, costing),
            freely=self._ways(on_road, FREE_COSTING), limits_obeyed=True,
        )  # fmt: skip

    def _covers(self, place: Place) -> bool:
        south, west, north, east = self.stamp.box
        return (south - NEAR_BOX_DEG <= place.latitude_deg <= north + NEAR_BOX_DEG
                and west - NEAR_BOX_DEG <= place.longitude_deg <= east + NEAR_BOX_DEG)  # fmt: skip

    def _ways(self, places: Sequence[Place], costing: Costing) -> dict[Pair, Way]:
        points = [(one.latitude_deg, one.longitude_deg) for one in places]
        file = self.folder / KEPT / f"{content_id(KEPT_FORMAT, self.stamp.tiles_id, costing, points)}.json.gz"
        names = [one.name for one in places]
        kept = _read(file, names)
        if kept is None:
            kept = ways(self.engine, places, costing)
            _write(file, names, kept)
        return kept


def _read(file: Path, names: Sequence[str]) -> dict[Pair, Way] | None:
    """Return the ways kept in a file; None when there is none, or it cannot be read."""
    try:
        rows = json.loads(gzip.decompress(file.read_bytes()))
        return {(names[row.pop("origin")], names[row.pop("destination")]): _way(row) for row in rows}
    except (OSError, EOFError, ValueError, KeyError, IndexError, TypeError):
        return None


def _way(row: dict[str, Any]) -> Way:
    return Way(row["miles"], row["minutes"], row["shape"], (row["lanes_ft"][0], row["lanes_ft"][1]))


def _write(file: Path, names: Sequence[str], found: dict[Pair, Way]) -> None:
    """Keep ways; a folder that cannot be written to only costs the time to measure again."""
    number = {name: index for index, name in enumerate(names)}
    rows: list[dict[str, Any]] = [
        {"origin": number[a], "destination": number[b], **asdict(way)} for (a, b), way in found.items()
    ]
    part = file.with_suffix(".part")
    try:
        file.parent.mkdir(exist_ok=True)
        part.write_bytes(gzip.compress(json.dumps(rows).encode(), compresslevel=5, mtime=0))
        part.replace(file)
    except OSError:
        part.unlink(missing_ok=True)
