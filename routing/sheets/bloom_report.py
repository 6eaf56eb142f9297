"""A bloom forecast as a report: stages with their spread, the way in and out and why, chances by night, chill and heat."""

import datetime as dt
from collections.abc import Iterator, Sequence

from routing.bloom.cautions import agreed_cautions, frost_cautions
from routing.bloom.chance import chance_in_on_time, chance_wanted_by
from routing.bloom.forecast import KIND_WORDS, Kind, StageDay, Sums
from routing.bloom.predict import bloom_forecast
from routing.bloom.window import ContractWindow, contract_window
from routing.errors import OperationError
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.limits.crop_rows import crop_named, kill_at
from routing.record import Record, column

NIGHTS_BESIDE = 3
"""Nights before the first and after the last night in whose chances are told."""


class StageRow(Record):
    """One stage of bloom."""

    stage: str = column("stage", example="full bloom")
    percent: float | None = column("share of flowers open; null for a bud", unit="%", example=80.0)
    petals_fallen: float = column("share of petals fallen", unit="%", example=0.0)
    day: dt.date = column("first day on which it is as likely reached as not")
    days_5_25_75_95: tuple[dt.date, dt.date, dt.date, dt.date] = column("days by which 5, 25, 75 and 95 of 100 years reach it")
    give_or_take_days: float = column("standard error", unit="d", example=4.2)
    seen: bool = column("was it seen in the orchard?")
    kill_10_f: float | None = column("half an hour at this kills 10 of 100 buds; null where no table says", unit="deg F")
    kill_90_f: float | None = column("half an hour at this kills 90 of 100 buds", unit="deg F")


class NightChance(Record):
    """Chances of one night in."""

    night: dt.date = column("date of the evening")
    on_time: float = column("chance that hives set down then are not late", unit="share")
    wanted: float = column("chance that hives are wanted by then; before that they stand too early", unit="share")


class BloomReport(Record):
    """One contract's bloom."""

    contract: str
    crop: str = column("row in the table of crops")
    cultivar: str
    kind: Kind = column("what the forecast rests on: fitted, own sums, published, dates")
    calibrated: bool = column("is it fitted to the orchard's own earlier years, or to your own sums?")
    basis: str = column("what it rests on, in words")
    warnings: tuple[str, ...]
    stages: tuple[StageRow, ...]
    weather_days: float = column("the part of the standard error that the weather to come gives", unit="d")
    own_days: float = column("the part that model, notes or dates give", unit="d")
    stress_days: float = column("shift of bloom, early or late, that a plan should stand", unit="d")
    sums: Sums | None = column("chill and heat so far; null without weather")
    window: ContractWindow | None = column("nights in and out; null when they cannot be found")
    window_fault: str = column("why there is no window; else empty")
    nights: tuple[NightChance, ...] = column("chances of the nights about the way in")
    placing: str = column("what is published on when hives go in and come out")
    cautions: tuple[str, ...] = column("frost that kills buds at their stage; nights agreed that likely miss the bloom")
    frost_source: str = column("where the killing temperatures come from; empty where no table says")


def bloom_report(operation: Operation, contract: Contract) -> BloomReport:
    """Return the report on one contract's bloom; raise ``OperationError`` when nothing at all is known of it."""
    found, crop = bloom_forecast(operation, contract), crop_named(contract.crop)
    window, fault = _window(operation, contract)
    frost = next((row for row in (kill_at(crop.name, stage.stage) for stage in found.stages) if row is not None), None)
    return BloomReport(
        contract=contract.name, crop=found.crop, cultivar=found.cultivar, kind=found.kind, calibrated=found.calibrated,
        basis=found.basis, warnings=found.warnings, stages=tuple(_stage(one) for one in found.stages),
        weather_days=found.shared_sd_days, own_days=found.own_sd_days,
        stress_days=constant(operation, "bloom_stress_days"), sums=found.sums, window=window, window_fault=fault,
        nights=() if window is None else tuple(_nights(operation, contract, window)),
        placing=f"in at {crop.in_percent:g} % bloom, at the latest {crop.in_until_percent:g} %; out at"
                f" {crop.out_percent_petal_fall:g} % petal fall ({crop.source})",
        cautions=(*frost_cautions(operation, contract, found), *agreed_cautions(contract, found)),
        frost_source="" if frost is None else frost.source,
    )  # fmt: skip


def report_lines(report: BloomReport) -> Iterator[str]:
    """Yield the report in lines of plain text."""
    yield f"{report.contract}: {report.crop}{f', {report.cultivar}' if report.cultivar else ''}"
    yield f"  Rests on {KIND_WORDS[report.kind]}."
    yield f"  Basis: {report.basis}."
    for warning in report.warnings:
        yield f"  Note: {warning}."
    for caution in report.cautions:
        yield f"  Caution: {caution}."
    yield ""
    yield from _stage_lines(report.stages)
    yield ""
    yield from _window_lines(report)
    if report.sums is not None:
        yield from _sum_lines(report.sums)
    if report.frost_source:
        yield f"  Frost: half an hour at the first figure kills 10, at the second 90 of 100 buds ({report.frost_source})."
        yield "  A caution, not a promise: what dies hangs on the tree, the wind and the days before."


def _stage(one: StageDay) -> StageRow:
    early, earlier, _, later, late = one.days
    return StageRow(
        stage=one.stage, percent=one.percent, petals_fallen=one.fallen, day=one.day, give_or_take_days=one.sd_days,
        days_5_25_75_95=(early, earlier, later, late), seen=one.seen, kill_10_f=one.kill_10_f, kill_90_f=one.kill_90_f,
    )  # fmt: skip


def _window(operation: Operation, contract: Contract) -> tuple[ContractWindow | None, str]:
    try:
        return contract_window(operation, contract), ""
    except OperationError as error:
        return None, str(error)


def _nights(operation: Operation, contract: Contract, window: ContractWindow) -> Iterator[NightChance]:
    first = window.in_from - dt.timedelta(days=NIGHTS_BESIDE)
    for number in range((window.late_until - window.in_from).days + 2 * NIGHTS_BESIDE + 1):
        night = first + dt.timedelta(days=number)
        on_time, wanted = chance_in_on_time(operation, contract, night), chance_wanted_by(operation, contract, night)
        yield NightChance(night=night, on_time=on_time, wanted=wanted)


def _stage_lines(stages: Sequence[StageRow]) -> Iterator[str]:
    wide = max(len(one.stage) for one in stages)
    yield f"  {'stage':<{wide}}  day         9 years in 10                   give or take  frost, deg F"
    for one in stages:
        spread = "seen" if one.seen else f"{one.days_5_25_75_95[0]} to {one.days_5_25_75_95[3]}"
        frost = "" if one.kill_10_f is None else f"{one.kill_10_f:g} / {one.kill_90_f:g}"
        yield f"  {one.stage:<{wide}}  {one.day}  {spread:<30}  {f'{one.give_or_take_days:.1f} d':<12}  {frost}".rstrip()


def _window_lines(report: BloomReport) -> Iterator[str]:
    if report.window is None:
        yield f"  No window: {report.window_fault}"
        return
    window = report.window
    yield f"  In: {window.in_from} to {window.in_until}, late until {window.late_until}."
    if window.out_from is not None:
        yield f"  Out: {window.out_from} to {window.out_until}."
    yield f"  Why: {window.basis}"
    yield f"  Published: {report.placing}."
    if {one.on_time for one in report.nights} <= {0.0, 1.0}:
        yield "  The nights in are agreed: what is on time does not hang on the bloom."
        yield f"  Bloom may come {report.stress_days:g} days early or late: ask the grower then."
        return
    chances = ", ".join(f"{one.night:%b} {one.night.day} {one.on_time:.0%}" for one in report.nights)
    yield f"  Chance that hives set down that evening are not late: {chances}."
    yield f"  A plan should also stand bloom {report.stress_days:g} days early or late."


def _sum_lines(sums: Sums) -> Iterator[str]:
    needed = "" if sums.portions_needed is None else f" of {sums.portions_needed:.0f} needed"
    yield (
        f"  Chill from {sums.chill_from} to {sums.as_of}: {sums.chilling_hours:.0f} hours of 32 to 45 deg F,"
        f" {sums.utah_units:.0f} Utah units, {sums.chill_portions:.1f} portions{needed}."
    )
    if sums.rest_ends is not None:
        yield f"  Rest {'ended' if sums.rest_ends <= sums.as_of else 'will likely end'} on {sums.rest_ends}."
    whole = "" if sums.heat_needed is None else f" of {sums.heat_needed:.0f} to 10 % bloom"
    if sums.heat_from is not None:
        yield f"  Heat from {sums.heat_from} to {sums.as_of}: {sums.heat:.0f}{whole}; {sums.heat_unit}."
