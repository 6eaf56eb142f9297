"""Open water or not: a coarse grid of the world's land, finer in the lower 48 states, where the Great Lakes are water."""

import base64
import tomllib
import zlib
from functools import cache
from importlib import resources
from typing import NamedTuple


class _Grid(NamedTuple):
    south_deg: float
    west_deg: float
    step_deg: float
    rows: int
    columns: int
    bits: bytes

    def near_land(self, latitude_deg: float, longitude_deg: float) -> bool | None:
        """Return whether the cell of a place, or one beside it, touches land; None outside the grid."""
        row = int((latitude_deg - self.south_deg) // self.step_deg)
        column = int((longitude_deg - self.west_deg) // self.step_deg)
        # The last rows have no neighbours to the north: whether land lies there is not known.
        if not (0 <= row < self.rows - 2 and 0 <= column < self.columns):
            return None
        at = row * self.columns + column
        return bool(self.bits[at // 8] >> (7 - at % 8) & 1)


def in_open_water(latitude_deg: float, longitude_deg: float) -> bool:
    """Return whether a place surely lies in the sea, or in one of the Great Lakes south of Canada.

    Only what is clear is told: in the lower 48 states a place 7 miles or more from the shore, elsewhere some
    35 miles; nearer than about 3 and 17 miles it is never called water. Near and beyond 66 degrees nothing is.
    """
    for grid in _grids():
        near = grid.near_land(latitude_deg, longitude_deg)
        if near is not None:
            return not near
    return False


@cache
def _grids() -> tuple[_Grid, ...]:
    text = resources.files("routing.limits.shore").joinpath("shore.toml").read_text(encoding="utf-8")
    return tuple(_grid(row) for row in tomllib.loads(text)["grid"])


def _grid(row: dict[str, float | str]) -> _Grid:
    packed = base64.b85decode("".join(str(row["bits"]).split()))
    edges = [float(row[name]) for name in ("south_deg", "west_deg", "step_deg")]
    return _Grid(edges[0], edges[1], edges[2], int(row["rows"]), int(row["columns"]), zlib.decompress(packed))
