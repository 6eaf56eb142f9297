"""A season day by day: each truck-night goes as planned, or is moved by one plain rule.

The rule. Truck-nights are taken in the order of the plan. One whose night is lost (truck out, no driver, evening too warm
for what is left of the night, hives not yet there, night outside the contract's window of that season) goes on the free
night and able truck that serves most hives in time; then most hives late but taken; then the planned truck; then the nearest
night. A night that the plan gives to another truck-night is not free. Rides that the night chosen does not serve are tried
once more by themselves; what then still stands in an orchard is at least taken out of it. What no night serves is not moved.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from routing.inputs.operation import Operation
from routing.risk.moves import ASIDE_NIGHTS, Fleet, Run, fleet_of
from routing.risk.seasons import Flags, Floats, Seasons
from routing.risk.terms import NEVER, Nights, Whole

LATE_WORTH, OUT_WORTH = 0.5, 0.1
"""Of a hive late but taken, and of one only taken out, against one in time."""
TRIES = ("as planned", "what is left", "only out")


@dataclass(frozen=True)
class Driven:
    """What became of every truck-night, in each season."""

    night: Whole
    """Truck-nights by seasons: the first night on which it went; ``NEVER`` when it did not go."""
    moved: Flags
    """It went, or some of it, on another night or truck."""
    in_time: dict[str, Floats]
    """Hives set down in time, by contract."""
    late: dict[str, Floats]
    """Hives set down late and taken."""
    late_nights: dict[str, Floats]
    """Hives times nights late."""
    taken_out: dict[str, Floats]
    """Hives taken out within the window."""
    usd: Floats
    """What the road costs."""


@dataclass
class _State:
    """What is used up so far; nights in the last axis."""

    truck_used: Flags
    driver_used: Flags
    spare_used: Flags
    arrived: list[Whole]
    """Night on which each truck-night went."""
    brought: list[Floats]
    """Share of its hives that each truck-night delivered."""


def drive(
    operation: Operation, runs: tuple[Run, ...], seasons: Seasons, *, nights: Mapping[str, Nights], spare_for: str = ""
) -> Driven:
    """Return what becomes of a plan's truck-nights.

    Parameters
    ----------
    operation
        Gives the fleet.
    runs
        The plan's truck-nights.
    seasons
        What comes.
    nights
        Each contract's nights in each season.
    spare_for
        A contract for which one spare truck-night, with a driver, may be called on any night.
    """
    fleet = fleet_of(operation)
    state = _begin(fleet, runs, seasons)
    have = _Have(operation, fleet, seasons)
    empty = {name: np.zeros(seasons.count) for name in nights}
    shape = (len(runs), seasons.count)
    driven = Driven(
        np.full(shape, NEVER), np.zeros(shape, dtype=np.bool_), {**empty}, {**empty}, {**empty}, {**empty},
        np.zeros(seasons.count),
    )  # fmt: skip
    for number, run in enumerate(runs):
        spare = bool(spare_for) and any(spare_for in (ride.origin, ride.destination) for ride in run.rides)
        turn = _Turn(number, run, spare, _left(run, state, seasons.count))
        state.truck_used[:, run.truck, run.night] = False
        if run.driver is not None:
            state.driver_used[:, run.driver, run.night] = False
        state.arrived.append(np.full(seasons.count, NEVER))
        state.brought.append(np.zeros(seasons.count))
        for one in TRIES:
            if any(bool((hives > 0).any()) for hives in turn.left):
                _one(turn, have, state, driven, _Terms(nights, only_out=one == "only out"))
        meant = sum(ride.hives for ride in run.rides)
        state.brought[-1] /= max(meant, 1)
    return driven


@dataclass(frozen=True)
class _Turn:
    """The truck-night whose turn it is."""

    number: int
    run: Run
    spare: bool
    left: list[Floats]
    """Hives of each ride still to be moved, in each season."""


@dataclass(frozen=True)
class _Terms:
    """Nights of every contract; whether hives are only to be taken out of an orchard."""

    nights: Mapping[str, Nights]
    only_out: bool


class _Have:
    """Trucks and drivers that are there, night by night and season by season."""

    def __init__(self, operation: Operation, fleet: Fleet, seasons: Seasons) -> None:
        self.fleet, self.seasons = fleet, seasons
        beyond = [False] * ASIDE_NIGHTS
        trucks = [[*fleet.truck_nights(operation, one), *beyond] for one in range(len(fleet.trucks))]
        drivers = [[*fleet.driver_nights(operation, one), *beyond] for one in range(len(fleet.drivers))]
        total = fleet.nights + ASIDE_NIGHTS
        self.truck = ~seasons.truck_out & np.array(trucks, dtype=np.bool_).reshape(len(trucks), total)[None]
        self.driver = ~seasons.driver_out & np.array(drivers, dtype=np.bool_).reshape(len(drivers), total)[None]


def _begin(fleet: Fleet, runs: tuple[Run, ...], seasons: Seasons) -> _State:
    total = fleet.nights + ASIDE_NIGHTS
    trucks = np.zeros((seasons.count, len(fleet.trucks), total), dtype=np.bool_)
    drivers = np.zeros((seasons.count, len(fleet.drivers), total), dtype=np.bool_)
    for run in runs:
        trucks[:, run.truck, run.night] = True
        if run.driver is not None:
            drivers[:, run.driver, run.night] = True
    return _State(trucks, drivers, np.zeros(seasons.count, dtype=np.bool_), [], [])


def _left(run: Run, state: _State, count: int) -> list[Floats]:
    """Return the hives of each ride that are there to be moved, in each season."""
    return [
        ride.hives * (np.mean([state.brought[one] for one in ride.before], axis=0) if ride.before else np.ones(count))
        for ride in run.rides
    ]


def _one(turn: _Turn, have: _Have, state: _State, driven: Driven, terms: _Terms) -> None:
    run, every = turn.run, np.arange(have.seasons.count)
    low, high = max(run.night - ASIDE_NIGHTS, 0), min(run.night + ASIDE_NIGHTS, have.fleet.nights - 1)
    tried = np.arange(low, high + 1)
    worth = _worth(turn, tried, terms)
    going = (worth > 0.0) & (tried[None, :] > _ready(run, state)[:, None]) & (have.seasons.delay_min[:, tried] <= run.slack_min)
    worth = worth * 1e4 - np.abs(tried - run.night)[None, :]
    best, chosen = np.full(every.size, -np.inf), np.zeros((3, every.size), dtype=np.int64)
    options = [*enumerate(run.trucks), *([(len(run.trucks), -1)] if turn.spare else [])]
    for place, truck in options:
        free, driver = _free(truck, run, have, state, tried)
        scored = np.where(going & free, worth - 100.0 * place, -np.inf)
        column = scored.argmax(axis=1)
        better = scored[every, column] > best
        best = np.where(better, scored[every, column], best)
        found = (tried[column], np.full(every.size, truck), driver[every, column])
        chosen = np.where(better[None, :], np.stack(found), chosen)
    _book(turn, state, driven, terms, (np.isfinite(best), chosen))


def _ready(run: Run, state: _State) -> Whole:
    """Return the last night on which hives that this one picks up were brought; those never brought hold up nothing."""
    nights = [np.where(state.arrived[one] == NEVER, -1, state.arrived[one]) for ride in run.rides for one in ride.before]
    return np.max(np.stack(nights), axis=0) if nights else np.array([-1])


def _worth(turn: _Turn, tried: Whole, terms: _Terms) -> Floats:
    """Return the hives served in time, and a part of those served late, of each season and night."""
    total = np.zeros((turn.left[0].size, tried.size))
    for ride, hives in zip(turn.run.rides, turn.left, strict=True):
        served, late, out = _served(ride.origin, ride.destination, tried[None, :], terms.nights)
        if terms.only_out:
            total += hives[:, None] * np.where(out, OUT_WORTH, 0.0) * (ride.origin in terms.nights)
        else:
            worth = np.where(served, 1.0, np.where(late > 0, LATE_WORTH - 0.01 * late, 0.0))
            total += hives[:, None] * np.where(out, worth, 0.0)
    return total


def _served(origin: str, destination: str, tried: Whole, nights: Mapping[str, Nights]) -> tuple[Flags, Whole, Flags]:
    """Tell for each season and night (rows by columns): in time; nights late where it is taken late; may be picked up."""
    count = next(iter(nights.values())).in_from.size
    shape = (count, tried.shape[1])
    served, late, out = np.ones(shape, dtype=np.bool_), np.zeros(shape, dtype=np.int64), np.ones(shape, dtype=np.bool_)
    if destination in nights:
        one = nights[destination]
        served = (tried >= one.in_from[:, None]) & (tried <= one.in_until[:, None])
        taken = (tried > one.in_until[:, None]) & (tried <= one.late_until[:, None])
        late = np.where(taken, tried - one.in_until[:, None], 0)
    if origin in nights:
        one = nights[origin]
        out = (tried >= one.out_from[:, None]) & (tried <= one.out_until[:, None])
    return served, late, out


def _free(truck: int, run: Run, have: _Have, state: _State, tried: Whole) -> tuple[Flags, Whole]:
    """Tell for each season and night whether a truck and a driver are free, and who drives (-1: the hauler's)."""
    shape = (have.seasons.count, tried.size)
    if truck < 0:
        return np.broadcast_to(~state.spare_used[:, None], shape), np.full(shape, -1)
    free = have.truck[:, truck, tried] & ~state.truck_used[:, truck, tried]
    if have.fleet.trucks[truck].hired:
        return free, np.full(shape, -1)
    order = sorted(range(len(have.fleet.drivers)), key=lambda one: (one != run.driver, one))
    driver = np.full(shape, -1)
    for one in reversed([one for one in order if have.fleet.may_drive(one, truck)]):
        there = have.driver[:, one, tried] & ~state.driver_used[:, one, tried]
        driver = np.where(there, one, driver)
    return free & (driver >= 0), driver


def _book(turn: _Turn, state: _State, driven: Driven, terms: _Terms, choice: tuple[Flags, Whole]) -> None:
    """Write down where a truck-night went, and what it brought."""
    (goes, (night, truck, driver)), run = choice, turn.run
    season = np.flatnonzero(goes)
    own = season[truck[season] >= 0]
    state.truck_used[own, truck[own], night[own]] = True
    manned = season[driver[season] >= 0]
    state.driver_used[manned, driver[manned], night[manned]] = True
    state.spare_used[season[truck[season] < 0]] = True
    first = goes & (driven.night[turn.number] == NEVER)
    driven.night[turn.number] = np.where(first, night, driven.night[turn.number])
    driven.moved[turn.number] |= goes & ((night != run.night) | (truck != run.truck))
    usd = np.zeros(goes.size)
    for one in (*run.trucks, -1):
        usd = np.where(truck == one, run.usd.get(one, run.usd[run.truck]), usd)
    driven.usd[:] += np.where(goes, usd, 0.0)
    _deliver(turn, state, driven, terms, (goes, night))


def _deliver(turn: _Turn, state: _State, driven: Driven, terms: _Terms, went: tuple[Flags, Whole]) -> None:
    """Add what a truck-night delivers to the account, and take it off what is left to be moved."""
    goes, night = went
    for number, ride in enumerate(turn.run.rides):
        served, late, out = (found[:, 0] for found in _served(ride.origin, ride.destination, night[:, None], terms.nights))
        taken = served | (late > 0)
        rides = goes & out & (np.full_like(out, ride.origin in terms.nights) if terms.only_out else taken)
        hives = np.where(rides, turn.left[number], 0.0)
        turn.left[number] = turn.left[number] - hives
        if ride.origin in terms.nights:
            driven.taken_out[ride.origin] = driven.taken_out[ride.origin] + hives
        if terms.only_out:
            continue
        state.brought[-1] = state.brought[-1] + hives
        last = np.where(state.arrived[-1] == NEVER, -1, state.arrived[-1])
        state.arrived[-1] = np.where(hives > 0, np.maximum(last, night), state.arrived[-1])
        if ride.destination in terms.nights:
            driven.in_time[ride.destination] = driven.in_time[ride.destination] + np.where(served, hives, 0.0)
            driven.late[ride.destination] = driven.late[ride.destination] + np.where(served, 0.0, hives)
            driven.late_nights[ride.destination] = driven.late_nights[ride.destination] + np.where(served, 0.0, hives * late)
