"""A siting as a file: the operation with its drops, or the orchard as a map or figure."""

from collections.abc import Callable

from api.files.geojson import ground_geojson
from api.files.geopackage import ground_geopackage
from api.files.gpx import ground_gpx
from api.files.workbook import operation_workbook
from routing.drops.drop import Siting
from routing.drops.write import with_drops
from routing.inputs.operation import Operation
from routing.sheets.block_map import block_map

_MAKERS: dict[str, Callable[[Operation, Siting], bytes]] = {
    "json": lambda operation, _: (operation.model_dump_json(indent=1) + "\n").encode("utf-8"),
    "xlsx": lambda operation, _: operation_workbook(operation),
    "geojson": lambda operation, siting: ground_geojson(operation, siting.contract),
    "gpkg": lambda operation, siting: ground_geopackage(operation, siting.contract, siting=siting),
    "gpx": lambda operation, siting: ground_gpx(operation, siting.contract),
    "svg": lambda operation, siting: block_map(operation, siting.contract).encode("utf-8"),
}
SITING_FORMATS = tuple(_MAKERS)


def siting_file(operation: Operation, siting: Siting, format: str) -> bytes:
    """Return the siting as the bytes of a file in one of ``SITING_FORMATS``.

    Parameters
    ----------
    operation
        As it was sited; the file has the drops of ``siting`` in place of the contract's own.
    """
    return _MAKERS[format](with_drops(operation, siting), siting)
