"""Chill and heat to bloom, fitted to the orchard's own earlier years by least squares of days, with a stated error.

No heat sums to bloom are published for apple, cherry, pear or almond: these are fitted here. A heat sum that foretells
earlier years no better than their mean date does is not used, which is said.
"""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import fmean

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
    rule, heat = _best(main, rules)
    others = [(one, _heat(group, rule)) for one, group in groups[1:] if len(group) >= least]
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


def _best(years: Sequence[Year], rules: Sequence[HeatRule]) -> tuple[HeatRule, float]:
    """Return the rule and heat sum with the least squares of days; the first rule when none can be used."""
    best: tuple[float, HeatRule, float] | None = None
    for rule in rules:
        heat = _heat(years, rule)
        if heat is not None:
            error = _squares([year.sums(rule) for year in years], years, heat)
            if best is None or error < best[0] - 1e-9:
                best = (error, rule, heat)
    if best is None:
        raise NoWeatherError("the chill needed is not reached before bloom in an earlier year")
    return best[1], best[2]


def _heat(years: Sequence[Year], rule: HeatRule) -> float | None:
    """Return the heat sum with the least squares of days; None when the chill falls short in a year."""
    sums = [year.sums(rule) for year in years]
    at_bloom = [float(one[year.bloom]) for one, year in zip(sums, years, strict=True) if one is not None]
    if len(at_bloom) < len(years):
        return None
    between = [min(at_bloom) + (max(at_bloom) - min(at_bloom)) * step / 8.0 for step in range(9)]
    tried = sorted({*at_bloom, fmean(at_bloom), *between})
    return min(tried, key=lambda heat: _squares(sums, years, heat))


def _squares(sums: Sequence[NDArray[np.float64] | None], years: Sequence[Year], heat: float) -> float:
    return sum(_missed(one, year, heat) ** 2 for one, year in zip(sums, years, strict=True))


def _missed(sums: NDArray[np.float64] | None, year: Year, heat: float) -> float:
    """Return the days from the bloom seen to the bloom foretold."""
    if sums is None or heat > sums[-1]:
        return MISSED_DAYS
    return float(np.searchsorted(sums, heat - 1e-9)) - year.bloom


def _left_out_error(years: Sequence[Year], rules: Sequence[HeatRule]) -> float:
    squares = []
    for index, year in enumerate(years):
        rule, heat = _best([*years[:index], *years[index + 1 :]], rules)
        squares.append(_missed(year.sums(rule), year, heat) ** 2)
    return math.sqrt(fmean(squares))


def _date_error(days: Sequence[int]) -> float:
    """Return the error of each year's date foretold by the mean of the others. [d]"""
    total = sum(days)
    return math.sqrt(fmean((day - (total - day) / (len(days) - 1)) ** 2 for day in days))
