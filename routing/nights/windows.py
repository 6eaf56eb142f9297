"""The dark hours at a place: from the end of flying in the evening to its start in the morning.

Loading starts at civil dusk; earlier on an evening too cold to fly, later on one so warm that bees hang
outside. Hives are on the ground by civil dawn; later when the morning is too cold to fly. Temperatures
that are not given change nothing, and the note says so.
"""

import datetime as dt

from routing.formulas.sun import NoNightError, sun_times
from routing.inputs.constants import constant
from routing.inputs.operation import Operation, Temperature
from routing.inputs.places import Place, places
from routing.nights.tour import NightWindow


def night_window(operation: Operation, place_name: str, night: dt.date) -> NightWindow | None:
    """Return the dark hours at a place on the night that begins on the evening of ``night``.

    Parameters
    ----------
    operation
        The operation: places, temperatures, constants.
    place_name
        Yard or contract.
    night
        Date of the evening.

    Returns
    -------
    NightWindow or None
        None when the sun does not go down far enough for a night (far north in summer).
    """
    return window_at(operation, places(operation)[place_name], night)


def window_at(operation: Operation, place: Place, night: dt.date) -> NightWindow | None:
    """Return the dark hours at a place that is at hand; see ``night_window``."""
    try:
        sun = sun_times(place.latitude_deg, place.longitude_deg, night=night, time_zone=place.time_zone)
    except NoNightError:
        return None
    weather = temperature(operation, place.name, night)
    begin, begin_note = _loading_from(operation, sun.sunset, sun.civil_dusk, weather)
    end, end_note = _set_down_until(operation, sun.civil_dawn, weather)
    note = "; ".join(part for part in (begin_note, end_note) if part) if weather else "no temperature given"
    return NightWindow(
        place=place.name, night=night, sunset=sun.sunset, civil_dusk=sun.civil_dusk, civil_dawn=sun.civil_dawn,
        sunrise=sun.sunrise, loading_from=begin, set_down_until=end, note=note,
    )


def temperature(operation: Operation, place_name: str, night: dt.date) -> Temperature | None:
    """Return the temperatures of a night at a place; a row without a place counts for all places."""
    rows = [row for row in operation.temperatures if row.night == night and row.place in ("", place_name)]
    return max(rows, key=lambda row: len(row.place), default=None)


def _loading_from(
    operation: Operation, sunset: dt.datetime, dusk: dt.datetime, weather: Temperature | None
) -> tuple[dt.datetime, str]:
    if weather and weather.sunset_f <= constant(operation, "flight_stops_below_f"):
        early = dusk - dt.timedelta(minutes=constant(operation, "earliest_before_dusk_min"))
        return max(sunset, early), f"evening {weather.sunset_f:.0f} F, too cold to fly: loading may start before dusk"
    if weather and weather.sunset_f >= constant(operation, "warm_evening_f"):
        wait = constant(operation, "warm_evening_wait_min")
        return dusk + dt.timedelta(minutes=wait), f"evening {weather.sunset_f:.0f} F, bees hang outside: wait {wait:.0f} min"
    return dusk, ""


def _set_down_until(operation: Operation, dawn: dt.datetime, weather: Temperature | None) -> tuple[dt.datetime, str]:
    if weather and weather.sunrise_f <= constant(operation, "flight_stops_below_f"):
        grace = constant(operation, "cold_morning_grace_min")
        return dawn + dt.timedelta(minutes=grace), f"morning {weather.sunrise_f:.0f} F, too cold to fly: {grace:.0f} min more"
    return dawn, ""
