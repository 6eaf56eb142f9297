"""From files to an operation: a JSON document or a workbook, with maps, distances and weather beside it."""

from collections.abc import Callable, Sequence
from pathlib import Path

from api.files.distances import with_distances
from api.files.maps import with_map
from api.files.weather import with_weather
from api.files.workbook_guard import MOST_PACKED_BYTES
from api.files.workbook_read import draft_from_workbook
from routing.errors import OperationError
from routing.inputs.faults import Fault
from routing.inputs.operation import Operation
from routing.inputs.read import draft_from_json
from routing.inputs.rows import Draft, operation_from_draft

MOST_BYTES = MOST_PACKED_BYTES
AN_OPERATION = "an operation saved as .json or .xlsx"
_WITH_MACROS = (".xlsm", ".xltm", ".xlam", ".xlsb")
_OLD_WORKBOOK = b"\xd0\xcf\x11\xe0"


def open_operation(
    path: Path, maps: Sequence[Path] = (), distances: Path | None = None, *, weather: Sequence[Path] = ()
) -> Operation:
    """Return the operation that some files describe.

    Parameters
    ----------
    path
        A JSON document or an .xlsx workbook, told apart by suffix, else by content.
    maps
        GeoJSON, GeoPackage, KML or zipped shapefiles with blocks and the land about them.
    distances
        A CSV file of origin, destination, miles, minutes.
    weather
        CSV files of temperatures by the hour or by the day.

    Returns
    -------
    Operation
        Checked within rows and across them.

    Raises
    ------
    OperationError
        With every fault of every file at once.
    """
    faults: list[object] = []
    draft = Draft(path.name, {})
    try:
        draft = _draft(path)
    except OperationError as error:
        faults += error.faults
    for map_file in maps:
        draft = _with_file(draft, map_file, with_map)
    if distances is not None:
        draft = _with_file(
            draft, distances, lambda so_far, file: with_distances(so_far, file.read_bytes(), file.name)
        )
    for weather_file in weather:
        draft = _with_file(draft, weather_file, lambda so_far, file: with_weather(so_far, file.read_bytes(), file.name))
    if faults:
        # The main file is no operation at all: what its rows lack would be no news.
        raise OperationError((*faults, *draft.faults))
    return operation_from_draft(draft)


def _draft(path: Path) -> Draft:
    fault = _file_fault(path)
    if fault is not None:
        raise OperationError((fault,))
    content = path.read_bytes()
    suffix = path.suffix.lower()
    if suffix in _WITH_MACROS:
        found = f"a workbook saved as {suffix}, which may hold macros"
        raise OperationError((Fault(file=path.name, found=found, allowed=AN_OPERATION),))
    if suffix in (".xlsx", ".xls", ".ods") or content.startswith((b"PK", _OLD_WORKBOOK)):
        return draft_from_workbook(content, path.name)
    if suffix == ".json" or content.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"{"):
        return draft_from_json(content, path.name)
    found = f"a file of another kind ({suffix or 'without a suffix'})"
    raise OperationError((Fault(file=path.name, found=found, allowed=AN_OPERATION),))


def _with_file(draft: Draft, path: Path, add: Callable[[Draft, Path], Draft]) -> Draft:
    fault = _file_fault(path)
    if fault is None:
        return add(draft, path)
    return Draft(draft.file, draft.rows, (*draft.faults, fault))


def _file_fault(path: Path) -> Fault | None:
    """Return why a file cannot be opened, or None."""
    try:
        size = path.stat().st_size
        if path.is_dir():
            return Fault(file=path.name, found="a folder", allowed="a file")
        with path.open("rb") as stream:
            stream.read(1)
    except FileNotFoundError:
        return Fault(file=path.name, found="no such file", allowed="a file that is there")
    except (OSError, ValueError):
        return Fault(file=path.name, found="a file that cannot be opened", allowed="a file that may be read")
    if size > MOST_BYTES:
        return Fault(file=path.name, found=f"{size:,} bytes", allowed=f"at most {MOST_BYTES:,}")
    return None
