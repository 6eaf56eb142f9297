"""Air for closed hives: how warm the night is, and whether a hive has a way for air.

Rule: a night whose temperature is not known is treated as a warm one.
"""

import datetime as dt
from collections.abc import Iterable
from typing import Literal

from routing.inputs.constants import constant
from routing.inputs.hive import HiveBuild
from routing.inputs.operation import Operation, Temperature
from routing.record import Record


class Warmth(Record):
    """How warm a night is for hives that are closed and moved."""

    kind: Literal["warm", "cool", "not given"]
    words: str

    @property
    def needs_screen(self) -> bool:
        """True unless the night is known to be cool."""
        return self.kind != "cool"


def warmth(operation: Operation, night: dt.date, place_names: Iterable[str]) -> Warmth:
    """Return how warm ``night`` is at the places between which hives move.

    Parameters
    ----------
    operation
        Gives the temperatures and the constant ``closed_hive_warm_f``.
    night
        Date of the evening.
    place_names
        Where hives are picked up and set down.

    Returns
    -------
    Warmth
        ``warm`` when one place is at or above the constant, ``not given`` when none is but one is not known.
    """
    threshold_f = constant(operation, "closed_hive_warm_f")
    rows = {name: _row(operation, night, name) for name in place_names}
    known = [_hottest_f(row) for row in rows.values() if row is not None]
    if known and max(known) >= threshold_f:
        return Warmth(kind="warm", words=f"{max(known):g} F, at or over {threshold_f:g} F")
    missing = [name for name, row in rows.items() if row is None]
    if missing or not known:
        where = f" for {', '.join(missing)}" if missing else ""
        return Warmth(
            kind="not given", words=f"no temperature is given{where}, so it is taken for a warm night"
        )
    return Warmth(kind="cool", words=f"{max(known):g} F, under {threshold_f:g} F")


def has_air(build: HiveBuild) -> bool:
    """Return whether bees get air through a screen once the hive is closed as ``build`` says."""
    # A screened bottom needs a floor that lets air through; a solid one does not, whatever was ticked.
    screened_bottom = build.ventilation == "screened bottom" and build.bottom_board != "solid"
    return screened_bottom or build.ventilation == "top screen" or build.entrance == "screened"


def _row(operation: Operation, night: dt.date, place: str) -> Temperature | None:
    """Return the place's own row of that night, else the row for everywhere."""
    tonight = [row for row in operation.temperatures if row.night == night]
    for name in (place, ""):
        for row in tonight:
            if row.place == name:
                return row
    return None


def _hottest_f(row: Temperature) -> float:
    return max(row.sunset_f, row.low_f, row.sunrise_f)
