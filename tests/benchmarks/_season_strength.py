"""Of lots said to pass the grower's inspection at 90 %, how many do? Drawn lots, drawn samples, drawn inspections.

Each season draws a group with an average, a spread and a size of its own, opens some of its hives, writes down
what it sees, and asks the planner for the contract line at which the lot passes at 90 %. Then the grower opens
hives of the true lot. The planner is told nothing of the truth but the sample.
"""

import datetime as dt
import math
import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from fixtures.tiny import tiny_operation
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.strength.acceptance import Inspecting, inspecting
from routing.strength.draws import draw_opened, group_model
from routing.strength.growth import curve_frames
from routing.strength.passing import pass_chance
from tests.benchmarks._record import Record

SAID = 0.90
FLOOR_UNDER = 2.5
"""The floor of a single colony lies this far under the average asked. [frames]"""
SEEN_ON = dt.date(2027, 4, 10)
TINY = tiny_operation()

Draw = Callable[[np.random.Generator, float, float, int], np.ndarray]


@dataclass(frozen=True)
class Kind:
    """One kind of group and of inspection."""

    name: str
    draw: Draw
    step: float
    """Frames are written down in steps of this; 0: to a hundredth. [frames]"""
    opened_share: float = 0.3
    days: int = 0
    """From the inspection to the grower's."""
    floor: bool = True


def _normal(rng: np.random.Generator, mean: float, spread: float, hives: int) -> np.ndarray:
    return rng.normal(mean, spread, hives)


def _skewed(rng: np.random.Generator, mean: float, spread: float, hives: int) -> np.ndarray:
    """Return more weak hives than strong ones, as after a winter: a gamma turned about."""
    shape = 6.0
    return mean - spread * (rng.gamma(shape, 1.0, hives) - shape) / np.sqrt(shape)


def _two_kinds(rng: np.random.Generator, mean: float, spread: float, hives: int) -> np.ndarray:
    """Return old colonies and this year's splits, one and a half spreads apart."""
    old = rng.random(hives) < 0.6
    return mean + spread * (np.where(old, 0.6, -0.9) + 0.7 * rng.standard_normal(hives))


KINDS = (
    Kind("average and floor", _normal, 0.0),
    Kind("average alone", _normal, 0.0, floor=False),
    Kind("whole frames", _normal, 1.0),
    Kind("half frames, 15 % opened", _normal, 0.5, opened_share=0.15),
    Kind("with growth", _normal, 0.5, days=21),
    Kind("skewed", _skewed, 0.5),
    Kind("two kinds of colony", _two_kinds, 0.5),
)


def strength_rows(*, lots: int = 4000, draws: int = 600, seed: int = 0) -> list[Record]:
    """Return one row for each kind of group, and one for all: share of lots said to pass at 90 % that pass."""
    found = [_row(kind, lots=lots, draws=draws, seed=seed + number) for number, kind in enumerate(KINDS)]
    shares = [float(row["passed"] or 0.0) for row in found]
    seconds = sum(float(row["seconds"] or 0.0) for row in found)
    return [*found, _told("all kinds", sum(shares) / len(shares), lots=lots * len(shares), seconds=seconds)]


def passed_share(kind: Kind, *, lots: int, draws: int, seed: int) -> float:
    """Return the share of lots that pass at the contract line at which the planner says ``SAID``."""
    rng = np.random.default_rng(seed)
    return float(sum(_one(kind, rng, draws) for _ in range(lots)) / lots)


def _row(kind: Kind, *, lots: int, draws: int, seed: int) -> Record:
    begun = time.perf_counter()
    share = passed_share(kind, lots=lots, draws=draws, seed=seed)
    return _told(kind.name, share, lots=lots, seconds=time.perf_counter() - begun)


def _told(name: str, share: float, *, lots: int, seconds: float) -> Record:
    return {
        "what": f"lots said to pass at 90 %: {name}", "said": SAID, "passed": share, "within 88-92 %": 0.88 <= share <= 0.92,
        "standard error": (share * (1.0 - share) / lots) ** 0.5, "lots": lots, "seconds": seconds,
    }  # fmt: skip


def _one(kind: Kind, rng: np.random.Generator, draws: int) -> bool:
    hives = int(rng.integers(20, 121))
    truth = _written(kind, kind.draw(rng, rng.uniform(7.0, 11.0), rng.uniform(0.7, 1.8), hives))
    opened = max(6, round(kind.opened_share * hives))
    seen = ", ".join(f"{one:.2f}" for one in rng.permutation(truth)[:opened])
    group = TINY.hive_groups[0].model_copy(update={"hives": hives, "frames_seen": seen, "inspected_on": SEEN_ON})
    operation = TINY.model_copy(update={"hive_groups": (group,)})
    day = SEEN_ON + dt.timedelta(days=kind.days)
    asked = _asked(operation, group, kind, day, draws=draws, rng=rng)
    grown = _grown(operation, kind, rng, truth, day)
    return asked.passes(list(rng.permutation(grown)[: asked.opened]))


def _written(kind: Kind, frames: np.ndarray) -> np.ndarray:
    step = kind.step or 0.01
    return np.clip(np.round(frames / step) * step, 0.0, 18.0) + 0.0  # no minus zero


def _grown(operation: Operation, kind: Kind, rng: np.random.Generator, truth: np.ndarray, day: dt.date) -> np.ndarray:
    """Return the hives on the day: the curve's growth, its spread between groups and between hives."""
    curve = curve_frames(operation, float(truth.mean()), since=SEEN_ON, until=day)
    factor = rng.normal(1.0, 0.5) + rng.normal(0.0, 0.25, truth.size)
    return truth if not kind.days else _written(kind, truth + curve * factor)


def _asked(
    operation: Operation, group: HiveGroup, kind: Kind, day: dt.date, *, draws: int, rng: np.random.Generator
) -> Inspecting:
    """Return the inspection whose line the planner says is passed at 90 %.

    A draw of a lot passes a line when its average reaches it and its weakest hive that counts is no more than
    ``FLOOR_UNDER`` beneath: the line is the tenth percentile of the lower of the two.
    """
    rule = inspecting(operation, TINY.contracts[0], group.hives)
    model = group_model(operation, group, day, growth_share=1.0)
    assert model is not None
    lot = {group.name: group.hives}
    drawn = draw_opened({group.name: model}, lot, opened=rule.opened, draws=draws, seed=int(rng.integers(2**31)))
    weakest = drawn.ordered[:, rule.weak_allowed] + FLOOR_UNDER
    line = _line(np.minimum(drawn.averages, weakest) if kind.floor else drawn.averages, rng)
    floor = line - FLOOR_UNDER if kind.floor else 0.0
    return rule.model_copy(update={"average_frames": line, "floor_frames": floor})


def _line(borne: np.ndarray, rng: np.random.Generator) -> float:
    """Return a line that ``SAID`` of the draws bear; of counts in whole frames, by lot one of two nearest lines."""
    at = float(np.sort(borne)[math.floor((1.0 - SAID) * borne.size)])
    low, above = (borne >= at - 1e-9).mean(), borne[borne > at + 1e-9]
    high = above.size / borne.size
    take_lower = rng.random() < (SAID - high) / (low - high)
    return at if take_lower or above.size == 0 else float(above.min())


def said_again(kind: Kind, *, seed: int, draws: int = 20_000) -> tuple[float, float]:
    """Return what ``pass_chance`` itself says of one lot at such a line, and its standard error."""
    rng = np.random.default_rng(seed)
    truth = _written(kind, kind.draw(rng, 9.0, 1.2, 60))
    seen = ", ".join(f"{one:.2f}" for one in truth[:18])
    group = TINY.hive_groups[0].model_copy(update={"hives": 60, "frames_seen": seen, "inspected_on": SEEN_ON})
    operation = TINY.model_copy(update={"hive_groups": (group,)})
    asked = _asked(operation, group, kind, SEEN_ON, draws=draws, rng=rng)
    contract = TINY.contracts[0].model_copy(
        update={"min_average_frames": asked.average_frames, "min_colony_frames": asked.floor_frames}
    )
    found = pass_chance(operation, contract, {group.name: 60}, SEEN_ON, seed=seed + 1, draws=draws)
    return found.chance, found.standard_error
