"""From inspections to a group's average on a day: what is expected, and how sure that is.

The average m on the day of the last inspection and the growth factor k (1: the curve's own rate) are found
together. Each inspection says y = m + k G + e, with G the curve from the last inspection back to it (turned
about, so negative for growth); before any is seen, k is 1 with the spread ``growth_sd_share``.
"""

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass

from routing.inputs.constants import constant
from routing.inputs.operation import Operation
from routing.strength.growth import curve_frames
from routing.strength.inspection import Inspection

LEAST_VARIANCE = 1e-12
"""Of an average of which every hive was opened: small enough to be one, large enough to divide by."""


@dataclass(frozen=True)
class Forecast:
    """A group's average on a day, as one straight line in what was seen and in the growth factor expected."""

    base: Inspection
    """The inspection that it starts from."""
    mean_frames: float
    """Average on the day of ``base``. [frames]"""
    mean_variance: float
    """How sure that is. [frames squared]"""
    degrees_of_freedom: int | None
    """Of Student's t for it; None where the spread was assumed: then the normal holds."""
    growth_frames: float
    """Expected from ``base`` to the day. [frames]"""
    growth_variance: float
    covariance: float
    """Of the average and the growth: an average taken too high makes the growth so far look too fast."""
    factor: float
    """k."""
    inspections: int = 1
    """Inspections that it rests on."""

    def variance(self, share: float) -> float:
        """Return how sure the average on the day is, with a share of the growth counted. [frames squared]"""
        return max(0.0, self.mean_variance + 2.0 * share * self.covariance + share * share * self.growth_variance)


def forecast(operation: Operation, found: Sequence[Inspection], on: dt.date) -> Forecast:
    """Return a group's average on a day.

    Parameters
    ----------
    operation
        Gives the curve, ``growth_sd_share``, ``inspections_used_days`` and ``frames_sd_when_unknown``.
    found
        Inspections with a mean and a day, the earliest first; at least one.
    on
        The day. Inspections after it are left out; where all are after it, the first is led back to it.

    Returns
    -------
    Forecast
        By least squares, weighted by how sure each sample's mean is: the best straight-line estimate.
    """
    used = _used(operation, found, on)
    base = used[-1]
    variances = [max(sample_variance(operation, one), LEAST_VARIANCE) for one in used]
    back = [_curve(operation, base, until=_day(one)) for one in used]
    gain = _gain(variances, back, prior_variance=constant(operation, "growth_sd_share") ** 2)
    seen = [one.mean_frames or 0.0 for one in used]
    mean, factor = (math.fsum(w * y for w, y in zip(row, [*seen, 1.0], strict=True)) for row in gain.rows)
    curve = _curve(operation, base, until=on)
    parts = [w * w * v for w, v in zip(gain.rows[0], variances, strict=False)]
    known = [one.inspected - 1 if one.sd_frames is not None and one.inspected > 1 else None for one in used]
    return Forecast(
        base=base, mean_frames=mean, mean_variance=gain.mean_variance, degrees_of_freedom=freedom_of_sum(parts, known),
        growth_frames=factor * curve, growth_variance=gain.factor_variance * curve * curve,
        covariance=gain.covariance * curve, factor=factor, inspections=len(used),
    )  # fmt: skip


def spread_frames(operation: Operation, seen: Inspection) -> float:
    """Return the spread between hives: seen, or the constant ``frames_sd_when_unknown``. [frames]"""
    return constant(operation, "frames_sd_when_unknown") if seen.sd_frames is None else seen.sd_frames


def sample_variance(operation: Operation, seen: Inspection) -> float:
    """Return the variance of a sample's mean about the mean of all its hives. [frames squared]

    Notes
    -----
    ``s^2 / n (1 - n / N)`` for n of N hives opened at random without putting back [1]_.

    References
    ----------
    .. [1] W. G. Cochran, "Sampling Techniques", 3rd edition, Wiley (1977), section 2.6 (from memory).
    """
    if seen.inspected >= seen.hives:
        return 0.0
    return spread_frames(operation, seen) ** 2 / seen.inspected * (1.0 - seen.inspected / seen.hives)


def _used(operation: Operation, found: Sequence[Inspection], on: dt.date) -> list[Inspection]:
    early = [one for one in found if _day(one) <= on]
    if not early:
        return [found[0]]
    oldest = _day(early[-1]) - dt.timedelta(days=constant(operation, "inspections_used_days"))
    return [one for one in early if _day(one) >= oldest]


def _day(one: Inspection) -> dt.date:
    if one.on is None:
        raise ValueError("An inspection without a day cannot be led to another day.")
    return one.on


def _curve(operation: Operation, base: Inspection, *, until: dt.date) -> float:
    return curve_frames(operation, base.mean_frames or 0.0, since=_day(base), until=until)


@dataclass(frozen=True)
class _Gain:
    """m and k as straight lines in the means seen and, last, the factor expected; and how sure both are."""

    rows: tuple[tuple[float, ...], tuple[float, ...]]
    mean_variance: float
    factor_variance: float
    covariance: float


def _gain(variances: Sequence[float], back: Sequence[float], *, prior_variance: float) -> _Gain:
    """Return the least-squares solution; with one inspection m is its mean and k the factor expected."""
    weights = [1.0 / v for v in variances]
    prior = 1.0 / max(prior_variance, LEAST_VARIANCE)
    a = math.fsum(weights)
    b = math.fsum(w * g for w, g in zip(weights, back, strict=True))
    c = math.fsum(w * g * g for w, g in zip(weights, back, strict=True)) + prior
    determinant = a * c - b * b
    mean_row = [w * (c - b * g) / determinant for w, g in zip(weights, back, strict=True)]
    factor_row = [w * (a * g - b) / determinant for w, g in zip(weights, back, strict=True)]
    return _Gain(
        rows=((*mean_row, -b * prior / determinant), (*factor_row, a * prior / determinant)),
        mean_variance=c / determinant, factor_variance=a / determinant, covariance=-b / determinant,
    )  # fmt: skip


def freedom_of_sum(parts: Sequence[float], known: Sequence[int | None]) -> int | None:
    """Return the degrees of freedom of a sum of variances, each from a sample of its own.

    Notes
    -----
    ``(sum v)^2 / sum(v^2 / df)`` [1]_, rounded down; a spread that was assumed has none to lose.

    References
    ----------
    .. [1] F. E. Satterthwaite, "An approximate distribution of estimates of variance components", Biometrics
       Bulletin 2 (1946) 110-114 (from memory).
    """
    total = math.fsum(parts)
    loose = math.fsum(part * part / df for part, df in zip(parts, known, strict=True) if df)
    if total <= 0.0 or loose <= 0.0:
        return None if None in known else min((df for df in known if df), default=None)
    return max(1, math.floor(total * total / loose + 1e-9))
