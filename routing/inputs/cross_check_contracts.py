"""Contracts across rows: a way in, dates that follow one another, bloom rows, terms that make sense."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from routing.inputs.contract import Bloom, Contract
from routing.inputs.faults import Flaw, shown
from routing.inputs.operation import Operation

DATES = ("in_from", "in_until", "out_from", "out_until")


def contract_flaws(operation: Operation) -> Iterator[Flaw]:
    """Yield what is wrong with contracts, their dates and their bloom rows."""
    blooms: dict[str, list[Bloom]] = defaultdict(list)
    for bloom in operation.blooms:
        blooms[bloom.contract].append(bloom)
    gated = {gate.contract for gate in operation.gates}
    # Where anything else tells of its bloom, whether that bears the way in is seen when the window is made.
    noted = {row.contract for row in operation.stage_notes} | {row.contract for row in operation.past_blooms}
    for index, contract in enumerate(operation.contracts):
        if contract.name not in gated:
            allowed = "at least one row in gates for this contract"
            yield _flaw(index, "name", f"{shown(contract.name)} without a gate", allowed, "gates")
        if not (operation.weather or contract.name in noted):
            yield from _way_in(index, contract, blooms[contract.name])
        yield from _order(index, contract)
        yield from _outside_season(operation, index, contract)
        yield from _terms(index, contract)
    yield from _falling_bloom(operation)


def _flaw(index: int, column: str, found: str, allowed: str, *uses: str) -> Flaw:
    return Flaw(table="contracts", index=index, column=column, found=found, allowed=allowed, uses=uses)


def _way_in(index: int, contract: Contract, blooms: list[Bloom]) -> Iterator[Flaw]:
    percent = contract.in_at_percent_bloom
    if contract.in_from is not None:
        return
    if percent is None:
        allowed = "a first night in, or a percent bloom"
        yield _flaw(index, "in_from", "nothing", allowed, "in_at_percent_bloom")
    elif not blooms:
        found = f"{percent:g} without a bloom row"
        allowed = "rows in blooms for this contract, or dates"
        yield _flaw(index, "in_at_percent_bloom", found, allowed, "in_from", "name", "blooms")
    else:
        low = min(bloom.percent_bloom for bloom in blooms)
        high = max(bloom.percent_bloom for bloom in blooms)
        if not low <= percent <= high:
            allowed = f"from {low:g} to {high:g}, which its rows in blooms reach; add a row, or give dates"
            yield _flaw(index, "in_at_percent_bloom", shown(percent), allowed, "in_from", "name", "blooms")


def _order(index: int, contract: Contract) -> Iterator[Flaw]:
    """Yield the dates that come before one they must follow."""
    for earlier, later, same_day in _FOLLOW:
        before: dt.date | None = getattr(contract, earlier)
        after: dt.date | None = getattr(contract, later)
        if before is None or after is None:
            continue
        if after < before or (after == before and not same_day):
            allowed = f"{'the day of' if same_day else 'a day after'} '{_words(earlier)}', {before}"
            yield _flaw(index, later, shown(after), f"{allowed}, or later" if same_day else allowed, earlier)


_FOLLOW = (
    ("in_from", "in_until", True),
    ("in_from", "petal_fall_on", False),
    ("in_from", "out_from", False),
    ("in_from", "out_until", False),
    ("in_from", "spray_on", False),
    ("out_from", "out_until", True),
    ("out_from", "spray_on", False),
    ("out_until", "spray_on", False),
    ("petal_fall_on", "spray_on", False),
)
"""Earlier date, later date, may they be the same day? A contract's bloom does not end before it begins."""


def _words(name: str) -> str:
    return name.replace("_", " ")


def _outside_season(operation: Operation, index: int, contract: Contract) -> Iterator[Flaw]:
    first, last = operation.first_night, operation.last_night
    for name in DATES:
        date: dt.date | None = getattr(contract, name)
        if date is not None and not first <= date <= last:
            allowed = f"a night of the season, {first} to {last}"
            yield _flaw(index, name, shown(date), allowed, "operation")


def _terms(index: int, contract: Contract) -> Iterator[Flaw]:
    if contract.bonus_usd_per_frame > 0 and contract.bonus_up_to_frames <= contract.min_average_frames:
        allowed = f"more than the least average, {contract.min_average_frames:g}, since a bonus is agreed"
        found = shown(contract.bonus_up_to_frames)
        yield _flaw(index, "bonus_up_to_frames", found, allowed, "bonus_usd_per_frame", "min_average_frames")
    if contract.min_colony_frames > contract.min_average_frames > 0:
        allowed = f"at most the least average, {contract.min_average_frames:g}"
        yield _flaw(
            index, "min_colony_frames", shown(contract.min_colony_frames), allowed, "min_average_frames"
        )
    if (contract.least_colonies or 0) > contract.colonies:
        allowed = f"at most the colonies offered, {contract.colonies}"
        yield _flaw(index, "least_colonies", shown(contract.least_colonies), allowed, "colonies")


def _falling_bloom(operation: Operation) -> Iterator[Flaw]:
    """Yield rows of bloom that fall back before the peak; seen rows and forecasts are looked at apart."""
    kinds: dict[tuple[str, bool], list[tuple[dt.date, float, int]]] = defaultdict(list)
    for index, bloom in enumerate(operation.blooms):
        kinds[bloom.contract, bloom.seen].append((bloom.on, bloom.percent_bloom, index))
    for rows in kinds.values():
        rows.sort()
        most = max(percent for _, percent, _ in rows)
        peak = next(place for place, (_, percent, _) in enumerate(rows) if percent == most)
        for (day, before, _), (_, after, index) in pairwise(rows[: peak + 1]):
            if after < before:
                yield Flaw(
                    table="blooms",
                    index=index,
                    column="percent_bloom",
                    found=shown(after),
                    uses=("blooms",),
                    allowed=f"at least the {before:g} of {day}: bloom does not fall back before its peak",
                )
