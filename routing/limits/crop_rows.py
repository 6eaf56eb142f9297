"""Crops as data rows: stages, when hives are wanted, chill and heat needed, cold that kills buds. No source, no row."""

import tomllib
from functools import cache
from importlib import resources
from typing import Any, Literal, TypeVar

from pydantic import Field, ValidationError

from routing.errors import SourceError
from routing.record import Record

Status = Literal["read", "quoted", "computed", "from memory", "common practice, no source"]
OTHER = "any other crop"
ROUGH = 2.0
"""Days between stages of a crop that has no row of its own are this many times as unsure."""


class Mark(Record):
    """One stage of a crop's bloom."""

    stage: str
    percent: float | None = None
    """Share of flowers open; None for a bud."""
    fallen: float = 0.0
    """Share of petals fallen."""
    days: float
    """Days after the day of 10 % bloom in a usual year. [d]"""


class Crop(Record):
    """How the bloom of a crop goes by, and when hives are wanted at it."""

    name: str
    also: tuple[str, ...]
    in_percent: float
    """Bloom at which hives are wanted. [%]"""
    in_until_percent: float
    """Bloom after which hives come too late. [%]"""
    out_percent_petal_fall: float
    source: str = Field(min_length=1)
    status: Status
    marks: tuple[Mark, ...]
    marks_source: str = Field(min_length=1)


class Chill(Record):
    """Chill that one cultivar needs before heat counts. [chill portions of the Dynamic Model]"""

    crop: str
    cultivar: str
    low_portions: float
    high_portions: float
    source: str = Field(min_length=1)
    status: Status


class HeatSum(Record):
    """Heat from a day of the year to a share of flowers open. [deg F days]"""

    crop: str
    percent: float
    sum_f: float
    base_f: float
    from_month_day: str
    source: str = Field(min_length=1)
    status: Status


class Kill(Record):
    """Bud temperatures of half an hour at which 10 and 90 of 100 buds die. [deg F]"""

    crop: str
    stage: str
    kill_10_f: float
    kill_90_f: float
    source: str = Field(min_length=1)
    status: Status


Row = TypeVar("Row", Crop, Chill, HeatSum, Kill)


def crop_named(name: str) -> Crop:
    """Return the row of a crop by any of its names, whatever its capitals; of any other crop when it has none."""
    folded = " ".join(name.split()).casefold()
    for crop in crops():
        if folded in (crop.name, *crop.also):
            return crop
    return next(crop for crop in crops() if crop.name == OTHER)


@cache
def crops() -> tuple[Crop, ...]:
    """Return every crop; the stages of each stand in the order in which they come."""
    found = _rows("crops.toml", "crop", Crop)
    for crop in found:
        days = [mark.days for mark in crop.marks]
        if days != sorted(set(days)):
            raise SourceError(f"crops.toml: the stages of {crop.name} do not follow one another.")
    return found


@cache
def chills() -> tuple[Chill, ...]:
    """Return what chill cultivars need."""
    return _rows("chill.toml", "chill", Chill)


@cache
def heat_sums() -> tuple[HeatSum, ...]:
    """Return the published heat sums to bloom."""
    return _rows("heat.toml", "heat_sum", HeatSum)


@cache
def kills() -> tuple[Kill, ...]:
    """Return the temperatures at which buds die, by crop and stage."""
    return _rows("kill.toml", "kill", Kill)


def kill_at(crop: str, stage: str) -> Kill | None:
    """Return at what cold the buds of a crop die at a stage; None where no table says."""
    return next((row for row in kills() if row.crop == crop and row.stage == stage), None)


def _rows(file_name: str, key: str, record: type[Row]) -> tuple[Row, ...]:
    text = resources.files("routing.limits").joinpath("crops", file_name).read_text(encoding="utf-8")
    return tuple(_row(file_name, record, values) for values in tomllib.loads(text)[key])


def _row(file_name: str, record: type[Row], values: dict[str, Any]) -> Row:
    try:
        return record.model_validate(_typed(values))
    except ValidationError as error:
        name = values.get("name") or values.get("crop")
        raise SourceError(f"{file_name}: the row of {name} is not complete: {error}") from error


def _typed(values: dict[str, Any]) -> dict[str, Any]:
    """Return TOML values as a strict record takes them: whole numbers as numbers, lists as tuples."""
    return {key: _value(value) for key, value in values.items()}


def _value(value: Any) -> Any:
    if isinstance(value, list):
        return tuple(_value(one) for one in value)
    if isinstance(value, dict):
        return _typed(value)
    return float(value) if isinstance(value, int) and not isinstance(value, bool) else value
