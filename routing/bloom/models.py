"""Which chill and heat bring a contract's crop to bloom: the user's own sums, else fitted ones, else published ones."""

import datetime as dt

from routing.bloom.by_weather import Model
from routing.bloom.fit import Fit, fitted
from routing.bloom.sums import HeatRule, heat_from_date
from routing.bloom.weather import NoWeatherError
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.inputs.places import Place
from routing.limits.crop_rows import OTHER, Crop, chills, crop_named, heat_sums


def model_of(operation: Operation, contract: Contract, crop: Crop, *, place: Place) -> Model:
    """Return the model of a contract's bloom.

    Raises
    ------
    NoWeatherError
        If none is known: the text says what is missing.
    """
    own = _own_sums(operation, contract, crop, place)
    if own is not None:
        return own
    fit = fitted(operation, contract, place, portions=published_portions(crop, contract.cultivar))
    if fit is not None and fit.error_days < fit.date_error_days:
        return _from_fit(fit)
    published = _published(operation, crop, place)
    if published is not None:
        return published
    raise NoWeatherError(_why_none(operation, contract, crop, fit))


def published_portions(crop: Crop, cultivar: str) -> float | None:
    """Return the middle of the chill published for a cultivar; None when none is. [chill portions]"""
    for row in chills():
        if row.crop == crop.name and row.cultivar.casefold() == cultivar.strip().casefold():
            return (row.low_portions + row.high_portions) / 2.0
    return None


def _own_sums(operation: Operation, contract: Contract, crop: Crop, place: Place) -> Model | None:
    rows = [row for row in operation.bloom_sums if _same_crop(row.crop, contract.crop, crop)]
    named = [row for row in rows if row.cultivar.casefold() == contract.cultivar.casefold()]
    own = named or [row for row in rows if not row.cultivar]
    if not own:
        return None
    from_date = heat_from_date(place.latitude_deg)
    rule = HeatRule("degree hours", portions=own[0].chill_portions or None, from_month_day=from_date)
    return Model(
        kind="own sums", rule=rule, sums=tuple((row.percent_bloom, row.heat_sum) for row in own),
        error_days=max(row.error_days for row in own), basis=f"your own sums ({own[0].source})",
    )  # fmt: skip


def _same_crop(name: str, other: str, crop: Crop) -> bool:
    if crop.name != OTHER:
        return crop_named(name).name == crop.name
    return " ".join(name.split()).casefold() == " ".join(other.split()).casefold()


def _from_fit(fit: Fit) -> Model:
    portions, (month, day) = fit.rule.portions, fit.rule.from_month_day
    heat = f"{fit.sums[0][1]:.0f} {fit.rule.unit}"
    if portions is not None:
        needs = f"{portions:.0f} chill portions, then {heat} to {fit.sums[0][0]:g} % bloom"
    else:
        needs = f"{heat} from {dt.date(2001, month, day):%B} {day} to {fit.sums[0][0]:g} % bloom"
    basis = (
        f"sums fitted to your own bloom ({len(fit.years)} years, {fit.years[0]} to {fit.years[-1]}): {needs};"
        f" error of years left out {fit.error_days:.1f} d (their mean date: {fit.date_error_days:.1f} d)"
    )
    return Model("fitted", fit.rule, fit.sums, fit.error_days, basis)


def _published(operation: Operation, crop: Crop, place: Place) -> Model | None:
    rows = [row for row in heat_sums() if row.crop == crop.name]
    if not rows:
        return None
    month, day = (int(one) for one in rows[0].from_month_day.split("-"))
    from_date = heat_from_date(place.latitude_deg, (month, day))
    rule = HeatRule("degree days", base_f=rows[0].base_f, from_month_day=from_date)
    return Model(
        kind="published", rule=rule, sums=tuple((row.percent, row.sum_f) for row in rows),
        error_days=constant(operation, "bloom_error_days"), basis=rows[0].source,
    )  # fmt: skip


def _why_none(operation: Operation, contract: Contract, crop: Crop, fit: Fit | None) -> str:
    if fit is not None:
        return (
            f"heat foretold your earlier years no better ({fit.error_days:.1f} d) than their mean date"
            f" does ({fit.date_error_days:.1f} d)"
        )
    noted = {row.on.year for row in operation.past_blooms if row.contract == contract.name}
    least = int(constant(operation, "least_years_fitted"))
    return (
        f"no heat sum to bloom is published for {crop.name}, and of your own bloom {len(noted)} earlier years are noted"
        f" (from {least} with weather on it is fitted)"
    )
