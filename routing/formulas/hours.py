"""Hours of service of one night: what of it the law counts, under which terms, and the findings.

Law of this file, 49 CFR part 395, property-carrying vehicles. 395.2: livestock includes insects, so bees are
an agricultural commodity. 395.1(k)(1): within 150 air miles of their source hours are not limited, loaded
or empty, in the State's seasons; since 2021 also within 150 air miles of the destination, loaded. The
exception is for whoever hauls bees, hired or not; the beekeeper's own exemption, 391.2(b), is from part 391
(driver qualification) only and never lengthens a night. What the law does not count still tires: the user's
own limits count every minute. This is not legal advice; a State may have other hours for trips within it.
"""

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Literal, NamedTuple

from routing.finding import Finding, at_least, at_most, not_checked
from routing.formulas.hours_legs import Leg
from routing.limits import limit
from routing.record import Record

Season = Literal["open", "closed", "not known"]
MIN_PER_HOUR = 60.0


class NightHours(Record):
    """Minutes of one driver in one night, all of them and those that the law counts."""

    driving_min: float
    duty_min: float
    counted_driving_min: float
    counted_duty_min: float
    counted_window_min: float
    """From the first counted minute to the end of the last counted driving."""
    longest_without_break_min: float
    """Most counted driving since a break, at any minute driven without bees on board."""
    terms: tuple[str, ...]
    """The terms applied, a sentence each."""

    @property
    def rule(self) -> str:
        """All terms as one text."""
        return " ".join(self.terms)


class OwnLimits(NamedTuple):
    """The user's own limits against fatigue; they count every minute, whatever the law leaves out."""

    driving_h: float
    duty_h: float
    source: str


class _Stretch(NamedTuple):
    """A part of a leg, or a stop, on the clock of the night."""

    start_min: float
    end_min: float
    driven: bool
    counted: bool
    bees: bool


def night_hours(
    legs: Sequence[Leg], *, hired: bool, season: Season = "not known", rating_lb: float | None = None
) -> NightHours:
    """Return what one night is under the hours-of-service rules.

    Parameters
    ----------
    legs
        Legs in order, each with the time on duty at its end.
    hired
        Whether the carrier hauls for hire.
    season
        Whether the State's planting and harvesting season is open, which 395.1(k) asks for. Not known counts
        as closed.
    rating_lb
        Gross rating of all that rolls together; None when not known, which counts as commercial. [lb]

    Returns
    -------
    NightHours
        All minutes, the counted ones, and the terms in words.

    Notes
    -----
    A leg that crosses a 150 mile circle is split where the air distance, drawn as a straight line between
    those of its two ends, crosses. On a straight way the true distance is never above that line, so the split
    counts too much and not too little; a road that bows out of the circle between two stops inside is not
    seen. Once outside, hours count until the circle is reached again [1]_. The 30 minute break is not
    asked for while bees are on board [2]_, but that driving is still added up.

    References
    ----------
    .. [1] FMCSA, regulatory guidance on 49 CFR 395.1, questions 34, 35 and 37 (83 FR 26374, 2018-06-07).
    .. [2] FAST Act exemption, as told by Safety+Health Magazine, article 14461; 85 FR 74909.

    Examples
    --------
    >>> loaded = Leg(360.0, 60.0, True, sources_air_mi=((0.0, 300.0),), destinations_air_mi=((300.0, 0.0),))
    >>> empty = Leg(360.0, 0.0, False, sources_air_mi=((300.0, 0.0),))
    >>> night_hours([loaded, empty], hired=False, season="open").counted_driving_min
    180.0
    """
    commercial = rating_lb is None or rating_lb >= limit("commercial_vehicle_from_lb").value
    stretches = list(_stretches(legs, commercial=commercial, exempt=season == "open"))
    counted = [one for one in stretches if one.counted]
    driven = [one for one in counted if one.driven]
    window_min = max(0.0, driven[-1].end_min - counted[0].start_min) if driven else 0.0
    return NightHours(
        driving_min=_minutes([one for one in stretches if one.driven]),
        duty_min=_minutes(stretches),
        counted_driving_min=_minutes(driven),
        counted_duty_min=_minutes(counted),
        counted_window_min=window_min,
        longest_without_break_min=_longest_without_break(stretches),
        terms=tuple(_terms(legs, hired=hired, season=season, commercial=commercial)),
    )


def hours_findings(
    hours: NightHours, subject: str, *, own: OwnLimits, off_duty_before_h: float | None
) -> tuple[Finding, ...]:
    """Return the findings of one night: first the law's, each with its source, then the user's own.

    Parameters
    ----------
    hours
        From `night_hours`.
    subject
        Driver and night, for people.
    own
        The user's own limits.
    off_duty_before_h
        Hours off duty in one stretch before this night; None when not known. [h]

    Returns
    -------
    tuple of Finding
        Driving, window, break and rest under the law; driving and duty under the user's own limits.
    """
    driving, window = hours.counted_driving_min / MIN_PER_HOUR, hours.counted_window_min / MIN_PER_HOUR
    unbroken = hours.longest_without_break_min / MIN_PER_HOUR
    return (
        _law("driving hours", subject, driving, name="hours_driving_h"),
        _law("hours from coming on duty to the last driving", subject, window, name="hours_window_h"),
        _law("driving hours without a break, no bees on board", subject, unbroken,
             name="hours_break_after_driving_h"),
        _rest(subject, off_duty_before_h),
        at_most("driving hours, own limit", subject, measured=hours.driving_min / MIN_PER_HOUR,
                limit=own.driving_h, unit="h", force="own figure", source=own.source),
        at_most("hours on duty, own limit", subject, measured=hours.duty_min / MIN_PER_HOUR,
                limit=own.duty_h, unit="h", force="own figure", source=own.source),
    )


def week_finding(counted_duty_h: Mapping[dt.date, float], subject: str) -> Finding:
    """Return the finding of the most hours on duty in any 7 nights in a row, at most 60.

    ``counted_duty_h`` holds the hours of each night driven [h]. The 34 h restart is not made use of, and
    work by day is not in it: both are told in the finding's note.

    >>> nights = {dt.date(2027, 4, 1) + dt.timedelta(days=day): 9.0 for day in range(9)}
    >>> week_finding(nights, "S. Example").measured
    63.0
    """
    first_days = [night + dt.timedelta(days=-6) for night in counted_duty_h]
    most_h = max((_week_h(counted_duty_h, first) for first in first_days), default=0.0)
    note = "Nights only: other work by day counts too and is not known here. No 34 h restart is assumed."
    return _law("hours on duty in 7 days", subject, most_h, name="hours_week_7_days_h", note=note)


def _week_h(counted_duty_h: Mapping[dt.date, float], first: dt.date) -> float:
    return sum(counted_duty_h.get(first + dt.timedelta(days=day), 0.0) for day in range(7))


def _stretches(legs: Sequence[Leg], *, commercial: bool, exempt: bool) -> Iterator[_Stretch]:
    """Yield every part of every leg, then its stop, in order on the clock that starts with the first leg."""
    clock = 0.0
    for leg in legs:
        free = leg.exempt_parts() if exempt else ()
        bees, minutes = leg.bees_on_board, leg.drive_min
        cuts = sorted({0.0, 1.0, *(edge for part in free for edge in part)})
        for start, end in pairwise(cuts):
            counted = commercial and not any(low <= start and end <= high for low, high in free)
            yield _Stretch(clock + start * minutes, clock + end * minutes, True, counted, bees)
        clock += minutes
        inside = any(high >= 1.0 for _, high in free)
        yield _Stretch(clock, clock + leg.stop_min, False, commercial and not inside, bees)
        clock += leg.stop_min


def _minutes(stretches: Sequence[_Stretch]) -> float:
    return sum(one.end_min - one.start_min for one in stretches)


def _longest_without_break(stretches: Sequence[_Stretch]) -> float:
    """Return the most counted driving since a break, looked at only while no bees are on board."""
    longest = since = 0.0
    for one in stretches:
        length = one.end_min - one.start_min
        if one.driven and one.counted:
            since += length
            if not one.bees:
                longest = max(longest, since)
        elif not one.driven and length >= limit("hours_break_min").value:
            since = 0.0
    return longest


def _terms(legs: Sequence[Leg], *, hired: bool, season: Season, commercial: bool) -> Iterator[str]:
    if not commercial:
        yield (
            "The vehicle is rated under 10,001 lb, so between States it is no commercial motor vehicle "
            "(49 CFR 390.5) and part 395 counts none of these hours."
        )
        return
    yield (
        f"49 CFR 395.3: at most {limit('hours_driving_h').value:.0f} h driving within "
        f"{limit('hours_window_h').value:.0f} h of coming on duty, after "
        f"{limit('hours_off_duty_h').value:.0f} h off duty."
    )
    yield _agricultural_term(legs, season)
    if any(leg.bees_on_board for leg in legs):
        yield "No 30 minute break is asked for while bees are on board; empty, it is, after 8 h of driving."
    if hired:
        yield (
            "A carrier for hire: neither the beekeeper's exemption (49 CFR 391.2(b)) nor the rules for "
            "covered farm vehicles are applied to it."
        )
    else:
        yield (
            "The beekeeper's exemption (49 CFR 391.2(b)) is from driver qualification, part 391, only; it "
            "leaves these hours as they are. Covered farm vehicle rules are not made use of."
        )


def _agricultural_term(legs: Sequence[Leg], season: Season) -> str:
    rule = "the exception for agricultural commodities, bees among them (49 CFR 395.1(k))"
    if season != "open":
        why = "the State's season is closed" if season == "closed" else "the State's season was not given"
        return f"Not applied, {why}: {rule}. Every hour is counted."
    if not any(leg.exempt_parts() for leg in legs):
        return f"Not applied, no leg lies within 150 air miles of where bees are loaded: {rule}."
    return (
        f"Applied: {rule}. Hours within 150 air miles of the first place loaded, and loaded within 150 air "
        "miles of the destination, are not counted."
    )


def _law(check: str, subject: str, measured_h: float, *, name: str, note: str = "") -> Finding:
    row = limit(name)
    return at_most(check, subject, measured=measured_h, limit=row.value, unit="h", force=row.force,
                   source=row.source, note=note)


def _rest(subject: str, off_duty_before_h: float | None) -> Finding:
    row, check = limit("hours_off_duty_h"), "hours off duty before the night"
    if off_duty_before_h is None:
        note = "What the driver did before this night is not known here: ask, and let nobody drive unrested."
        return not_checked(check, subject, force=row.force, source=row.source, note=note)
    return at_least(check, subject, measured=off_duty_before_h, limit=row.value, unit="h", force=row.force,
                    source=row.source)
