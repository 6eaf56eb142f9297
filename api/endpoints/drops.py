"""Where the drops of one contract stand: a proposal as JSON, as a map, or as the operation with it."""

from collections.abc import Callable
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Path, Query, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from api.endpoints.body import operation_given
from api.endpoints.documents import operation_body
from api.problems import ProblemError, documented
from routing.drops.drop import Siting, SitingError
from routing.inputs.operation import Operation

drops = APIRouter(prefix="/operations", tags=["drops"])

Format = Literal["json", "geojson", "gpkg", "gpx", "svg"]
Contract = Annotated[
    str | None,
    Query(description="name of the contract; left out: the first that has a block with an outline", max_length=60,
          examples=["Early cherries"]),
]  # fmt: skip
MostStops = Annotated[int | None, Query(description="most drops; left out: as many as are worth it", ge=1, le=30)]
Farthest = Annotated[float | None, Query(description="no acre farther from its hives [ft]", ge=10, le=20000)]
_SVG_POLICY = "default-src 'none'; style-src 'unsafe-inline'"
_KINDS: dict[Format, str] = {
    "json": "application/json", "geojson": "application/geo+json", "gpkg": "application/geopackage+sqlite3",
    "gpx": "application/gpx+xml", "svg": "image/svg+xml",
}  # fmt: skip
_FILES: dict[int | str, dict[str, Any]] = {
    200: {"description": "The orchard with the drops proposed.", "content": {kind: {} for kind in _KINDS.values()}}
}


@drops.post(
    "/drops",
    summary="Propose where the drops of a contract stand",
    openapi_extra={"requestBody": operation_body()},
    responses=documented(400, 403, 413, 415, 422),
)
async def propose(
    request: Request, contract: Contract = None, most_stops: MostStops = None, farthest_ft: Farthest = None
) -> Siting:
    """Answer with drops in the order of the drive, how even they are, the curve of stops, the gap and every check."""
    operation = await operation_given(request)
    return await run_in_threadpool(_sited, operation, contract, most_stops, farthest_ft)


@drops.post(
    "/drops.{format}",
    summary="The same as a file: the operation with the drops, or the orchard as a map",
    response_class=Response,
    openapi_extra={"requestBody": operation_body()},
    responses=documented(400, 403, 404, 413, 415, 422) | _FILES,
)
async def propose_file(
    request: Request, format: Annotated[Format, Path(description="kind of file", examples=["geojson"])],
    contract: Contract = None,
    most_stops: MostStops = None, farthest_ft: Farthest = None,
) -> Response:  # fmt: skip
    """Answer with the operation (json), GeoJSON, a GeoPackage with styles, GPX way points, or the map as a figure."""
    operation = await operation_given(request)
    siting = await run_in_threadpool(_sited, operation, contract, most_stops, farthest_ft)
    content = await run_in_threadpool(_maker(format), operation, siting)
    return Response(content, media_type=_KINDS[format], headers={"Content-Security-Policy": _SVG_POLICY})


def _sited(operation: Operation, contract: str | None, most_stops: int | None, farthest_ft: float | None) -> Siting:
    from routing.drops.ground import contract_named
    from routing.drops.propose import propose_drops
    from routing.drops.rules import siting_rules

    outlined = (block.contract for block in operation.blocks if block.outline)
    named = contract if contract is not None else next(outlined, "")
    try:
        rules = siting_rules(operation, contract_named(operation, named), most_stops=most_stops, farthest_ft=farthest_ft)
        return propose_drops(operation, named, rules=rules)
    except SitingError as error:
        raise ProblemError(422, "no-siting", str(error)) from error


def _maker(format: Format) -> Callable[[Operation, Siting], bytes]:
    from api.files.sitings import siting_file

    return lambda operation, siting: siting_file(operation, siting, format)
