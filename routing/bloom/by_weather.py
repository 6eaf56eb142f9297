"""A forecast from chill and heat: what was seen so far, usual days from then on, notes before all else."""

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from routing.bloom.forecast import BloomForecast, Kind, StageDay, Sums
from routing.bloom.notes import Anchor, offset_of
from routing.bloom.sums import HeatRule, Path, chill_so_far, path_of
from routing.bloom.weather import NoWeatherError, SeasonHours, usual_season
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.inputs.places import Place
from routing.limits.crop_rows import OTHER, ROUGH, Crop, Mark, kill_at


@dataclass(frozen=True)
class Model:
    """Chill and heat to bloom, from wherever they are known."""

    kind: Kind
    rule: HeatRule
    sums: tuple[tuple[float, float], ...]
    """Percent bloom and heat; at least one."""
    error_days: float
    basis: str


@dataclass(frozen=True)
class Courses:
    """A season's course as it is most likely, the same all usual, and how its heat answers to its weather."""

    season: SeasonHours
    likely: Path
    usual: Path
    answer: NDArray[np.float64]
    """Heat of each day to come for each degree that it is warmer; 0 for days seen. [heat / deg F]"""


TRIED_F = 2.0
"""By how much the days to come are made colder and warmer to find the answer of their heat. [deg F]"""


@dataclass(frozen=True)
class _Reached:
    middle: float
    weather_sd: float
    own_sd: float
    seen: bool


def forecast_by_weather(
    operation: Operation, contract: Contract, crop: Crop, *, place: Place, season: SeasonHours, model: Model,
    anchors: Sequence[Anchor],
) -> BloomForecast:  # fmt: skip
    """Return the forecast that rests on chill and heat.

    Parameters
    ----------
    operation
        Gives the spread of the weather and the error of notes.
    contract, crop, place
        The contract, the row of its crop, the orchard.
    season
        Hours seen and usual.
    model
        Chill and heat to bloom.
    anchors
        Stages and percentages seen, in order. Heat counts anew from the last of them.

    Returns
    -------
    BloomForecast
        Stages without a heat sum of their own take the heat of their usual days before or after bloom.

    Raises
    ------
    NoWeatherError
        If the chill falls short, or the weather ends before bloom.
    """
    courses = courses_of(operation, place, season, rule=model.rule, heat=model.sums[0][1])
    _must_bloom(courses.likely, model)
    sums = {mark.days: _heat_of(courses, crop, model, mark.days) for mark in crop.marks}
    found = {
        mark: _reached(operation, crop, mark, courses=courses, model=model, sums=sums, anchors=anchors) for mark in crop.marks
    }
    ten = next(one for mark, one in found.items() if mark.percent == 10.0)
    stages = tuple(_stage_day(crop, mark, one) for mark, one in _in_order(found).items())
    return BloomForecast(
        contract=contract.name, crop=crop.name, cultivar=contract.cultivar, kind=model.kind,
        calibrated=model.kind in ("fitted", "own sums"), basis=_basis(model, season, anchors), stages=stages,
        shared_sd_days=ten.weather_sd, own_sd_days=ten.own_sd, sums=sums_of(courses, model.rule, sums[0.0]),
        warnings=season.filled,
    )  # fmt: skip


def courses_of(operation: Operation, place: Place, season: SeasonHours, *, rule: HeatRule, heat: float | None) -> Courses:
    """Return the courses of a season under a rule.

    Parameters
    ----------
    heat
        Heat of bloom; where usual days never reach it the likely course stands for the usual one. None: not known.
    """
    day_sd = constant(operation, "weather_day_sd_f")
    likely = path_of(season, rule, day_sd_f=day_sd)
    plain = usual_season(operation, place, season.start) or season
    usual = path_of(plain, rule, day_sd_f=day_sd)
    if heat is not None and usual.middle(heat) is None:
        usual = likely
    colder, warmer = (path_of(season, rule, day_sd_f=day_sd, shift_f=one).heat for one in (-TRIED_F, TRIED_F))
    answer = np.diff(warmer - colder, prepend=0.0) / (2.0 * TRIED_F)
    return Courses(season, likely, usual, answer)


def heat_sd(operation: Operation, courses: Courses) -> NDArray[np.float64]:
    """Return the standard error of the heat at the end of each day; 0 for days seen. [heat]

    Days to come differ from the usual by ``weather_day_sd_f`` and hold together for ``weather_memory_days``: the
    variance of the heat is ``sd^2 m sum(answer^2)`` over them.
    """
    squares = np.square(courses.answer)
    squares[: courses.season.seen_days] = 0.0
    spread: NDArray[np.float64] = np.sqrt(np.cumsum(squares) * constant(operation, "weather_memory_days"))
    return constant(operation, "weather_day_sd_f") * spread


def weather_sd(operation: Operation, courses: Courses, middle: float, *, since: float = -math.inf) -> float:
    """Return the standard error that the weather to come gives to a stage on day number ``middle``. [d]

    Parameters
    ----------
    since
        Day number from which heat counts anew: a stage that was seen. [d]

    Notes
    -----
    That of the heat, from ``since`` on (``heat_sd``), over the heat that a day brings about then.
    """
    likely, start = courses.likely, courses.likely.start.toordinal()
    last = min(max(math.ceil(middle) - start, 0), len(likely.heat) - 1)
    spread = heat_sd(operation, courses)
    before = 0 if since == -math.inf else min(max(math.floor(since) - start, 0), len(spread) - 1)
    squares = max(0.0, float(spread[last] ** 2 - (spread[before] ** 2 if since != -math.inf else 0.0)))
    around = likely.heat[min(last + AROUND_DAYS, len(likely.heat) - 1)] - likely.heat[max(last - AROUND_DAYS, 0)]
    a_day = float(around) / (2 * AROUND_DAYS)
    return math.sqrt(squares) / a_day if a_day > 0.0 else 0.0


AROUND_DAYS = 4
"""Days to each side of a stage over which the heat of a day is averaged."""


def _must_bloom(path: Path, model: Model) -> None:
    if path.heat_from is None:
        most = float(path.portions[-1])
        raise NoWeatherError(f"the chill falls short: {most:.0f} of {model.rule.portions or 0.0:.0f} portions by the end")
    if path.middle(model.sums[0][1]) is None:
        end = path.start + dt.timedelta(days=len(path.heat) - 1)
        raise NoWeatherError(f"the weather given ends on {end}, before bloom, and no day after it is known as usual")


def _heat_of(courses: Courses, crop: Crop, model: Model, offset: float) -> float | None:
    """Return the heat at a stage: between two known sums in proportion, else of its usual days from the nearest.

    None where those days lie before heat begins to count.
    """
    known = sorted((offset_of(crop, percent), heat) for percent, heat in model.sums)
    for (low, one), (high, other) in pairwise(known):
        if low <= offset <= high:
            return one + (offset - low) / (high - low) * (other - one)
    near, heat = known[0] if offset < known[0][0] else known[-1]
    usual = courses.usual.middle(heat)
    if usual is None or courses.usual.heat_from is None:
        return None
    at = usual + offset - near
    return courses.usual.heat_at(at) if at > courses.usual.start.toordinal() + courses.usual.heat_from else None


def _reached(
    operation: Operation, crop: Crop, mark: Mark, *, courses: Courses, model: Model, sums: dict[float, float | None],
    anchors: Sequence[Anchor],
) -> _Reached:  # fmt: skip
    note = constant(operation, "bloom_note_error_days")
    seen = next((one for one in anchors if one.offset == mark.days), None)
    if seen is not None:
        return _Reached(seen.middle, 0.0, note, True)
    last = anchors[-1] if anchors else None
    if last is not None and mark.days < last.offset:
        return _before(anchors, mark, note, constant(operation, "bloom_pace_error_share"))
    middle = _from(courses, last, mark, sums=sums, crop=crop, model=model)
    weather = weather_sd(operation, courses, middle, since=last.middle if last else -math.inf)
    own = model.error_days
    if last is not None:
        pace = constant(operation, "bloom_pace_error_share") * (ROUGH if crop.name == OTHER else 1.0)
        own = min(own, math.hypot(note, pace * (middle - last.middle)))
    return _Reached(middle, weather, own, False)


def _before(anchors: Sequence[Anchor], mark: Mark, note: float, pace: float) -> _Reached:
    """Return a stage that lies before the last one seen: it is past, and only its usual distance is known."""
    later = next(one for one in anchors if one.offset > mark.days)
    earlier = next((one for one in reversed(anchors) if one.offset < mark.days), None)
    if earlier is None:
        days = later.offset - mark.days
        return _Reached(later.middle - days, 0.0, math.hypot(note, pace * days), False)
    share = (mark.days - earlier.offset) / (later.offset - earlier.offset)
    return _Reached(earlier.middle + share * (later.middle - earlier.middle), 0.0, note, False)


def _from(
    courses: Courses, last: Anchor | None, mark: Mark, *, sums: dict[float, float | None], crop: Crop, model: Model
) -> float:
    """Return the day number of a stage, from the last stage seen on where there is one."""
    path = courses.likely
    heat = sums[mark.days]
    before = None if last is None else _heat_of(courses, crop, model, last.offset)
    if heat is None or (last is not None and before is None):
        known = sorted((offset_of(crop, percent), one) for percent, one in model.sums)[0]
        base = path.middle(known[1]) if last is None else last.middle
        return (base if base is not None else _end(path)) + mark.days - (known[0] if last is None else last.offset)
    if last is not None and before is not None:
        heat = path.heat_at(last.middle) + heat - before
    middle = path.middle(heat)
    return _end(path) if middle is None else middle


def _end(path: Path) -> float:
    return float(path.start.toordinal() + len(path.heat) - 1)


def _in_order(found: dict[Mark, _Reached]) -> dict[Mark, _Reached]:
    """Return the stages with none before one that it follows: heat of usual days may put two a hair across."""
    kept: dict[Mark, _Reached] = {}
    latest = -math.inf
    for mark, one in found.items():
        latest = max(latest, one.middle)
        kept[mark] = one if one.middle >= latest else _Reached(latest, one.weather_sd, one.own_sd, one.seen)
    return kept


def _stage_day(crop: Crop, mark: Mark, found: _Reached) -> StageDay:
    kill = kill_at(crop.name, mark.stage)
    return StageDay(
        stage=mark.stage, percent=mark.percent, fallen=mark.fallen, middle=found.middle, seen=found.seen,
        sd_days=math.hypot(found.weather_sd, found.own_sd),
        kill_10_f=kill.kill_10_f if kill else None, kill_90_f=kill.kill_90_f if kill else None,
    )  # fmt: skip


def _basis(model: Model, season: SeasonHours, anchors: Sequence[Anchor]) -> str:
    so_far = f"weather seen to {season.as_of}, usual days from then on" if season.seen_days else "usual days only"
    seen = f"; {anchors[-1].basis}, and heat from that day on" if anchors else ""
    return f"{model.basis}; {so_far}{seen}"


def sums_of(courses: Courses, rule: HeatRule, needed: float | None) -> Sums:
    """Return chill and heat so far; ``needed`` is the heat of 10 % bloom, None where it is not known."""
    season, likely = courses.season, courses.likely
    hours, units, portions = chill_so_far(season)
    first = None if likely.heat_from is None else season.start + dt.timedelta(days=likely.heat_from)
    so_far = float(likely.heat[season.seen_days - 1]) if season.seen_days else 0.0
    return Sums(
        as_of=season.as_of, chill_from=season.start, chilling_hours=hours, utah_units=units, chill_portions=portions,
        portions_needed=rule.portions, heat_from=first, heat=so_far, heat_needed=needed, heat_unit=rule.unit,
        rest_ends=first - dt.timedelta(days=1) if first is not None and rule.portions is not None else None,
    )  # fmt: skip
