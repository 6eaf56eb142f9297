"""Lots drawn at random, as the inspections and the growth curve say that they may be."""

import datetime as dt
import math
import statistics
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from routing.inputs.build import measure
from routing.inputs.constants import constant
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.strength.acceptance import step_of
from routing.strength.forecast import LEAST_VARIANCE, Forecast, forecast, spread_frames
from routing.strength.inspection import inspections

LEAST_SHAPE = 8
"""Hives that must have been opened for their own shape to count; with fewer, single hives are taken for normal."""
KERNEL = 0.6
"""Width of the smoothing of that shape, in spreads times n to the power of -1/5 (Silverman: 0.9; less keeps two heaps apart)."""
Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Sampled:
    """Hives opened by a grower, in many draws of a lot."""

    averages: Floats
    """Average of the hives opened, one a draw. [frames]"""
    ordered: Floats
    """Draws by hives opened, the weakest first. [frames]"""


@dataclass(frozen=True)
class GroupModel:
    """What is drawn for one group: its average, its spread, and single hives about them."""

    ahead: Forecast
    hives: int
    spread: float
    degrees_of_freedom: int | None
    """Of the spread; None where it was assumed: it is then drawn as it is."""
    share: float
    """Of the growth."""
    hive_share: float
    room: float
    step: float
    """Frames are written down in steps of this; 0: not rounded. [frames]"""
    shape: tuple[float, ...] = ()
    """Hives as seen, about their average in units of their spread: skewed or in two heaps as they are."""
    factor: float = 1.0
    """What one frame as it was counted is worth as the contract counts."""

    @property
    def moves(self) -> bool:
        """Tell whether growth, or what is not sure of the average, parts the day from the inspection."""
        return bool(self.share * self.ahead.growth_frames) or self.ahead.variance(self.share) > 2.0 * LEAST_VARIANCE

    def averages(self, rng: np.random.Generator, draws: int) -> tuple[Floats, Floats]:
        """Return the average of all hives and the spread between hives, of each draw. [frames]"""
        ratio = np.ones(draws)
        if self.degrees_of_freedom:
            ratio = np.sqrt(self.degrees_of_freedom / rng.chisquare(self.degrees_of_freedom, draws))
        now, grown = self._now_and_growth(rng, ratio)
        spread = np.hypot(self.spread * ratio, self.hive_share * self.share * self.ahead.growth_frames)
        return now + self.share * grown, spread

    def _now_and_growth(self, rng: np.random.Generator, ratio: Floats) -> tuple[Floats, Floats]:
        ahead = self.ahead
        now_sd = math.sqrt(ahead.mean_variance) if ahead.mean_variance > 2.0 * LEAST_VARIANCE else 0.0
        slope = ahead.covariance / ahead.mean_variance if now_sd else 0.0
        left = max(0.0, ahead.growth_variance - slope * ahead.covariance)
        off = now_sd * ratio * rng.standard_normal(ratio.size)
        grown = ahead.growth_frames + slope * off + math.sqrt(left) * rng.standard_normal(ratio.size)
        return ahead.mean_frames + off, grown

    def _singles(self, rng: np.random.Generator, draws: int, most: int) -> Floats:
        """Return single hives about their average, of mean 0 and variance 1."""
        smooth: Floats = rng.standard_normal((draws, most))
        if len(self.shape) < LEAST_SHAPE:
            return smooth
        width = KERNEL / float(len(self.shape)) ** 0.2
        seen: Floats = np.asarray(self.shape)[rng.integers(len(self.shape), size=(draws, most))]
        mixed: Floats = (seen + width * smooth) / math.sqrt(1.0 + width * width)
        return mixed

    def opened(self, rng: np.random.Generator, draws: int, *, most: int) -> Floats:
        """Return draws by hives opened; any first m of a row are m hives opened at random. [frames]

        Notes
        -----
        The mean of m of N hives varies by ``s^2/m (1 - m/N)`` about the mean of all N: hives of a row are
        tied by -s^2/N each two, as in drawing without putting back.
        """
        average, spread = self.averages(rng, draws)
        z = self._singles(rng, draws, most)
        # Taking off c times the mean of N such numbers, of which the others are drawn as one, ties them.
        others = rng.standard_normal(draws) * math.sqrt(max(0, self.hives - most))
        z -= ((z.sum(axis=1) + others) / self.hives)[:, None]
        frames = np.clip(average[:, None] + spread[:, None] * z, 0.0, self.room)
        return self.factor * (np.round(frames / self.step) * self.step if self.step else frames)


def group_model(operation: Operation, group: HiveGroup, day: dt.date, *, growth_share: float | None = None) -> GroupModel | None:
    """Return what is drawn for a group on a day; None where nothing was seen.

    Parameters
    ----------
    operation, group, day
        As for ``strength_on``.
    growth_share
        Share of a growth that comes about; left out, ``growth_counted_share``. A decline comes about whole.
    """
    found = [one for one in inspections(operation, group) if one.mean_frames is not None]
    if not found:
        return None
    ahead = forecast(operation, found, day)
    share = constant(operation, "growth_counted_share") if growth_share is None else growth_share
    known = ahead.base.sd_frames is not None and ahead.base.inspected > 1
    return GroupModel(
        ahead=ahead, hives=ahead.base.hives, spread=spread_frames(operation, ahead.base),
        degrees_of_freedom=ahead.base.inspected - 1 if known and ahead.base.inspected < ahead.base.hives else None,
        share=1.0 if ahead.growth_frames < 0.0 else share, hive_share=constant(operation, "growth_hive_sd_share"),
        room=float(measure(operation, group.build, travelling=True).frames_for_bees),
        step=step_of(ahead.base.counts) if len(ahead.base.counts) > 1 else 0.0, shape=_shape(ahead.base.counts),
    )  # fmt: skip


def _shape(counts: Sequence[float]) -> tuple[float, ...]:
    spread = statistics.pstdev(counts) if len(counts) > 1 else 0.0
    mean = statistics.fmean(counts) if counts else 0.0
    return tuple((one - mean) / spread for one in counts) if spread > 0.0 else ()


def draw_averages(
    operation: Operation, group: HiveGroup, day: dt.date, *, draws: int, seed: int, growth_share: float | None = None
) -> Floats:
    """Return the average of a group's hives on a day in so many seasons drawn at random. [frames]

    Zeros where nothing was seen; never more than the frames that the boxes hold.
    """
    model = group_model(operation, group, day, growth_share=growth_share)
    if model is None:
        return np.zeros(draws)
    average, _ = model.averages(np.random.default_rng(seed), draws)
    return np.clip(average, 0.0, model.room)


def draw_opened(models: Mapping[str, GroupModel], lot: Mapping[str, int], *, opened: int, draws: int, seed: int) -> Sampled:
    """Return hives opened at random from a lot, in many draws.

    Parameters
    ----------
    models
        Of every group in the lot.
    lot
        Hives of each group. At least ``opened`` in all.
    opened, draws
        Hives opened, and how often.
    seed
        Same seed, same draws.
    """
    rng = np.random.default_rng(seed)
    names = list(lot)
    number = rng.multivariate_hypergeometric([lot[name] for name in names], opened, size=draws)
    parts = []
    for column, name in enumerate(names):
        most = int(number[:, column].max())
        frames = models[name].opened(rng, draws, most=most)
        parts.append(np.where(np.arange(most)[None, :] < number[:, column][:, None], frames, np.nan))
    ordered = np.sort(np.concatenate(parts, axis=1), axis=1)[:, :opened]  # what was not opened sorts to the end
    return Sampled(averages=ordered.mean(axis=1), ordered=ordered)
