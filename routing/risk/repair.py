"""A season day by day: each truck-night goes as planned, or is moved by one plain rule.

The rule. Truck-nights are taken in the order of the plan. One whose night is lost (truck out, no driver, evening too warm
for what is left of the night, hives not yet there, night outside the contract's window of that season) goes on the free
night and able truck that serves most hives in time; then most hives late but taken; then the planned truck; then the nearest
night. A night that the plan gives to another truck-night is not free. What no night serves is not moved.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from routing.inputs.operation import Operation
from routing.risk.moves import ASIDE_NIGHTS, Fleet, Run, fleet_of
from routing.risk.seasons import Flags, Floats, Seasons
from routing.risk.terms import NEVER, Nights, Whole

LATE_WORTH = 0.5
"""Against hives in time: so that no number of late ones outweighs as many in time."""


@dataclass(frozen=True)
class Driven:
    """What became of every truck-night, in each season."""

    night: Whole
    """Truck-nights by seasons; ``NEVER`` when it did not go."""
    truck: Whole
    moved: Flags
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
    driven = Driven(
        np.full((len(runs), seasons.count), NEVER), np.zeros((len(runs), seasons.count), dtype=np.int64),
        np.zeros((len(runs), seasons.count), dtype=np.bool_), {**empty}, {**empty}, {**empty}, {**empty}, np.zeros(seasons.count),
    )  # fmt: skip
    for number, run in enumerate(runs):
        spare = bool(spare_for) and any(spare_for in (ride.origin, ride.destination) for ride in run.rides)
        _one(_Turn(number, run, spare), have, state, driven, nights)
    return driven


@dataclass(frozen=True)
class _Turn:
    """The truck-night whose turn it is."""

    number: int
    run: Run
    spare: bool


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


def _one(turn: _Turn, have: _Have, state: _State, driven: Driven, nights: Mapping[str, Nights]) -> None:
    run, every = turn.run, np.arange(have.seasons.count)
    state.truck_used[:, run.truck, run.night] = False
    if run.driver is not None:
        state.driver_used[:, run.driver, run.night] = False
    low, high = max(run.night - ASIDE_NIGHTS, 0), min(run.night + ASIDE_NIGHTS, have.fleet.nights - 1)
    tried = np.arange(low, high + 1)
    worth = _worth(run, tried, nights=nights)
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
    _book(turn, state, driven, nights, (np.isfinite(best), chosen))


def _ready(run: Run, state: _State) -> Whole:
    """Return the last night on which hives that this one picks up were brought; those never brought hold up nothing."""
    nights = [np.where(state.arrived[one] == NEVER, -1, state.arrived[one]) for ride in run.rides for one in ride.before]
    return np.max(np.stack(nights), axis=0) if nights else np.array([-1])


def _worth(run: Run, tried: Whole, *, nights: Mapping[str, Nights]) -> Floats:
    """Return the hives served in time, and half those served late, of each season and night."""
    total = None
    for ride in run.rides:
        served, late, out = _served(ride.origin, ride.destination, tried[None, :], nights)
        one = ride.hives * np.where(out, np.where(served, 1.0, np.where(late > 0, LATE_WORTH - 0.01 * late, 0.0)), 0.0)
        total = one if total is None else total + one
    return np.zeros((1, tried.size)) if total is None else total


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


def _book(
    turn: _Turn, state: _State, driven: Driven, nights: Mapping[str, Nights], choice: tuple[Flags, Whole]
) -> None:
    """Write down where a truck-night went, and what it brought."""
    (goes, (night, truck, driver)), run = choice, turn.run
    season = np.flatnonzero(goes)
    own = season[truck[season] >= 0]
    state.truck_used[own, truck[own], night[own]] = True
    manned = season[driver[season] >= 0]
    state.driver_used[manned, driver[manned], night[manned]] = True
    state.spare_used[season[truck[season] < 0]] = True
    driven.night[turn.number] = np.where(goes, night, NEVER)
    driven.truck[turn.number] = np.where(goes, truck, -2)
    driven.moved[turn.number] = goes & ((night != run.night) | (truck != run.truck))
    usd = np.zeros(goes.size)
    for one in (*run.trucks, -1):
        usd = np.where(truck == one, run.usd.get(one, run.usd[run.truck]), usd)
    driven.usd[:] += np.where(goes, usd, 0.0)
    state.brought.append(_deliver(run, state, driven, nights, (goes, night)))
    state.arrived.append(np.where(goes, night, NEVER))


def _deliver(
    run: Run, state: _State, driven: Driven, nights: Mapping[str, Nights], went: tuple[Flags, Whole]
) -> Floats:
    """Add what a truck-night delivers to the account; return the share of its hives that arrive."""
    goes, night = went
    arrived, meant = np.zeros(goes.size), 0
    for ride in run.rides:
        served, late, out = (found[:, 0] for found in _served(ride.origin, ride.destination, night[:, None], nights))
        there = np.mean([state.brought[one] for one in ride.before], axis=0) if ride.before else np.ones(goes.size)
        hives = np.where(goes & out & (served | (late > 0)), ride.hives * there, 0.0)
        meant += ride.hives
        arrived += hives
        if ride.destination in nights:
            driven.in_time[ride.destination] = driven.in_time[ride.destination] + np.where(served, hives, 0.0)
            driven.late[ride.destination] = driven.late[ride.destination] + np.where(served, 0.0, hives)
            driven.late_nights[ride.destination] = driven.late_nights[ride.destination] + np.where(served, 0.0, hives * late)
        if ride.origin in nights:
            driven.taken_out[ride.origin] = driven.taken_out[ride.origin] + hives
    return arrived / meant if meant else np.ones(goes.size)
