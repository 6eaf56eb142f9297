"""Chill and heat to bloom, fitted to the orchard's own earlier years by least squares of days, with a stated error.

No heat sums to bloom are published for apple, cherry, pear or almond: these are fitted here. A heat sum that foretells
earlier years no better than their mean date does is not used, which is said.
"""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import fmean
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from routing.bloom.sums import HeatRule, daily_heat, daily_portions, heat_from, heat_from_date
from routing.bloom.weather import NoWeatherError, SeasonHours, season_hours, season_start
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.inputs.phenology import PastBloom
from routing.inputs.places import Place

PORTIONS_TRIED = tuple(float(one) for one in range(10, 82, 4))
"""Chill requirements tried where none is published for the cultivar. [chill portions]"""
LEAST_ERROR_DAYS = 1.0
"""Whoever notes bloom is a day off as often as not: no fit is surer."""
MISSED_DAYS = 60.0
"""What a year counts in which the heat is never reached. [d]"""


SUMS_BETWEEN = 9
"""Heat sums tried between the least and the greatest of the years, beside those of the years themselves."""
Item = TypeVar("Item")


@dataclass(frozen=True)
class Year:
    """One earlier year: its days of heat and chill, and the day of bloom counted from the season's start."""

    season: SeasonHours
    portions: NDArray[np.float64]
    heat: NDArray[np.float64]
    bloom: int

    def sums(self, rule: HeatRule) -> NDArray[np.float64] | None:
        """Return the heat at the end of each day under a rule; None when the chill is not enough before bloom."""
        first = heat_from(self.season.start, self.portions, rule)
        if first is None or first > self.bloom:
            return None
        return np.cumsum(np.where(np.arange(len(self.heat)) >= first, self.heat, 0.0))


@dataclass(frozen=True)
class Fit:
    """What was fitted."""

    rule: HeatRule
    sums: tuple[tuple[float, float], ...]
    """Percent bloom and heat, the percentage fitted on the most years first."""
    error_days: float
    """Error of years that were left out of the fit, root mean square. [d]"""
    date_error_days: float
    """The same of the mean date. [d]"""
    years: tuple[int, ...]
    left_out: tuple[str, ...]
    """Years that could not be used, and why."""


def fitted(operation: Operation, contract: Contract, place: Place, *, portions: float | None) -> Fit | None:
    """Return the fit to a contract's earlier years; None when there are too few with weather.

    Parameters
    ----------
    operation
        Gives ``past_blooms``, the weather and ``least_years_fitted``.
    contract, place
        The orchard.
    portions
        Chill that is published for its cultivar; None: fitted too, from two years more on.

    Notes
    -----
    For each chill tried, the heat sum that makes the squared days of error least; of the chills the best. The error
    stated is that of each year foretold from the others. Temperature alone foretells bloom no better than the
    calendar at some sites: both errors are returned.
    """
    years, left_out = _years(operation, contract, place)
    least = int(constant(operation, "least_years_fitted"))
    groups = sorted(years.items(), key=lambda item: -len(item[1]))
    if not groups or len(groups[0][1]) < least:
        return None
    percent, main = groups[0]
    plain = HeatRule("degree hours", from_month_day=heat_from_date(place.latitude_deg))
    rules = _rules(plain, portions, fit_chill=len(main) >= least + 2)
    rule, heat = _best(_tried(main, rules))
    others = [(one, _heat(_tried(group, (rule,))[0])) for one, group in groups[1:] if len(group) >= least]
    return Fit(
        rule=rule, sums=((percent, heat), *((one, found) for one, found in others if found is not None)),
        error_days=max(_left_out_error(main, rules), LEAST_ERROR_DAYS),
        date_error_days=max(_date_error([year.bloom for year in main]), LEAST_ERROR_DAYS),
        years=tuple(sorted(year.season.start.year + 1 for year in main)), left_out=tuple(left_out),
    )  # fmt: skip


def _rules(plain: HeatRule, portions: float | None, *, fit_chill: bool) -> tuple[HeatRule, ...]:
    if portions is not None:
        return (replace(plain, portions=portions),)
    tried = tuple(replace(plain, portions=one) for one in PORTIONS_TRIED) if fit_chill else ()
    return (plain, *tried)


def _years(operation: Operation, contract: Contract, place: Place) -> tuple[dict[float, list[Year]], list[str]]:
    found: dict[float, list[Year]] = defaultdict(list)
    left_out: list[str] = []
    for row in sorted(operation.past_blooms, key=lambda row: row.on):
        if row.contract == contract.name:
            try:
                found[row.percent_bloom].append(_year(operation, place, row))
            except NoWeatherError as error:
                left_out.append(f"{row.on.year}: {error}")
    return found, left_out


def _year(operation: Operation, place: Place, row: PastBloom) -> Year:
    season = season_hours(operation, place, season_start(operation, place, row.on))
    bloom = (row.on - season.start).days
    if season.seen_days <= bloom:
        raise NoWeatherError(f"no weather seen up to {row.on}")
    if season.filled and season.filled[-1].startswith("usual"):
        raise NoWeatherError(f"no weather seen from {season.start} on")
    return Year(season, daily_portions(season), daily_heat(season, HeatRule("degree hours")), bloom)


@dataclass(frozen=True)
class _Tried:
    """One rule tried on some years: the heat at the end of each of their days, and when they bloomed."""

    rule: HeatRule
    sums: tuple[NDArray[np.float64] | None, ...]
    blooms: tuple[int, ...]

    def without(self, index: int) -> "_Tried":
        """Return the same without one year."""
        return replace(self, sums=_left(self.sums, index), blooms=_left(self.blooms, index))


def _left(items: tuple[Item, ...], index: int) -> tuple[Item, ...]:
    return (*items[:index], *items[index + 1 :])


def _tried(years: Sequence[Year], rules: Sequence[HeatRule]) -> list[_Tried]:
    blooms = tuple(year.bloom for year in years)
    return [_Tried(rule, tuple(year.sums(rule) for year in years), blooms) for rule in rules]


def _best(tried: Sequence[_Tried]) -> tuple[HeatRule, float]:
    """Return the rule and heat sum with the least squares of days; raise ``NoWeatherError`` when no rule can be used."""
    best: tuple[float, HeatRule, float] | None = None
    for one in tried:
        heat = _heat(one)
        if heat is not None:
            error = float(_squares(one, np.array([heat]))[0])
            if best is None or error < best[0] - 1e-9:
                best = (error, one.rule, heat)
    if best is None:
        raise NoWeatherError("the chill needed is not reached before bloom in an earlier year")
    return best[1], best[2]


def _heat(tried: _Tried) -> float | None:
    """Return the heat sum with the least squares of days; None when the chill falls short in a year."""
    at_bloom = [float(one[day]) for one, day in zip(tried.sums, tried.blooms, strict=True) if one is not None]
    if len(at_bloom) < len(tried.blooms):
        return None
    between = np.linspace(min(at_bloom), max(at_bloom), SUMS_BETWEEN).tolist()
    heats = np.array(sorted({*at_bloom, fmean(at_bloom), *between}))
    return float(heats[int(np.argmin(_squares(tried, heats)))])


def _squares(tried: _Tried, heats: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the squared days from the bloom seen to the bloom foretold, summed over the years, for each heat sum."""
    total = np.zeros(len(heats))
    for sums, bloom in zip(tried.sums, tried.blooms, strict=True):
        total += _missed(sums, bloom, heats) ** 2
    return total


def _missed(sums: NDArray[np.float64] | None, bloom: int, heats: NDArray[np.float64]) -> NDArray[np.float64]:
    if sums is None:
        return np.full(len(heats), MISSED_DAYS)
    days = np.searchsorted(sums, heats - 1e-9).astype(np.float64) - bloom
    return np.where(heats > sums[-1], MISSED_DAYS, days)


def _left_out_error(years: Sequence[Year], rules: Sequence[HeatRule]) -> float:
    """Return the error of each year foretold from a fit to the others. [d]"""
    tried = _tried(years, rules)
    squares = []
    for index, year in enumerate(years):
        rule, heat = _best([one.without(index) for one in tried])
        squares.append(float(_missed(year.sums(rule), year.bloom, np.array([heat]))[0]) ** 2)
    return math.sqrt(fmean(squares))


def _date_error(days: Sequence[int]) -> float:
    """Return the error of each year's date foretold by the mean of the others. [d]"""
    total = sum(days)
    return math.sqrt(fmean((day - (total - day) / (len(days) - 1)) ** 2 for day in days))
