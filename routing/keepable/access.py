"""Why no truck can come to an orchard, or none with hives: in words, from the outermost cause inward."""

from collections.abc import Iterable

from routing.inputs.places import Place
from routing.keepable.reach import Reach, Trip, nearest
from routing.keepable.words import hours, listed, nights_span
from routing.nights.draft import DraftNight, DraftStop, service_min
from routing.nights.problem import Problem, night_date
from routing.nights.windows import night_window


def no_night(reach: Reach, name: str, first: int, last: int) -> str | None:
    """Return why no night of a span has darkness and a truck that gets in; None when one has both."""
    if reach.nights(name, range(first, last + 1)):
        return None
    problem = reach.problem
    if name not in problem.sites:
        return "no gate is known, so no truck can be sent there"
    inside = range(max(first, 0), min(last, problem.last_night) + 1)
    if not inside:
        season = nights_span(problem, 0, problem.last_night)
        return f"its nights, {nights_span(problem, first, last)}, lie outside the season planned, {season}"
    return _no_rig(problem, name) or _no_dark(problem, name, inside) or _not_there(problem, name, inside)


def no_load(reach: Reach, orchard: str, kinds: Iterable[int], nights: tuple[int, ...]) -> str:
    """Return why no load of some kinds comes to an orchard on some nights, told of the nearest of them."""
    problem = reach.problem
    kind = nearest(problem, orchard, kinds)[0]
    yard = problem.kinds[kind].yard
    return cannot_carry(reach, kind, (yard, orchard), nights)


def cannot_carry(reach: Reach, kind: int, way: tuple[str, str], nights: tuple[int, ...]) -> str:
    """Return why no rig carries one unit from the first place of ``way`` to the second on some nights."""
    problem, (origin, destination) = reach.problem, way
    getting_in = [rig for rig in problem.rigs if destination in rig.places]
    both = [rig for rig in getting_in if origin in rig.places]
    if not both:
        rigs = listed(rig.name for rig in getting_in)
        if shut := _shut_out(problem, origin, {rig.name for rig in getting_in}):
            return shut
        return f"{origin} lets in nothing larger than a {problem.sites[origin].access}, too small for {rigs}"
    if not any(rig.fit[kind] for rig in both):
        one = "pallet" if problem.kinds[kind].palletised else "hive"
        return f"not one {one} of {problem.kinds[kind].group} fits on {listed(rig.name for rig in both)}"
    trips = list(reach.trips(kind, origin, destination, nights))
    if not trips:
        return f"{origin} has no dark hours with a truck at hand on the nights on which {destination} has"
    return _too_long(reach, trips)


def _no_rig(problem: Problem, name: str) -> str | None:
    trucks, rigs = problem.operation.trucks, problem.rigs
    if not trucks:
        return "there is no truck"
    driven = {rig.name for rig in rigs}
    idle = [f"{one.name} (a {one.vehicle_class})" for one in trucks if one.name not in driven]
    nobody = f"no driver is able to drive {listed(idle)}"
    if not rigs:
        return nobody
    if any(name in rig.places for rig in rigs):
        return None
    if shut := _shut_out(problem, name, driven):
        return shut
    large = [f"{one.name} is a {one.vehicle_class}" for one in trucks if one.name in driven]
    also = f"; {nobody}" if idle else ""
    return f"it lets in nothing larger than a {problem.sites[name].access}, and {listed(large)}{also}"


def _shut_out(problem: Problem, name: str, trucks: set[str]) -> str | None:
    """Return which of the trucks that are small enough cannot get to a place, and what keeps them out."""
    rows = [row for row in problem.operation.closed_places if row.place == name and row.truck in trucks]
    return "; ".join(f"{row.truck} cannot get to {name} and back: {row.why}" for row in rows) or None


def _no_dark(problem: Problem, name: str, inside: range) -> str | None:
    if any((name, night) in problem.dark for night in inside):
        return None
    operation, where = problem.operation, nights_span(problem, inside[0], inside[-1])
    if any(night_window(operation, name, night_date(operation, night)) for night in inside):
        return f"{where} has no dark hour {_open(problem.sites[name])}"
    return f"the sun does not go down far enough there for a night to be dark, {where}"


def _open(site: Place) -> str:
    until = f"until {site.open_until:%H:%M} in the morning" if site.open_until else ""
    since = f"from {site.open_from:%H:%M} in the evening" if site.open_from else ""
    return f"in which its gate is open ({' '.join(part for part in (since, until) if part)})"


def _not_there(problem: Problem, name: str, inside: range) -> str:
    rigs = listed(rig.name for rig in problem.rigs if name in rig.places)
    where = nights_span(problem, inside[0], inside[-1])
    return f"no truck that gets in ({rigs}) is at hand with a driver on a dark night of {where}"


def _too_long(reach: Reach, trips: list[Trip]) -> str:
    """Return what one load takes against what the night and the driver give, for the rig that lacks least."""
    timed = [(trip, times) for trip in trips if (times := reach.clock(trip)) is not None]
    if not timed:
        return _too_short_a_night(reach, trips)
    rig_of = reach.problem.rigs
    trip, times = min(
        timed,
        key=lambda one: max(
            one[1].duty_min - rig_of[one[0].rig].duty_min,
            reach.driving_min(one[0]) - rig_of[one[0].rig].driving_min,
        ),
    )
    rig, driving = rig_of[trip.rig], reach.driving_min(trip)
    load = f"one load from {trip.origin} to {trip.destination} and back to {rig.base} on {rig.name} takes"
    if driving > rig.driving_min:
        return f"{load} {hours(driving)} at the wheel, and a driver may do {hours(rig.driving_min)}"
    return f"{load} {hours(times.duty_min)} on duty, and a driver may do {hours(rig.duty_min)}"


def _too_short_a_night(reach: Reach, trips: list[Trip]) -> str:
    problem = reach.problem
    trip = min(trips, key=lambda one: needed_min(problem, one) - dark_min(problem, one))
    needs, has = needed_min(problem, trip), dark_min(problem, trip)
    both = f"from {trip.origin} to {trip.destination}"
    if needs <= has:
        return f"the hours in which both places may be served leave no room for one load {both}"
    work = f"to load, drive and set down one load {both} takes {problem.rigs[trip.rig].name} {hours(needs)}"
    return f"{work}, and the night has {hours(has)}"


def needed_min(problem: Problem, trip: Trip) -> float:
    """Return the minutes from the first hive lifted to the last set down, one unit. [min]"""
    on = DraftStop(trip.origin, picked_up=((trip.kind, 1),))
    off = DraftStop(trip.destination, set_down=((trip.kind, 1),))
    night = DraftNight(trip.rig, trip.night, (on, off))
    drive = problem.drive_min(problem.rigs[trip.rig], trip.origin, trip.destination)
    return service_min(problem, night, on) + drive + service_min(problem, night, off)


def dark_min(problem: Problem, trip: Trip) -> float:
    """Return the minutes from dark at the one place to light at the other. [min]"""
    return problem.dark[trip.destination, trip.night][1] - problem.dark[trip.origin, trip.night][0]
