"""Stops as GPX 1.1 for a navigation device: a way point for each place, a route for each truck-night.

The route joins the stops; which roads to take is the device's and the driver's business.
Schema: https://www.topografix.com/GPX/1/1/gpx.xsd
"""

import datetime as dt
from collections.abc import Sequence

import gpxpy.gpx as gpx

from routing.sheets.sheet_record import DropSheet, StopSheet
from routing.sheets.words import printable


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
