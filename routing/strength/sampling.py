"""How many hives to open, so that the average of a group or of a yard is known well enough."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import NormalDist

from routing.inputs.constants import constant
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.record import Record
from routing.strength.forecast import spread_frames
from routing.strength.inspection import latest_inspection
from routing.strength.student import t_quantile


class SamplePlan(Record):
    """Hives to open, of one group or of all groups of a yard."""

    subject: str
    hives: int
    opened: int
    """Opened at the last inspection."""
    to_open: int
    """In all, those opened already among them."""
    of_groups: dict[str, int]
    """The same by group; the sum is ``to_open``."""
    within_frames: float
    confidence: float
    known_within_frames: float | None
    """How near the average is known today at that confidence; None before two hives were opened. [frames]"""
    basis: str

    @property
    def more(self) -> int:
        """Hives still to open."""
        return max(0, self.to_open - self.opened)


def half_width(spread: float, *, opened: int, hives: int, quantile: float) -> float:
    """Return how near the average is known: ``quantile`` times its standard error, for n of N hives. [frames]"""
    if opened >= hives:
        return 0.0
    return quantile * spread * math.sqrt((1.0 - opened / hives) / opened)


def hives_to_open(
    hives: int, spread: float, *, within: float, confidence: float, pilot: int | None = None
) -> int:
    """Return the fewest hives of a group to open, so that its average is known within some frames.

    Parameters
    ----------
    hives
        Hives in the group. >= 1.
    spread
        Standard deviation between hives. >= 0. [frames]
    within
        Half the width of the two-sided interval. > 0. [frames]
    confidence
        Of that interval, in (0, 1).
    pilot
        Hives that the spread was found on; None where it is assumed.

    Returns
    -------
    int
        At least 2 (or all), at least ``pilot``, at most ``hives``.

    Raises
    ------
    ValueError
        If there are no hives, or ``within`` or ``confidence`` is out of range.

    Notes
    -----
    Least n with ``t s sqrt((1 - n/N) / n) <= d`` [1]_. After a pilot, t has its n - 1 degrees of freedom
    however many more are opened: then the interval holds at the confidence whatever the true spread [2]_.
    With an assumed spread, t has the n - 1 that the sample itself will have.

    References
    ----------
    .. [1] W. G. Cochran, "Sampling Techniques", 3rd edition, Wiley (1977), section 4.6 (from memory).
    .. [2] C. Stein, "A two-sample test for a linear hypothesis whose power is independent of the variance",
       Annals of Mathematical Statistics 16 (1945) 243-258 (from memory).

    Examples
    --------
    >>> hives_to_open(40, 1.0, within=0.5, confidence=0.90)
    11
    """
    if hives < 1 or within <= 0.0 or not 0.0 < confidence < 1.0:
        raise ValueError(f"{hives} hives, within {within} frames, confidence {confidence}: not to be sampled.")
    share = 0.5 + confidence / 2.0
    normal = NormalDist().inv_cdf(share)
    least = min(hives, max(2, pilot or 0))
    for opened in range(least, hives):
        if half_width(spread, opened=opened, hives=hives, quantile=normal) > within + 1e-12:
            continue  # Student's t is wider still
        quantile = t_quantile(share, (pilot if pilot and pilot > 1 else opened) - 1)
        if half_width(spread, opened=opened, hives=hives, quantile=quantile) <= within + 1e-12:
            return opened
    return hives


def group_sample(operation: Operation, group: HiveGroup) -> SamplePlan:
    """Return how many hives of a group to open, by ``sample_within_frames`` and ``sample_confidence``.

    The spread is that of the last inspection; before two hives are opened ``frames_sd_when_unknown``.
    """
    seen = latest_inspection(operation, group)
    spread, known = spread_frames(operation, seen), seen.sd_frames is not None and seen.inspected > 1
    within, confidence = (constant(operation, name) for name in ("sample_within_frames", "sample_confidence"))
    to_open = hives_to_open(
        seen.hives, spread, within=within, confidence=confidence, pilot=seen.inspected if known else None
    )
    told = f"the {spread:.2f} frames seen between hives" if known else f"a spread taken as {spread:g} frames"
    return SamplePlan(
        subject=group.name, hives=seen.hives, opened=seen.inspected, to_open=to_open, of_groups={group.name: to_open},
        within_frames=within, confidence=confidence, basis=f"by {told}",
        known_within_frames=_known_within(seen.inspected, seen.hives, spread, confidence) if known else None,
    )  # fmt: skip


def yard_sample(operation: Operation, yard: str) -> SamplePlan:
    """Return how many hives of a yard to open, and of which groups, so that the yard's average is known.

    Notes
    -----
    Groups are strata: the variance of the yard's average is ``sum (N_h/N)^2 s_h^2/n_h (1 - n_h/N_h)`` [1]_.
    One hive after another is given to the group in which it takes off most, which no other sharing out of so
    many hives betters; t has the approximate degrees of freedom of the sum, which move in steps, so that a
    sharing with more in one group may do with a hive less. Every group gets two hives at the least (or all
    of it), and those opened already count.

    References
    ----------
    .. [1] W. G. Cochran, "Sampling Techniques", 3rd edition, Wiley (1977), sections 5.3 to 5.9 (from memory).

    Raises
    ------
    ValueError
        If no hives stand in the yard.
    """
    strata = [_stratum(operation, group) for group in operation.hive_groups if group.yard == yard]
    if not strata:
        raise ValueError(f"No hives stand in the yard {yard!r} at the start.")
    within, confidence = (constant(operation, name) for name in ("sample_within_frames", "sample_confidence"))
    number = {one.name: max(one.opened, min(2, one.hives)) for one in strata}
    while not _known_enough(strata, number, within, confidence):
        best = max((one for one in strata if number[one.name] < one.hives), key=lambda one: _taken_off(one, number[one.name]))
        number[best.name] += 1
    opened = {one.name: one.opened for one in strata}
    known = all(one.opened > 1 or one.opened >= one.hives for one in strata)
    return SamplePlan(
        subject=yard, hives=sum(one.hives for one in strata), opened=sum(opened.values()),
        to_open=sum(number.values()), of_groups=number, within_frames=within, confidence=confidence,
        known_within_frames=_yard_half_width(strata, opened, confidence) if known else None,
        basis="by the spread within each group, seen or assumed",
    )  # fmt: skip


@dataclass(frozen=True)
class _Stratum:
    name: str
    hives: int
    opened: int
    spread: float


def _stratum(operation: Operation, group: HiveGroup) -> _Stratum:
    seen = latest_inspection(operation, group)
    return _Stratum(group.name, seen.hives, seen.inspected, spread_frames(operation, seen))


def _taken_off(one: _Stratum, opened: int) -> float:
    return (one.hives * one.spread) ** 2 * (1.0 / opened - 1.0 / (opened + 1))


def _known_enough(strata: Sequence[_Stratum], number: Mapping[str, int], within: float, confidence: float) -> bool:
    least = NormalDist().inv_cdf(0.5 + confidence / 2.0) * math.sqrt(math.fsum(_variances(strata, number)))
    # Student's t is wider than the normal: it is looked at only once the normal would do.
    return least <= within + 1e-12 and _yard_half_width(strata, number, confidence) <= within + 1e-12


def _variances(strata: Sequence[_Stratum], number: Mapping[str, int]) -> list[float]:
    hives = sum(one.hives for one in strata)
    return [
        max(0.0, (one.hives / hives * one.spread) ** 2 * (1.0 / number[one.name] - 1.0 / one.hives)) for one in strata
    ]  # fmt: skip


def _yard_half_width(strata: Sequence[_Stratum], number: Mapping[str, int], confidence: float) -> float:
    parts = _variances(strata, number)
    total = math.fsum(parts)
    if total <= 0.0:
        return 0.0
    loose = math.fsum(p * p / (number[one.name] - 1) for p, one in zip(parts, strata, strict=True) if p > 0.0)
    share = 0.5 + confidence / 2.0
    freedom = total * total / loose
    quantile = t_quantile(share, math.floor(freedom + 1e-9)) if freedom < 1000.0 else NormalDist().inv_cdf(share)
    return quantile * math.sqrt(total)


def _known_within(opened: int, hives: int, spread: float, confidence: float) -> float:
    quantile = t_quantile(0.5 + confidence / 2.0, opened - 1)
    return half_width(spread, opened=opened, hives=hives, quantile=quantile)
