"""Every sheet of a plan, night by night, as the page lists them."""

import datetime as dt
import re
from typing import NamedTuple

from api.files.sheets import sheet_names, truck_night_names
from routing.plan_record import Plan


class SheetRow(NamedTuple):
    """One sheet with the formats that it can be had in."""

    name: str
    kind: str
    """``drop``, ``yards`` or ``loads`` of a night; of the whole plan the name itself."""
    truck: str
    formats: tuple[str, ...]


class SheetGroup(NamedTuple):
    """The sheets of one night; ``night`` is None for those of the whole plan."""

    night: dt.date | None
    rows: tuple[SheetRow, ...]


_ORDER = ("drop", "yards", "loads")
_OF_A_NIGHT = re.compile(r"\d{4}-\d{2}-\d{2}-(?P<kind>yards|loads)")


def sheet_list(plan: Plan) -> tuple[SheetGroup, ...]:
    """Return the sheets of each night in order, then those of the whole plan."""
    ids = {name: truck_night for truck_night, name in truck_night_names(plan).items()}
    trucks = {one.id: one.truck for one in plan.truck_nights}
    whole: list[SheetRow] = []
    nights: dict[dt.date, list[SheetRow]] = {}
    for name, formats in sheet_names(plan).items():
        night = _OF_A_NIGHT.fullmatch(name)
        kind = "drop" if name in ids else night["kind"] if night else name
        row = SheetRow(name, kind, trucks[ids[name]] if name in ids else "", formats)
        (nights.setdefault(dt.date.fromisoformat(name[:10]), []) if kind in _ORDER else whole).append(row)
    of_nights = (SheetGroup(night, tuple(sorted(nights[night], key=_place))) for night in sorted(nights))
    return (*of_nights, SheetGroup(None, tuple(whole)))


def _place(row: SheetRow) -> tuple[int, str]:
    return _ORDER.index(row.kind), row.truck
