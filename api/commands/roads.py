"""Build a folder of roads; measure an operation on it or by a server, and say what was met."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import typer

from api.commands.codes import ALL_WELL, FAULTS, NOT_KEPT, WRONG_CALL
from api.commands.exits import faults_told, say, writing
from api.commands.printed import print_lines
from api.roads.errors import EngineMissingError, RoadsError
from api.roads.lines import lines_geojson
from api.roads.measure import Roadwork, Source, measure_roads
from routing.finding import Finding
from routing.inputs.operation import Operation
from routing.sheets.words import counted, finding_words

ATTRIBUTION = "Map data: OpenStreetMap contributors, Open Database License (ODbL)."


@dataclass(frozen=True)
class Asked:
    """Where ways come from: tiles or a server, and a server to compare with."""

    tiles: Path | None = None
    server: tuple[str | None, str] = (None, "valhalla")
    """Address and interface."""
    against: tuple[str | None, str] = (None, "osrm")
    paved: bool = False
    timeout_s: float = 30.0


def build_folder(extract: Path, into: Path, *, country: str | None) -> int:
    """Build the tiles of a map and say what they are."""
    from api.roads.tiles import build_roads

    with roads_told(), writing(into):
        stamp = build_roads(extract, into, country=country, say=say)
    print_lines((
        f"{into}: {stamp.roads:,} roads and {stamp.signs:,} signs of {stamp.extract}, engine {stamp.engine}.",
        f"Weights are read as in {stamp.country}: {counted(len(stamp.tried), 'sign')} tried with trucks just under and over.",
        *(f"Misread by the engine and written anew before building: {one}" for one in stamp.mended),
        f"{stamp.given_speed:,} tracks and roads not paved have no speed on the map: {stamp.track_mph:g} and"
        f" {stamp.unpaved_mph:g} mph (common practice, no source).",
        ATTRIBUTION,
    ))  # fmt: skip
    return ALL_WELL


def measure_operation(file: Path, out: Path, *, asked: Asked, lines: Path | None = None) -> int:
    """Measure the operation in a file, write it with its ways, and print what was met."""
    from api.files.open_operation import open_operation
    from api.plannable import plannable

    if (asked.tiles is None) is (asked.server[0] is None):
        say("Name either a folder of tiles (--tiles) or the address of a road server (--server).")
        return WRONG_CALL
    with faults_told(file):
        operation = plannable(open_operation(file), file.name)
    with roads_told():
        done = measured(operation, asked)
    with writing(out):
        out.write_bytes(_content(done.operation, out))
        if lines is not None:
            lines.write_bytes(lines_geojson(done.met))
    print_lines(report(done))
    print_lines((f"Written: {out}", *([f"Written: {lines}"] if lines else [])))
    return NOT_KEPT if any(one.status == "broken" for one in done.findings) else ALL_WELL


def with_measured_roads(operation: Operation, folder: Path) -> Operation:
    """Return the operation with its ways measured on a folder of tiles, or as it is when there is no engine for them."""
    try:
        done = measured(operation, Asked(tiles=folder))
    except EngineMissingError as error:
        say(str(error))
        return operation
    except RoadsError as error:
        say(str(error))
        raise typer.Exit(FAULTS) from error
    for line in report(done):
        say(line)
    return done.operation


def measured(operation: Operation, asked: Asked) -> Roadwork:
    """Return the operation measured by the source asked for."""
    against = _server(asked.against, asked.timeout_s)
    server = _server(asked.server, asked.timeout_s)
    if server is not None:
        return measure_roads(operation, server, against=against, say=say)
    from api.roads.graph import Graph
    from api.roads.scan import read_signs

    assert asked.tiles is not None
    source = Graph(asked.tiles, paved_only=asked.paved)
    return measure_roads(operation, source, signs=read_signs(asked.tiles), against=against, say=say)


def _server(told: tuple[str | None, str], timeout_s: float) -> Source | None:
    from api.roads.server import Server
    from api.roads.server_graph import ServerGraph

    address, interface = told
    if address is None:
        return None
    return ServerGraph(Server(address, timeout_s), "osrm" if interface == "osrm" else "valhalla")


@contextmanager
def roads_told() -> Iterator[None]:
    """Print what is wrong with roads and end with ``FAULTS``, or with ``WRONG_CALL`` when the engine is missing."""
    try:
        yield
    except RoadsError as error:
        say(str(error))
        raise typer.Exit(WRONG_CALL if isinstance(error, EngineMissingError) else FAULTS) from error


def report(done: Roadwork) -> Iterator[str]:
    """Yield what was measured, a line a vehicle, then every finding that is not plainly well, the broken ones first."""
    for one in done.met:
        measured, vehicle = one.measured, one.measured.vehicle
        yield (
            f"{vehicle.name}: {counted(len(measured.ways), 'way')} measured, {vehicle.height_in / 12:.1f} ft high,"
            f" {vehicle.length_in / 12:.1f} ft long, {vehicle.gross_lb:,.0f} lb, {vehicle.axle_lb:,.0f} lb on an axle."
        )
    order = ("broken", "unknown", "ok")
    for finding in sorted((one for one in done.findings if _worth_telling(one)), key=lambda one: order.index(one.status)):
        yield f"  {finding_words(finding)}"


def _worth_telling(finding: Finding) -> bool:
    return finding.status != "ok" or finding.check in ("sign that is gone round", "two sources of road miles")


def _content(operation: Operation, file: Path) -> bytes:
    suffix = file.suffix.lower()
    if suffix == ".csv":
        from api.files.distances import distances_csv

        return distances_csv(operation)
    if suffix == ".xlsx":
        from api.files.workbook import operation_workbook

        return operation_workbook(operation)
    return (operation.model_dump_json(indent=1) + "\n").encode()
