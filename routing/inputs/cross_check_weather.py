"""Weather, stages seen, bloom of earlier years and own sums across rows: gaps, order, years, names of stages."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.faults import Flaw, shown, with_nearest
from routing.inputs.operation import Operation
from routing.inputs.phenology import Weather
from routing.limits.crop_rows import Crop, Mark, crop_named

HOURS = 24
ANOTHER_SEASON_DAYS = 45
"""A longer gap parts two seasons of a file that holds the cold and warm months of several years."""
USUAL_APART_DAYS = 32
"""Usual temperatures by month are taken; further apart they would miss a season."""
YEAR_DAYS = 365
WARMEST_F, COLDEST_F = 130.0, -60.0


def weather_flaws(operation: Operation) -> Iterator[Flaw]:
    """Yield what is wrong with temperatures and with what is known of bloom."""
    for index, row in enumerate(operation.weather):
        yield from _low_over_high(index, row)
        yield from _hours(index, row)
    yield from _gaps(operation)
    yield from _usual_gaps(operation)
    yield from _stages(operation)
    yield from _past(operation)
    yield from _sums(operation)


def _low_over_high(index: int, row: Weather) -> Iterator[Flaw]:
    if row.low_f > row.high_f:
        allowed = f"at most the highest of that day, {row.high_f:g}"
        yield Flaw(table="weather", index=index, column="low_f", found=shown(row.low_f), allowed=allowed, uses=("high_f",))


def _hours(index: int, row: Weather) -> Iterator[Flaw]:
    if not row.hours_f.strip():
        return
    allowed = f"{HOURS} temperatures from {COLDEST_F:g} to {WARMEST_F:g} with blanks between them, or nothing"
    try:
        hours = [float(one) for one in row.hours_f.split()]
    except ValueError:
        hours = []
    if len(hours) != HOURS:
        found = f"{len(hours)} temperatures" if hours else shown(row.hours_f)
    elif not all(COLDEST_F <= one <= WARMEST_F for one in hours):
        found = f"a temperature of {next(one for one in hours if not COLDEST_F <= one <= WARMEST_F):g}"
    else:
        return
    yield Flaw(table="weather", index=index, column="hours_f", found=found, allowed=allowed)


def _gaps(operation: Operation) -> Iterator[Flaw]:
    most = constant(operation, "most_days_filled")
    for rows in _by_place(operation, "seen").values():
        for (day, _), (after, index) in pairwise(rows):
            missing = (after - day).days - 1
            if most < missing < ANOTHER_SEASON_DAYS:
                found = f"{after} next after {day}: {missing} days without a temperature"
                allowed = f"at most {most:g} days (most_days_filled) between two days of one season"
                yield Flaw(table="weather", index=index, column="on", found=found, allowed=allowed, uses=("weather",))


def _usual_gaps(operation: Operation) -> Iterator[Flaw]:
    for rows in _by_place(operation, "normal").values():
        days = sorted((row.timetuple().tm_yday, index) for row, index in rows)
        round_the_year = [*days, (days[0][0] + YEAR_DAYS, days[0][1])]
        for (day, _), (after, index) in pairwise(round_the_year):
            if after - day > USUAL_APART_DAYS:
                found = f"{after - day} days of the year without a usual temperature before it"
                allowed = "usual temperatures at most a month apart, all round the year"
                yield Flaw(table="weather", index=index, column="on", found=found, allowed=allowed, uses=("weather",))
                break


def _by_place(operation: Operation, kind: str) -> dict[str, list[tuple[dt.date, int]]]:
    found: dict[str, list[tuple[dt.date, int]]] = defaultdict(list)
    for index, row in enumerate(operation.weather):
        if row.kind == kind:
            found[row.place].append((row.on, index))
    return {place: sorted(rows) for place, rows in found.items()}


def _stages(operation: Operation) -> Iterator[Flaw]:
    contracts = {contract.name: contract for contract in operation.contracts}
    seen: dict[str, list[tuple[float, dt.date, int, str]]] = defaultdict(list)
    for index, note in enumerate(operation.stage_notes):
        contract = contracts.get(note.contract)
        if contract is None:
            continue
        crop = crop_named(contract.crop)
        mark = _mark(crop, note.stage)
        if mark is None:
            yield _unknown_stage(index, note.stage, contract, crop)
            continue
        seen[note.contract].append((mark.days, note.on, index, mark.stage))
        if not operation.first_night - dt.timedelta(days=YEAR_DAYS) < note.on <= operation.last_night:
            allowed = f"a day of this season, at most a year before {operation.first_night} and not after {operation.last_night}"
            yield Flaw(table="stage_notes", index=index, column="on", found=shown(note.on), allowed=allowed, uses=("operation",))
    for rows in seen.values():
        for (_, day, _, stage), (_, after, index, later) in pairwise(sorted(rows)):
            if after < day:
                found = f"{later} on {after}, before {stage} on {day}"
                allowed = "stages in the order in which they come: bloom does not end before it begins"
                yield Flaw(table="stage_notes", index=index, column="on", found=found, allowed=allowed, uses=("stage_notes",))


def _mark(crop: Crop, stage: str) -> Mark | None:
    folded = " ".join(stage.split()).casefold()
    return next((mark for mark in crop.marks if mark.stage == folded), None)


def _unknown_stage(index: int, stage: str, contract: Contract, crop: Crop) -> Flaw:
    names = [mark.stage for mark in crop.marks]
    allowed = with_nearest(f"a stage of {contract.crop}: {', '.join(names)}", stage, names)
    uses = ("contract", "contracts.crop")
    return Flaw(table="stage_notes", index=index, column="stage", found=shown(stage), allowed=allowed, uses=uses)


def _past(operation: Operation) -> Iterator[Flaw]:
    year = operation.first_night.year
    for index, row in enumerate(operation.past_blooms):
        if row.on.year >= year:
            allowed = f"a day of a year before {year}; bloom of this season belongs in blooms"
            yield Flaw(table="past_blooms", index=index, column="on", found=shown(row.on), allowed=allowed, uses=("operation",))


def _sums(operation: Operation) -> Iterator[Flaw]:
    """Yield own sums of one crop and cultivar that differ in their chill, or ask less heat for more bloom."""
    groups: dict[tuple[str, str], list[tuple[float, float, float, int]]] = defaultdict(list)
    for index, row in enumerate(operation.bloom_sums):
        key = (row.crop.casefold(), row.cultivar.casefold())
        groups[key].append((row.percent_bloom, row.heat_sum, row.chill_portions, index))
    for rows in groups.values():
        for (percent, heat, chill, _), (more, more_heat, other, index) in pairwise(sorted(rows)):
            if other != chill:
                allowed = f"the {chill:g} of its other row: a cultivar has one chill requirement"
                yield _sum_flaw(index, "chill_portions", shown(other), allowed)
            if more > percent and more_heat <= heat:
                allowed = f"more than the {heat:g} at {percent:g} % bloom"
                yield _sum_flaw(index, "heat_sum", shown(more_heat), allowed)


def _sum_flaw(index: int, column: str, found: str, allowed: str) -> Flaw:
    return Flaw(table="bloom_sums", index=index, column=column, found=found, allowed=allowed, uses=("bloom_sums",))
