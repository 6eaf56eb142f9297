"""Does the law on hours of drivers leave room? Rest between nights, breaks and the week.

Law 1: ten hours off duty come before every night's driving; this is held to always, exception or not.
Law 2: breaks and the week have exceptions for bees, by place and season, that are not looked into here. What
goes beyond the plain rule is therefore unknown, not broken: somebody who knows the exception must look at it.
"""

from collections.abc import Iterator
from itertools import groupby, pairwise

from routing.finding import Finding
from routing.limits import limit
from routing.nights.check_case import Case, drive_min, duty_span, legs, minutes
from routing.nights.check_rule import Rule
from routing.nights.tour import TruckNight

WEEK_DAYS = 8

REST = Rule(check="rest between nights", unit="h", force="law", source="49 CFR 395.3(a)(1)")
BREAK = Rule(check="break from driving", unit="h", force="law", source="49 CFR 395.3(a)(3)(ii)")
WEEK = Rule(check="duty in eight days", unit="h", force="law", source="49 CFR 395.3(b)(2)")


def check_hours(case: Case) -> tuple[Finding, ...]:
    """Return the findings on rest, breaks and the week of every own driver, and on breaks of hired ones."""
    worked = tuple(_by_driver(case))
    return (
        *REST.tell(found for rows in worked for found in _rests(rows)),
        *BREAK.tell(_break(case, row) for row in case.truck_nights),
        *WEEK.tell(found for rows in worked for found in _weeks(rows)),
    )


def _by_driver(case: Case) -> Iterator[tuple[TruckNight, ...]]:
    own = (row for row in case.truck_nights if row.driver in case.drivers)
    rows = sorted(own, key=lambda row: (row.driver, row.stops[0].leave))
    for _, nights in groupby(rows, key=lambda row: row.driver):
        yield tuple(nights)


def _rests(rows: tuple[TruckNight, ...]) -> Iterator[Finding | None]:
    least_h = limit("hours_off_duty_h").value
    for ahead, row in pairwise(rows):
        rest_h = minutes(duty_span(ahead)[1], duty_span(row)[0]) / 60.0
        yield REST.at_least(f"{row.driver} before {row.id}", measured=rest_h, limit=least_h)


def _break(case: Case, row: TruckNight) -> Finding | None:
    most_h, pause_min = limit("hours_break_after_driving_h").value, limit("hours_break_min").value
    since_min = longest_min = 0.0
    for leg in legs(row):
        if minutes(leg[0].arrive, leg[0].leave) >= pause_min:
            since_min = 0.0
        since_min += drive_min(case, case.trucks[row.truck], leg)
        longest_min = max(longest_min, since_min)
    if longest_min <= 60.0 * most_h:
        return None
    driven = f"{longest_min / 60.0:.1f} h of driving without {pause_min:.0f} min off the wheel"
    return BREAK.unknown(row.id, note=f"{driven}; over {most_h:.0f} h only while bees are on board")


def _weeks(rows: tuple[TruckNight, ...]) -> Iterator[Finding | None]:
    most_h = limit("hours_week_8_days_h").value
    for row in rows:
        near = [one for one in rows if 0 <= (one.night - row.night).days < WEEK_DAYS]
        duty_h = sum(minutes(*duty_span(one)) for one in near) / 60.0
        worked = f"{duty_h:.1f} h on duty in {WEEK_DAYS} days"
        note = f"{worked}; over {most_h:.0f} h only where an exception for bees holds"
        yield WEEK.unknown(f"{row.driver} from {row.night}", note=note) if duty_h > most_h else None
