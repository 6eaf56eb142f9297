"""Stops as GPX 1.1 for a navigation device: a way point for each place, a route for each truck-night.

The route joins the stops; which roads to take is the device's and the driver's business.
Schema: https://www.topografix.com/GPX/1/1/gpx.xsd
"""

import datetime as dt
from collections.abc import Iterator, Sequence

import gpxpy.gpx as gpx
import shapely

from routing.inputs.contract import Drop, Gate
from routing.inputs.operation import Operation
from routing.sheets.sheet_record import DropSheet, StopSheet
from routing.sheets.words import printable

DANGERS = ("hazard", "water", "wet ground", "steep ground", "no entry")
"""Kinds of land that a driver must mind in the dark."""


def plan_gpx(operation_name: str, sheets: Sequence[DropSheet]) -> bytes:
    """Return every place and every truck-night's route as one GPX 1.1 document, UTF-8."""
    document = gpx.GPX()
    document.creator = "Bloomhaul"
    document.name = printable(f"{operation_name}: moves")
    document.description = "Routes join the stops; they are not the roads."
    places = {stop.place: stop for sheet in sheets for stop in sheet.stops}
    document.waypoints = [_way_point(stop) for stop in places.values()]
    document.routes = [_route(sheet) for sheet in sheets]
    text: str = document.to_xml(version="1.1")
    return text.encode("utf-8")


def ground_gpx(operation: Operation, contract: str) -> bytes:
    """Return one orchard's gates, drops and hazards as way points, and its drops from the gate as a route, UTF-8."""
    document = gpx.GPX()
    document.creator = "Bloomhaul"
    document.name = printable(f"{contract}: gates and drops")
    document.description = "The route joins gate and drops in the order of the drive; it is not the track."
    gates = [_spot(one, one.name, note=one.note, kind="gate") for one in operation.gates if one.contract == contract]
    drops = [
        _spot(one, f"{one.name}: {one.most_hives} hives", note=one.note, kind="drop")
        for one in operation.drops
        if one.contract == contract
    ]
    document.waypoints = [*gates, *drops, *_dangers(operation, contract)]
    if gates and drops:
        route = gpx.GPXRoute(name=printable(f"{contract}: gate to drops"))
        route.points = [gpx.GPXRoutePoint(one.latitude, one.longitude, name=one.name) for one in (gates[0], *drops)]
        document.routes = [route]
    text: str = document.to_xml(version="1.1")
    return text.encode("utf-8")


def _spot(place: Gate | Drop, name: str, *, note: str, kind: str) -> gpx.GPXWaypoint:
    return gpx.GPXWaypoint(
        latitude=round(place.latitude_deg, 7), longitude=round(place.longitude_deg, 7), name=printable(name),
        description=printable(note) or None, type=kind,
    )  # fmt: skip


def _dangers(operation: Operation, contract: str) -> Iterator[gpx.GPXWaypoint]:
    for one in operation.land_features:
        if one.contract == contract and one.kind in DANGERS:
            middle = shapely.from_wkt(one.shape).representative_point()
            yield gpx.GPXWaypoint(
                latitude=round(middle.y, 7), longitude=round(middle.x, 7), name=printable(f"MIND: {one.kind} {one.name}"),
                description=printable(one.note) or None, type=one.kind,
            )  # fmt: skip


def _way_point(stop: StopSheet) -> gpx.GPXWaypoint:
    gate = f"gate: {stop.gate} {stop.gate_note}" if stop.gate else ""
    words = [gate, f"hazards: {stop.hazards}" if stop.hazards else ""]
    return gpx.GPXWaypoint(
        latitude=round(stop.latitude_deg, 7), longitude=round(stop.longitude_deg, 7),
        name=printable(stop.place),
        description=printable(". ".join(word for word in words if word)) or None, type=stop.kind,
    )  # fmt: skip


def _route(sheet: DropSheet) -> gpx.GPXRoute:
    route = gpx.GPXRoute(
        name=printable(sheet.id), description=printable(f"{sheet.night_words}, {sheet.crew_words}")
    )
    route.points = [_route_point(stop) for stop in sheet.stops]
    return route


def _route_point(stop: StopSheet) -> gpx.GPXRoutePoint:
    doing = stop.doing_words or stop.kind_words
    times = f"{stop.arrive_words} {stop.zone}, {stop.date_words}"
    return gpx.GPXRoutePoint(
        latitude=round(stop.latitude_deg, 7), longitude=round(stop.longitude_deg, 7),
        time=stop.arrive.astimezone(dt.UTC),
        name=printable(f"{stop.number} {stop.place}"), description=printable(f"{doing}; {times}"),
    )  # fmt: skip
