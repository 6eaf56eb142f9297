"""What a grower's inspection asks of a lot, and the chance to pass it where every hive's strength is known."""

import math
from collections import Counter
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.record import Record

TOLERANCE = 1e-9
"""Frames: a sum of decimal counts that should meet the line does."""
MOST_CELLS = 5e6
"""Numbers of samples, by hives opened, hives under the floor, sum and strength, that are counted one by one."""
SAMPLES = 4000
"""Drawn of a lot that is too large for that: the standard error is then at most 0.8 points."""
UNITS = (1.0, 0.5, 0.25, 0.1, 0.05, 0.01)
"""Steps in which frames are written down, the coarsest first. [frames]"""


class Inspecting(Record):
    """How a lot is sampled and judged."""

    opened: int
    """Hives opened at random, without putting back."""
    average_frames: float
    """The average of those opened must be at least this."""
    floor_frames: float
    weak_allowed: int
    """Of those opened, so many may be under the floor."""

    def passes(self, frames: Sequence[float]) -> bool:
        """Return whether the hives opened pass."""
        weak = sum(one < self.floor_frames - TOLERANCE for one in frames)
        return weak <= self.weak_allowed and math.fsum(frames) >= self.average_frames * len(frames) - TOLERANCE


def inspecting(operation: Operation, contract: Contract, hives: int) -> Inspecting:
    """Return how a contract's inspection samples and judges a lot of so many hives.

    Notes
    -----
    Opened: ``opened_share`` of the lot, rounded up, at least ``opened_least_hives``, at most all. Under the
    floor: ``weak_allowed_share`` of those opened, rounded down. Empty shares: ``contract_opened_share`` and
    ``below_floor_share``.
    """
    share = contract.opened_share or constant(operation, "contract_opened_share")
    opened = min(hives, max(contract.opened_least_hives, math.ceil(share * hives - TOLERANCE)))
    weak = contract.weak_allowed_share
    weak = constant(operation, "below_floor_share") if weak is None else weak
    return Inspecting(
        opened=opened, average_frames=contract.min_average_frames, floor_frames=contract.min_colony_frames,
        weak_allowed=math.floor(weak * opened + TOLERANCE),
    )  # fmt: skip


def floor_chance(hives: int, weak: int, *, opened: int, weak_allowed: int) -> float:
    """Return the chance that a lot with some weak hives shows no more of them than are allowed.

    Notes
    -----
    Hypergeometric: ``sum over d <= c of C(K, d) C(N - K, n - d) / C(N, n)`` [1]_.

    References
    ----------
    .. [1] E. G. Schilling, D. V. Neubauer, "Acceptance Sampling in Quality Control", single sampling of a
       finite lot by attributes, type A (from memory).

    Examples
    --------
    >>> round(floor_chance(20, 4, opened=5, weak_allowed=1), 6)
    0.75129
    """
    ways = sum(math.comb(weak, d) * math.comb(hives - weak, opened - d) for d in range(min(weak, weak_allowed, opened) + 1))
    return ways / math.comb(hives, opened)


def known_lot_chance(frames: Sequence[float], asked: Inspecting) -> float:
    """Return the chance that a lot passes, when the frames of each of its hives are known.

    Parameters
    ----------
    frames
        Frames of every hive of the lot; ``asked.opened`` of them are opened. [frames]
    asked
        The inspection.

    Returns
    -------
    float
        Exact but for the rounding of floating-point sums (below 1e-9): all samples are counted, those with one
        number opened, one number under the floor and one sum together.
    """
    unit, asked = _unit(frames), _narrowed(frames, asked)
    ways = _ways(Counter(round(one / unit) for one in frames), asked, unit)
    least = math.ceil((asked.average_frames * asked.opened - TOLERANCE) / unit - 1e-9)
    passing = float(ways[asked.opened, :, max(0, least) :].sum())
    return min(1.0, passing / math.comb(len(frames), asked.opened))


def lot_chance(frames: Sequence[float], asked: Inspecting, *, seed: int = 0) -> tuple[float, float]:
    """Return the chance that a known lot passes and its standard error: 0 where all samples can be counted.

    A large lot told in hundredths has too many sums to count; so many samples of it are drawn at random.
    """
    unit = step_of(frames)
    if unit and _cells(frames, _narrowed(frames, asked), unit) <= MOST_CELLS:
        return known_lot_chance(frames, asked), 0.0
    if asked.opened == len(frames):
        return float(asked.passes(frames)), 0.0
    rng = np.random.default_rng(seed)
    hives = np.asarray(frames)
    share = sum(_passes(rng.permutation(hives)[: asked.opened], asked) for _ in range(SAMPLES)) / SAMPLES
    return share, math.sqrt(max(share * (1.0 - share), 1.0 / SAMPLES) / SAMPLES)


def _passes(frames: npt.NDArray[np.float64], asked: Inspecting) -> bool:
    weak = np.count_nonzero(frames < asked.floor_frames - TOLERANCE)
    return bool(weak <= asked.weak_allowed and frames.mean() >= asked.average_frames - TOLERANCE)


def _narrowed(frames: Sequence[float], asked: Inspecting) -> Inspecting:
    """Return the same inspection with no more weak hives counted than the lot can show."""
    weak = sum(one < asked.floor_frames - TOLERANCE for one in frames)
    if asked.weak_allowed >= min(weak, asked.opened):
        return asked.model_copy(update={"weak_allowed": 0, "floor_frames": 0.0})
    return asked


def _cells(frames: Sequence[float], asked: Inspecting, unit: float) -> float:
    sums = max(frames, default=0.0) / unit * asked.opened + 1.0
    return sums * (asked.opened + 1) * (asked.weak_allowed + 1) * len(set(frames))


def step_of(frames: Sequence[float]) -> float:
    """Return the coarsest step in which all frames were written down; 0 when finer than a hundredth."""
    for unit in UNITS:
        if all(abs(one / unit - round(one / unit)) < 1e-6 for one in frames):
            return unit
    return 0.0


def _unit(frames: Sequence[float]) -> float:
    unit = step_of(frames)
    if unit == 0.0:
        raise ValueError("Frames are told finer than a hundredth: their samples cannot be counted.")
    return unit


def _ways(hives: Counter[int], asked: Inspecting, unit: float) -> npt.NDArray[np.float64]:
    """Return the number of samples by hives opened, hives under the floor, and sum in units."""
    highest = max(hives, default=0) * asked.opened
    ways = np.zeros((asked.opened + 1, asked.weak_allowed + 1, highest + 1))
    ways[0, 0, 0] = 1.0
    for value, number in hives.items():
        weak = value * unit < asked.floor_frames - TOLERANCE
        found = ways.copy()
        for taken in range(1, min(number, asked.opened) + 1):
            if weak and taken > asked.weak_allowed:
                break
            down = taken if weak else 0
            shift = taken * value
            source = ways[: asked.opened + 1 - taken, : asked.weak_allowed + 1 - down, : highest + 1 - shift]
            found[taken:, down:, shift:] += math.comb(number, taken) * source
        ways = found
    return ways
