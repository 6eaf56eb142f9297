"""Chances that rest on a bloom forecast, and draws from it for a simulation."""

import datetime as dt
import math
from statistics import NormalDist

import numpy as np

from routing.bloom.forecast import BloomForecast
from routing.bloom.predict import bloom_forecast
from routing.bloom.window import contract_window
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation

LEAST_SD_DAYS = 1e-6


def chance_of_bloom_by(forecast: BloomForecast, percent: float, day: dt.date) -> float:
    """Return the chance that at least ``percent`` of the flowers are open by the end of ``day``; 0 to 1."""
    return _chance_by(*forecast.reached(percent), day)


def chance_of_petal_fall_by(forecast: BloomForecast, percent: float, day: dt.date) -> float:
    """Return the chance that at least ``percent`` of the petals have fallen by the end of ``day``; 0 to 1."""
    return _chance_by(*forecast.fallen(percent), day)


def chance_in_on_time(operation: Operation, contract: Contract, night: dt.date) -> float:
    """Return the chance that hives set down in the evening of ``night`` are not late.

    Parameters
    ----------
    operation, contract
        As for ``bloom_forecast`` and ``contract_window``.
    night
        Date of the evening.

    Returns
    -------
    float
        Where the way in hangs on percent bloom: the chance that bloom turns out so that ``night`` is on or before
        the last night on time. Where dates are agreed there is no chance in it: 1 up to the last of them, else 0.

    Raises
    ------
    OperationError
        If window or forecast cannot be found.
    """
    window = contract_window(operation, contract)
    if contract.in_until is not None or contract.in_from is not None:
        return 1.0 if night <= window.in_until else 0.0
    return 1.0 - _chance_before(operation, contract, night, nights=(window.in_until - window.in_from).days)


def chance_wanted_by(operation: Operation, contract: Contract, night: dt.date) -> float:
    """Return the chance that hives are wanted by the evening of ``night``: before that they stand there too early."""
    window = contract_window(operation, contract)
    if contract.in_from is not None:
        return 1.0 if night >= window.in_from else 0.0
    return _chance_before(operation, contract, night + dt.timedelta(days=1), nights=0)


def _chance_before(operation: Operation, contract: Contract, night: dt.date, *, nights: int) -> float:
    """Return the chance that the first night in, and ``nights`` after it, lie before ``night``."""
    window, forecast = contract_window(operation, contract), bloom_forecast(operation, contract)
    percent = window.percent if window.percent is not None else 10.0
    sd_days = forecast.reached(percent)[1]
    # The window's own first night is the middle; half a day, since a night is a whole number.
    days = (night - window.in_from).days - nights - 0.5
    return NormalDist(0.0, max(sd_days, LEAST_SD_DAYS)).cdf(days)


def draw_bloom_shift_days(forecast: BloomForecast, rng: np.random.Generator, *, season: float | None = None) -> float:
    """Return by how many days bloom comes later than forecast in one season drawn. [d]

    Parameters
    ----------
    forecast
        Of one contract.
    rng
        Source of chance; the same seed gives the same seasons.
    season
        Standard normal value of the season's weather, the same for every contract of one season: a late spring is
        late everywhere. Left out, it is drawn for this contract alone.

    Returns
    -------
    float
        Normal, mean 0; its variance is that of the 10 % bloom day. Earlier is negative.
    """
    shared = float(rng.standard_normal()) if season is None else season
    return forecast.shared_sd_days * shared + forecast.own_sd_days * float(rng.standard_normal())


def _chance_by(middle: float, sd_days: float, day: dt.date) -> float:
    if sd_days < LEAST_SD_DAYS:
        return 1.0 if math.ceil(middle - 1e-9) <= day.toordinal() else 0.0
    return NormalDist(middle, sd_days).cdf(day.toordinal() + 0.5)
