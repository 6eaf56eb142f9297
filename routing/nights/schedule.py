"""Minute by minute: draft nights become truck-nights with times, drivers, lots and costs."""

import datetime as dt
from zoneinfo import ZoneInfo

from routing.finding import Finding
from routing.formulas.hours import NightHours, OwnLimits, hours_findings, night_hours
from routing.formulas.hours_legs import night_legs
from routing.inputs.constants import constant
from routing.nights.crew import HIRED, crew, wage_usd_per_min
from routing.nights.dark import noon
from routing.nights.draft import Clock, DraftNight, clock, miles
from routing.nights.lots import Ride, lots
from routing.nights.problem import Problem, Rig, night_date
from routing.nights.tour import Lot, NightWindow, Stop, TruckNight
from routing.nights.windows import night_window


def schedule(problem: Problem, nights: tuple[DraftNight, ...]) -> tuple[TruckNight, ...]:
    """Return the truck-nights in order of night and truck.

    Raises
    ------
    ValueError
        If a draft night does not fit its dark hours, or no driver may drive it.
    """
    ordered = tuple(sorted(nights, key=lambda one: (one.night, problem.rigs[one.rig].name)))
    drivers = crew(problem, ordered)
    if drivers is None:
        raise ValueError("no assignment of drivers keeps their hours")
    return tuple(_truck_night(problem, one, driver) for one, driver in zip(ordered, drivers, strict=True))


def _truck_night(problem: Problem, night: DraftNight, driver: str) -> TruckNight:
    times = clock(problem, night)
    if times is None:
        raise ValueError(f"the stops of night {night.night} do not fit the dark hours")
    rig = problem.rigs[night.rig]
    truck = next(one for one in problem.operation.trucks if one.name == rig.name)
    stops = _stops(problem, night, times)
    duty_min = _minutes(stops[0].leave, stops[-1].arrive)
    usd = (
        miles(problem, night) * rig.usd_per_mile + rig.usd_per_night
        + duty_min * wage_usd_per_min(problem, night.rig, driver)
    )
    subject = f"{night_date(problem.operation, night.night).isoformat()} {rig.name}"
    hours = _hours(problem, rig, stops)
    return TruckNight(
        id=subject, truck=rig.name, night=night_date(problem.operation, night.night), driver=driver,
        helpers=truck.helpers, stops=stops, miles=sum(stop.miles for stop in stops),
        driving_min=sum(stop.drive_min for stop in stops), duty_min=duty_min, cost_usd=round(usd, 2),
        hours_rule=hours.rule, findings=_hours_findings(problem, hours, f"{driver}, {subject}", driver),
    )


def _stops(problem: Problem, night: DraftNight, times: Clock) -> tuple[Stop, ...]:
    rig, carried = problem.rigs[night.rig], lots(problem, night)
    places = [rig.base, *(stop.place for stop in night.stops), rig.base]
    begins, ends = [times.start, *times.begin, times.finish], [times.start, *times.end, times.finish]
    found: list[Stop] = []
    for number, place in enumerate(places):
        before = places[number - 1] if number else place
        working = 0 < number < len(places) - 1
        found.append(Stop(
            number=number, place=place, kind=problem.sites[place].kind if working else "base",
            arrive=_moment(problem, night, place, begins[number]), leave=_moment(problem, night, place, ends[number]),
            miles=problem.miles(before, place), drive_min=problem.drive_min(rig, before, place),
            picked_up=_at(carried, number - 1, 1) if working else (), set_down=_at(carried, number - 1, 2) if working else (),
        ))
    return tuple(found)


def _minutes(begin: dt.datetime, end: dt.datetime) -> float:
    """Return the minutes between two moments; of one zone, Python would forget a change of clocks between them. [min]"""
    return (end.astimezone(dt.UTC) - begin.astimezone(dt.UTC)).total_seconds() / 60.0


def _at(carried: dict[Ride, Lot], stop: int, end: int) -> tuple[Lot, ...]:
    return tuple(lot for ride, lot in carried.items() if ride[end] == stop)


def _moment(problem: Problem, night: DraftNight, place: str, minute: float) -> dt.datetime:
    start = noon(problem.operation, night.night).astimezone(dt.UTC)
    moment = start + dt.timedelta(seconds=round(minute * 60.0))
    return moment.astimezone(ZoneInfo(problem.sites[place].time_zone))


def _hours(problem: Problem, rig: Rig, stops: tuple[Stop, ...]) -> NightHours:
    truck = next(one for one in problem.operation.trucks if one.name == rig.name)
    aboard, bees = 0, []
    for stop in stops[:-1]:
        aboard += sum(lot.hives for lot in stop.picked_up) - sum(lot.hives for lot in stop.set_down)
        bees.append(aboard > 0)
    sites = [problem.sites[stop.place] for stop in stops]
    legs = night_legs(
        [(site.latitude_deg, site.longitude_deg) for site in sites], bees,
        drive_min=[stop.drive_min for stop in stops[1:]],
        stop_min=[_minutes(stop.arrive, stop.leave) for stop in stops[1:]],
    )
    return night_hours(legs, hired=rig.hired, rating_lb=truck.gross_rating_lb)


def _hours_findings(problem: Problem, hours: NightHours, subject: str, driver: str) -> tuple[Finding, ...]:
    own = next((one.most_duty_hours for one in problem.operation.drivers if one.name == driver), None)
    limits = OwnLimits(
        driving_h=constant(problem.operation, "fatigue_driving_h"),
        duty_h=min(constant(problem.operation, "fatigue_duty_h"), own or 14.0),
        source="constants fatigue_driving_h and fatigue_duty_h" + ("" if driver == HIRED else ", the driver's own limit"),
    )
    return hours_findings(hours, subject, own=limits, off_duty_before_h=None)


def windows(problem: Problem, truck_nights: tuple[TruckNight, ...]) -> tuple[NightWindow, ...]:
    """Return the dark hours of every working stop, each place and night once."""
    wanted = dict.fromkeys(
        (stop.place, one.night) for one in truck_nights for stop in one.stops if stop.kind != "base"
    )
    found = (night_window(problem.operation, place, night) for place, night in wanted)
    return tuple(window for window in found if window is not None)
