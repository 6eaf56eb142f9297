"""What a season calendar shows: one row for each contract and each yard, from a plan or from a season."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from routing.bloom.forecast import BloomForecast
from routing.bloom.predict import bloom_forecast
from routing.bloom.window import ContractWindow, contract_window
from routing.errors import OperationError
from routing.inputs.operation import Operation
from routing.plan_record import Plan
from routing.season.assignment import Season

OPEN_PERCENT, FALLEN_PERCENT = 10.0, 90.0
SURE = 1.645
"""Spreads to either side that hold 90 of 100 seasons."""


@dataclass(frozen=True)
class Bloom:
    """A bloom from 10 % open to 90 % of petals fallen, in day numbers as ``date.toordinal`` counts, with 90 % spans."""

    open: float
    open_span: tuple[float, float]
    over: float
    over_span: tuple[float, float]
    calibrated: bool


@dataclass(frozen=True)
class Move:
    """Hives that come (positive) or leave (negative) in one night."""

    night: dt.date
    hives: int


@dataclass(frozen=True)
class Row:
    """One place over the season."""

    place: str
    kind: str
    """The crop of a contract; ``yard``."""
    most: int
    """Colonies promised, or the yard's room."""
    first: int
    """Hives that stand there at the start."""
    moves: tuple[Move, ...]
    bloom: Bloom | None = None
    window: ContractWindow | None = None


def plan_rows(plan: Plan) -> tuple[Row, ...]:
    """Return the rows of a plan."""
    moved = []
    for one in plan.truck_nights:
        for stop in one.stops:
            moved += [(stop.place, one.night, lot.hives) for lot in stop.set_down]
            moved += [(stop.place, one.night, -lot.hives) for lot in stop.picked_up]
    return _rows(plan.operation, moved)


def season_rows(season: Season) -> tuple[Row, ...]:
    """Return the rows of a season; offers that it refuses are left out."""
    moved = []
    for chain in season.chains:
        for stay in chain.stays:
            moved += [(stay.place, stay.came, chain.hives)] if stay.came else []
            moved += [(stay.place, stay.left, -chain.hives)] if stay.left else []
    refused = {one.contract for one in season.choices if one.outcome == "refused"}
    return tuple(row for row in _rows(season.operation, moved) if row.place not in refused)


def _rows(operation: Operation, moved: Iterable[tuple[str, dt.date, int]]) -> tuple[Row, ...]:
    at: Mapping[str, dict[tuple[dt.date, bool], int]] = defaultdict(lambda: defaultdict(int))
    for place, night, hives in moved:
        at[place][night, hives > 0] += hives
    moves = {
        place: tuple(Move(night, hives) for (night, _), hives in sorted(found.items(), key=lambda one: one[0]))
        for place, found in at.items()
    }  # fmt: skip
    contracts = []
    windows = [(contract_window(operation, one), one) for one in operation.contracts]
    for window, one in sorted(windows, key=lambda pair: pair[0].in_from):
        bloom = _bloom(operation, one.name)
        contracts.append(Row(one.name, one.crop, one.colonies, 0, moves.get(one.name, ()), bloom, window))
    yards = []
    for yard in operation.yards:
        first = sum(group.hives for group in operation.hive_groups if group.yard == yard.name)
        if first or yard.name in moves:
            yards.append(Row(yard.name, "yard", yard.capacity_hives, first, moves.get(yard.name, ())))
    return (*contracts, *yards)


def _bloom(operation: Operation, name: str) -> Bloom | None:
    contract = next(one for one in operation.contracts if one.name == name)
    try:
        found: BloomForecast = bloom_forecast(operation, contract)
    except OperationError:
        return None
    (open_at, open_sd), (over_at, over_sd) = found.reached(OPEN_PERCENT), found.fallen(FALLEN_PERCENT)
    return Bloom(
        open_at, (open_at - SURE * open_sd, open_at + SURE * open_sd), max(over_at, open_at),
        (over_at - SURE * over_sd, over_at + SURE * over_sd), found.calibrated,
    )  # fmt: skip
