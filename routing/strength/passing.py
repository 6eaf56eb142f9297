"""The chance that a lot passes the grower's inspection, as the contract samples and judges it."""

import datetime as dt
import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Literal

import numpy as np

from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.record import Record
from routing.strength.acceptance import SAMPLES, TOLERANCE, Inspecting, inspecting, lot_chance, step_of
from routing.strength.coverage import coverage_factor
from routing.strength.draws import GroupModel, draw_opened, group_model

DRAWS = 20_000
"""The standard error of a chance is then at most 0.36 points."""
MOST_DRAWN, LEAST_DRAWS = 4_000_000, 400
"""Hives drawn in all: where a grower opens more than 200, fewer lots are drawn, and the standard error says so."""


class PassChance(Record):
    """Chance that a lot passes a contract's inspection."""

    chance: float
    standard_error: float
    """Of the simulation; 0 when exact."""
    average_chance: float
    """That the average alone is reached."""
    floor_chance: float
    """That no more single colonies are under the floor than allowed."""
    opened: int
    weak_allowed: int
    hives: int
    method: Literal["exact", "simulated", "nothing seen"]
    basis: str


def pass_chance(
    operation: Operation, contract: Contract, lot: Mapping[str, int], day: dt.date,
    *, seed: int = 0, draws: int = DRAWS, growth_share: float | None = None,
) -> PassChance:  # fmt: skip
    """Return the chance that a lot passes the inspection of a contract on a day.

    Parameters
    ----------
    operation
        Gives inspections, growth and the constants for what the contract leaves open.
    contract
        Average and floor, how many hives are opened, what counts as a frame.
    lot
        Hives of each group; taken at random from the group, not sorted out.
    day
        Day of the grower's inspection.
    seed, draws
        Of the simulation.
    growth_share
        Share of the growth that comes about; left out, ``growth_counted_share``.

    Returns
    -------
    PassChance
        Exact where every hive was opened and written down, whole groups (or one group) make the lot, and no
        growth comes between; otherwise simulated, with its standard error.

    Raises
    ------
    ValueError
        If the lot is empty, or names a group that is not there or has fewer hives.

    Notes
    -----
    Simulated: the spread of a group from its sample (scaled inverse chi-squared), then the average of its N
    hives given the sample of n (normal, ``s^2/n (1 - n/N)``), the growth, then the hives that the grower opens,
    all with flat priors: for an average alone this is the prediction interval of Student's t with variance
    ``s^2 (1/n + 1/m - 2/N)`` [1]_, which holds at its stated chance whatever the true average and spread.

    References
    ----------
    .. [1] G. J. Hahn, W. Q. Meeker, "Statistical Intervals", Wiley (1991), chapter 4 (from memory).
    """
    groups = _groups(operation, lot)
    hives = sum(lot.values())
    asked = inspecting(operation, contract, hives)
    models: dict[str, GroupModel] = {}
    for name, group in groups.items():
        model = group_model(operation, group, day, growth_share=growth_share)
        if model is None:
            return _nothing_seen(asked, hives)
        models[name] = replace(model, factor=coverage_factor(model.ahead.base.coverage, contract.frame_coverage))
    frames = _known(models, lot)
    if frames is not None:
        return _exact(frames, asked, hives, seed)
    return _simulated(models, lot, asked, draws=min(draws, max(LEAST_DRAWS, MOST_DRAWN // asked.opened)), seed=seed)


def _groups(operation: Operation, lot: Mapping[str, int]) -> dict[str, HiveGroup]:
    groups = {group.name: group for group in operation.hive_groups if group.name in lot}
    for name, hives in lot.items():
        if name not in groups or not 0 < hives <= groups[name].hives:
            there = groups[name].hives if name in groups else 0
            raise ValueError(f"The lot takes {hives} hives of {name!r}; there are {there}.")
    if not groups:
        raise ValueError("The lot has no hives.")
    return groups


def _known(models: Mapping[str, GroupModel], lot: Mapping[str, int]) -> list[float] | None:
    """Return the frames of every hive that may be in the lot, when all are known; None otherwise."""
    frames: list[float] = []
    for name, model in models.items():
        base = model.ahead.base
        if len(base.counts) != base.hives or model.moves or model.factor != 1.0:
            return None
        if len(models) > 1 and lot[name] != base.hives:
            return None
        frames += base.counts
    return frames if step_of(frames) else None


def _exact(frames: list[float], asked: Inspecting, hives: int, seed: int) -> PassChance:
    chance, error = lot_chance(frames, asked, seed=seed)
    average, _ = lot_chance(frames, asked.model_copy(update={"weak_allowed": asked.opened}), seed=seed)
    floor, _ = lot_chance(frames, asked.model_copy(update={"average_frames": 0.0}), seed=seed)
    drawn = f"{SAMPLES} samples of {asked.opened} hives drawn" if error else f"all samples of {asked.opened} hives counted"
    return PassChance(
        chance=chance, standard_error=error, average_chance=average, floor_chance=floor, opened=asked.opened,
        weak_allowed=asked.weak_allowed, hives=hives, method="simulated" if error else "exact",
        basis=f"every hive was opened: {drawn}",
    )  # fmt: skip


def _simulated(
    models: Mapping[str, GroupModel], lot: Mapping[str, int], asked: Inspecting, *, draws: int, seed: int
) -> PassChance:
    drawn = draw_opened(models, lot, opened=asked.opened, draws=draws, seed=seed)
    strong = drawn.averages >= asked.average_frames - TOLERANCE
    firm = np.ones(draws, dtype=bool)
    if asked.weak_allowed < asked.opened:
        firm = drawn.ordered[:, asked.weak_allowed] >= asked.floor_frames - TOLERANCE
    chance = float((strong & firm).mean())
    least = max(chance * (1.0 - chance), 1.0 / draws)
    return PassChance(
        chance=chance, standard_error=math.sqrt(least / draws), average_chance=float(strong.mean()),
        floor_chance=float(firm.mean()), opened=asked.opened, weak_allowed=asked.weak_allowed,
        hives=sum(lot.values()), method="simulated",
        basis=f"{draws} lots drawn as the inspections say that they may be, {asked.opened} hives of each opened",
    )  # fmt: skip


def _nothing_seen(asked: Inspecting, hives: int) -> PassChance:
    return PassChance(
        chance=0.0, standard_error=0.0, average_chance=0.0, floor_chance=0.0, opened=asked.opened,
        weak_allowed=asked.weak_allowed, hives=hives, method="nothing seen",
        basis="no frames of bees were written down for a group of the lot",
    )  # fmt: skip
