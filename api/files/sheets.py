"""Every sheet of a plan by name and format: made in memory for the API, or written to a folder.

Nothing is half-written: all sheets are made first, then each file is put in place in one step.
"""

import datetime as dt
import os
import re
import tempfile
from collections.abc import Callable, Iterator
from functools import cache, partial
from pathlib import Path

from api.files.csv_checks import checks_csv
from api.files.csv_moves import moves_csv
from api.files.geojson import plan_geojson
from api.files.gpx import plan_gpx
from api.files.html import drop_sheet_html, load_sheets_html, yard_sheets_html
from api.files.ics import plan_ics
from api.files.message import message_text
from api.files.pdf import drop_sheet_pdf, load_sheets_pdf, yard_sheets_pdf
from api.files.xlsx_moves import moves_xlsx
from routing.errors import BloomhaulError
from routing.inputs.operation import Operation
from routing.plan_record import Plan
from routing.sheets.checks import check_rows
from routing.sheets.drop_sheet import drop_sheet, drop_sheets
from routing.sheets.load_report import LoadReport, load_nights, load_reports
from routing.sheets.moves import moves, stop_rows
from routing.sheets.season_calendar import season_calendar
from routing.sheets.sheet_record import DropSheet, YardSheet
from routing.sheets.summary import summary_lines
from routing.sheets.words import slug
from routing.sheets.yard_sheet import yard_nights, yard_sheets

MEDIA_TYPES = {
    "pdf": "application/pdf",
    "html": "text/html; charset=utf-8",
    "txt": "text/plain; charset=utf-8",
    "json": "application/json",
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "geojson": "application/geo+json",
    "gpx": "application/gpx+xml",
    "ics": "text/calendar; charset=utf-8",
    "svg": "image/svg+xml",
}
LIST_FILE = "sheets.txt"
"""Names of the files that the last writing left in the folder."""
_NIGHT_FILE = re.compile(r"\d{4}-\d{2}-\d{2}-[a-z0-9-]+\.(pdf|html|txt)")

Maker = Callable[[], bytes]


class NoSuchSheetError(BloomhaulError, LookupError):
    """The plan has no sheet of that name, or not in that format."""


def sheet_names(plan: Plan) -> dict[str, tuple[str, ...]]:
    """Return every sheet's name with the formats it can be had in.

    Names are ``plan``, ``summary``, ``season``, ``checks``, ``moves``, ``NIGHT-loads``, ``NIGHT-yards`` and ``NIGHT-TRUCK``; a
    truck's part is chosen here from its name, in letters that are safe in any file system.
    """
    return {name: tuple(formats) for name, formats in _makers(plan, None).items()}


def truck_night_names(plan: Plan) -> dict[str, str]:
    """Return the name of each truck-night's drop sheet, by truck-night id."""
    trucks = _truck_slugs(plan.operation)
    return {one.id: f"{one.night.isoformat()}-{trucks[one.truck]}" for one in plan.truck_nights}


def render(plan: Plan, name: str, format: str, *, stamped: dt.datetime | None = None) -> bytes:
    """Return one sheet as the bytes of a file.

    Parameters
    ----------
    plan
        Any plan.
    name, format
        As ``sheet_names`` gives them.
    stamped
        When the plan was made, for the calendar; left out, see ``stamp_of``.

    Raises
    ------
    NoSuchSheetError
        If the plan has no such sheet, or not in that format.
    """
    formats = _makers(plan, stamped).get(name)
    if formats is None:
        raise NoSuchSheetError(f"The plan has no sheet called {name!r}.")
    if format not in formats:
        raise NoSuchSheetError(
            f"The sheet {name!r} is not to be had as {format!r}, only as {', '.join(formats)}."
        )
    return formats[format]()


def write_sheets(plan: Plan, folder: Path | str, *, stamped: dt.datetime | None = None) -> tuple[Path, ...]:
    """Write plan, summary, checks, drop sheets, yard sheets and all moves to ``folder``; return the files written.

    The folder is made if need be. Drop and yard sheets that an earlier writing left there and that this plan
    does not have are removed, so that nobody drives by an old one.

    Parameters
    ----------
    plan
        Any plan.
    folder
        Where to write.
    stamped
        When the plan was made, for the calendar; left out, see ``stamp_of``.
    """
    folder = Path(folder)
    made = dict(_files(plan, stamped))
    folder.mkdir(parents=True, exist_ok=True)
    old = _listed(folder)
    for name, content in made.items():
        _put(folder / name, content)
    for name in old - made.keys():
        (folder / name).unlink(missing_ok=True)
    _put(folder / LIST_FILE, "".join(f"{name}\n" for name in made).encode("utf-8"))
    return tuple(folder / name for name in made)


def stamp_of(plan: Plan) -> dt.datetime:
    """Return the moment that stands in for the plan's making: its latest inspection, or its first night.

    The plan carries no clock; the same plan must give the same calendar.
    """
    days = [group.inspected_on for group in plan.operation.hive_groups] or [plan.operation.first_night]
    return dt.datetime.combine(max(days), dt.time(), dt.UTC)


def _files(plan: Plan, stamped: dt.datetime | None) -> Iterator[tuple[str, bytes]]:
    nights = set(truck_night_names(plan).values())
    for name, formats in _makers(plan, stamped).items():
        for format_, make in formats.items():
            if name not in nights or format_ in ("pdf", "html", "txt"):
                yield f"{name}.{format_}", make()


def _makers(plan: Plan, stamped: dt.datetime | None) -> dict[str, dict[str, Maker]]:
    name, stamp = plan.operation.name, stamped or stamp_of(plan)
    # Each sheet is worked out once for all its formats.
    sheets = cache(partial(drop_sheets, plan))
    found: dict[str, dict[str, Maker]] = {
        "plan": {"json": lambda: (plan.model_dump_json(indent=1) + "\n").encode("utf-8")},
        "summary": {"txt": lambda: ("\n".join(summary_lines(plan)) + "\n").encode("utf-8")},
        "season": {"svg": lambda: season_calendar(plan).encode("utf-8")},
        "checks": {"csv": lambda: checks_csv(check_rows(plan))},
        "moves": {
            "csv": lambda: moves_csv(moves(plan)),
            "xlsx": lambda: moves_xlsx(moves(plan), stop_rows(plan)),
            "geojson": lambda: plan_geojson(plan.operation, sheets()),
            "gpx": lambda: plan_gpx(name, sheets()),
            "ics": lambda: plan_ics(name, sheets(), stamped=stamp),
        },
    }
    for night_id, file_name in truck_night_names(plan).items():
        found[file_name] = _night_makers(plan, cache(partial(drop_sheet, plan, night_id)), stamp)
    for night in load_nights(plan):
        found[f"{night.isoformat()}-loads"] = _load_makers(cache(partial(load_reports, plan, night)))
    for night in yard_nights(plan):
        yards = cache(partial(yard_sheets, plan, night))
        found[f"{night.isoformat()}-yards"] = _yard_makers(yards)
    return found


def _night_makers(plan: Plan, sheet: Callable[[], DropSheet], stamp: dt.datetime) -> dict[str, Maker]:
    name = plan.operation.name
    return {
        "pdf": lambda: drop_sheet_pdf(sheet()),
        "html": lambda: drop_sheet_html(sheet()),
        "txt": lambda: message_text(sheet()),
        "gpx": lambda: plan_gpx(name, [sheet()]),
        "ics": lambda: plan_ics(name, [sheet()], stamped=stamp),
    }


def _load_makers(loads: Callable[[], tuple[LoadReport, ...]]) -> dict[str, Maker]:
    return {"pdf": lambda: load_sheets_pdf(loads()), "html": lambda: load_sheets_html(loads())}


def _yard_makers(yards: Callable[[], tuple[YardSheet, ...]]) -> dict[str, Maker]:
    return {"pdf": lambda: yard_sheets_pdf(yards()), "html": lambda: yard_sheets_html(yards())}


def _truck_slugs(operation: Operation) -> dict[str, str]:
    found: dict[str, str] = {}
    taken = {"yards", "loads"}
    for truck in operation.trucks:
        stem = slug(truck.name) or "truck"
        name = next(one for one in _numbered(stem) if one not in taken)
        taken.add(name)
        found[truck.name] = name
    return found


def _numbered(stem: str) -> Iterator[str]:
    yield stem
    number = 2
    while True:
        yield f"{stem}-{number}"
        number += 1


def _listed(folder: Path) -> set[str]:
    try:
        lines = (folder / LIST_FILE).read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return set()
    return {line for line in lines if _NIGHT_FILE.fullmatch(line)}


def _put(path: Path, content: bytes) -> None:
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
        # mkstemp makes the file its owner's only; a sheet is as readable as any new file.
        Path(temporary).chmod(0o666 & ~_umask())
        Path(temporary).replace(path)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise


def _umask() -> int:
    now = os.umask(0)
    os.umask(now)
    return now
