"""Is a lot strong enough in a season, and how many of its hives may stay in it so that the average holds?

The weakest hives stay at home until the average of the others holds. Of a lot whose single hives vary like a normal
distribution about their average, keeping the best share p lifts the average by sd phi(z_p) / p, with z_p the value that
a share p of a standard normal lies above [1]_.

References
----------
.. [1] Mean of a truncated normal: N. L. Johnson, S. Kotz, N. Balakrishnan, "Continuous Univariate Distributions", volume 1,
   2nd edition, Wiley (1994), section 13.10 (from memory; tested against scipy.stats.truncnorm).
"""

import math
from dataclasses import dataclass

import numpy as np
from scipy.stats import norm

from routing.inputs.operation import Operation
from routing.plan_record import Delivery
from routing.risk.seasons import Floats, Seasons
from routing.strength.group import group_strength

SHARES = np.linspace(1.0, 0.002, 1000)
LIFTS = norm.pdf(norm.isf(SHARES)) / SHARES
"""Lift of the average, in spreads, of the best share; it rises as the share falls."""
SMALL = 1e-9


@dataclass(frozen=True)
class LotSeen:
    """The lot of one contract: its average in each season and the spread of its hives."""

    average: Floats
    sd_frames: float
    hives: int


def lot_of(operation: Operation, row: Delivery, seasons: Seasons) -> LotSeen:
    """Return the lot that a plan brings to a contract, in each season.

    Its average is that of its groups, by hives, and what the hives that happen to be taken differ from them by: a lot of
    h out of N hives varies by sd^2 / h (1 - h / N) about its group's average.
    """
    groups = {one.name: one for one in operation.hive_groups}
    hives = sum(share.hives for share in row.shares)
    if not hives:
        return LotSeen(np.zeros(seasons.count), 0.0, 0)
    average, variance, within = np.zeros(seasons.count), 0.0, 0.0
    for share in row.shares:
        group = groups[share.group]
        sd = group_strength(operation, group).sd_frames
        average = average + share.hives / hives * seasons.frames[share.group]
        variance += (share.hives / hives) ** 2 * sd * sd / share.hives * max(1.0 - share.hives / group.hives, 0.0)
        within += share.hives / hives * sd * sd
    return LotSeen(average + math.sqrt(variance) * seasons.lot[row.contract], math.sqrt(within), hives)


def kept_hives(lot: LotSeen, least_frames: float, *, spare: int = 0) -> Floats:
    """Return how many hives of a lot, ``spare`` more at hand, may be left in it so that their average holds.

    Never more than the lot has without the spare ones.
    """
    pool = lot.hives + spare
    lack = least_frames - lot.average
    if lot.sd_frames <= SMALL:
        share = np.where(lack <= SMALL, 1.0, 0.0)
    else:
        lift = lack / lot.sd_frames
        share = np.where(lift <= 0.0, 1.0, np.interp(lift, LIFTS, SHARES, right=0.0))
    kept: Floats = np.minimum(np.floor(share * pool + SMALL), lot.hives)
    return kept
