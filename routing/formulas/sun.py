"""Sunset, civil dusk, civil dawn and sunrise of one night, on the clock of the place.

A night bears the date of its evening: its sunset and dusk follow the solar noon of that date, its dawn and
sunrise come before the next solar noon. So neither the date line of UTC nor a change of clocks moves them.
Ground is taken as flat: a ridge to the west brings dusk earlier, one to the east brings sunrise later.
"""

import datetime as dt
from collections.abc import Iterator
from functools import cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from astral import Observer, SunDirection
from astral.sun import noon, time_of_transit
from pydantic import AwareDatetime

from routing.errors import BloomhaulError
from routing.record import Record

HORIZON_ZENITH_DEG = 90.0 + 50.0 / 60.0
"""Upper limb on the horizon: 34' of refraction and 16' of half the disc."""
CIVIL_ZENITH_DEG = 96.0
"""Centre of the Sun 6 deg below the horizon."""
ONE_DAY = dt.timedelta(days=1)


class NoNightError(BloomhaulError):
    """The night has no civil dusk and dawn at this place: light all night, or dark all day."""


class SunTimes(Record):
    """The four moments of one night, in the zone that was asked for, to the second."""

    sunset: AwareDatetime
    civil_dusk: AwareDatetime
    civil_dawn: AwareDatetime
    sunrise: AwareDatetime


@cache
def sun_times(latitude_deg: float, longitude_deg: float, *, night: dt.date, time_zone: str) -> SunTimes:
    """Return sunset and civil dusk of the evening of ``night``, civil dawn and sunrise of the morning after.

    Parameters
    ----------
    latitude_deg, longitude_deg
        Place, WGS 84, north and east positive. [deg]
    night
        Date of the evening, as the clocks of ``time_zone`` have it.
    time_zone
        IANA name of the zone, for instance ``America/Los_Angeles``.

    Returns
    -------
    SunTimes
        Aware times in ``time_zone``; always sunset < civil dusk < civil dawn < sunrise.

    Raises
    ------
    NoNightError
        If the sun does not set, does not rise, or civil twilight lasts the whole night.
    ValueError
        If the place is off the globe or the zone is unknown.

    Notes
    -----
    Sunset and sunrise: upper limb of the Sun on a flat horizon, its centre 50' below [1]_. Civil dusk and
    dawn: its centre 6 deg below the geometric horizon [2]_. Solar position by astral, without its own
    refraction model, so that both angles are those of the definitions. Within 5 s of a planetary
    ephemeris from Honolulu to Anchorage.

    References
    ----------
    .. [1] U.S. Naval Observatory, "Rise, Set, and Twilight Definitions" (34' + 16', as quoted by others).
    .. [2] Hong Kong Observatory, "Twilight": it ends when the Sun's centre is 6 deg below. hko.gov.hk

    Examples
    --------
    >>> times = sun_times(46.6021, -120.5059, night=dt.date(2026, 4, 20), time_zone="America/Los_Angeles")
    >>> times.civil_dusk.strftime("%Y-%m-%d %H:%M %Z"), times.civil_dawn.strftime("%Y-%m-%d %H:%M %Z")
    ('2026-04-20 20:29 PDT', '2026-04-21 05:31 PDT')
    """
    zone = _zone(time_zone)
    observer = _observer(latitude_deg, longitude_deg)
    midday = _solar_noon(observer, dt.datetime.combine(night, dt.time(12), zone))
    try:
        sunset = _first_after(midday, observer, HORIZON_ZENITH_DEG, SunDirection.SETTING)
        dusk = _first_after(midday, observer, CIVIL_ZENITH_DEG, SunDirection.SETTING)
        dawn = _last_before(midday + ONE_DAY, observer, CIVIL_ZENITH_DEG, SunDirection.RISING)
        sunrise = _last_before(midday + ONE_DAY, observer, HORIZON_ZENITH_DEG, SunDirection.RISING)
    except StopIteration:
        raise _no_night(observer, night) from None
    if not midday < sunset < dusk < dawn < sunrise < midday + ONE_DAY:
        raise _no_night(observer, night)
    on_clock = [_whole_second(moment).astimezone(zone) for moment in (sunset, dusk, dawn, sunrise)]
    return SunTimes(sunset=on_clock[0], civil_dusk=on_clock[1], civil_dawn=on_clock[2], sunrise=on_clock[3])


def _zone(time_zone: str) -> ZoneInfo:
    try:
        return ZoneInfo(time_zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise ValueError(f"No time zone is called {time_zone!r}; write one like America/Chicago.") from None


def _observer(latitude_deg: float, longitude_deg: float) -> Observer:
    if not (-90.0 <= latitude_deg <= 90.0 and -180.0 <= longitude_deg <= 180.0):
        raise ValueError(
            f"Latitude {latitude_deg}, longitude {longitude_deg}: "
            "latitude lies between -90 and 90, longitude between -180 and 180."
        )
    return Observer(latitude_deg, longitude_deg, 0.0)


def _solar_noon(observer: Observer, clock_noon: dt.datetime) -> dt.datetime:
    """Return the solar noon nearest to twelve on the clock, in UTC."""
    twelve = clock_noon.astimezone(dt.UTC)
    middays = [noon(observer, twelve.date() + days * ONE_DAY, dt.UTC) for days in (-1, 0, 1)]
    return min(middays, key=lambda midday: abs(midday - twelve))


def _first_after(
    midday: dt.datetime, observer: Observer, zenith_deg: float, direction: SunDirection
) -> dt.datetime:
    return next(found for found in _transits(midday, observer, zenith_deg, direction) if found > midday)


def _last_before(
    midday: dt.datetime, observer: Observer, zenith_deg: float, direction: SunDirection
) -> dt.datetime:
    found = [one for one in _transits(midday, observer, zenith_deg, direction) if one < midday]
    return next(reversed(found))


def _transits(
    midday: dt.datetime, observer: Observer, zenith_deg: float, direction: SunDirection
) -> Iterator[dt.datetime]:
    """Yield, in order, the moments at ``zenith_deg`` on the three UTC days about ``midday``."""
    for days in (-1, 0, 1):
        try:
            yield time_of_transit(
                observer, midday.date() + days * ONE_DAY, zenith_deg, direction, with_refraction=False
            )
        except ValueError:  # that day the sun does not come to this angle
            continue


def _no_night(observer: Observer, night: dt.date) -> NoNightError:
    return NoNightError(
        f"At latitude {observer.latitude:.4f}, longitude {observer.longitude:.4f} the night of {night} "
        "has no civil dusk and dawn with dark between them: bees there cannot be moved by night."
    )


def _whole_second(moment: dt.datetime) -> dt.datetime:
    return (moment + dt.timedelta(microseconds=500_000)).replace(microsecond=0)
