"""Seasons drawn by chance: bloom, evenings, breakdowns, illness, strengths. The same seed gives the same seasons."""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from routing.inputs.constants import constant
from routing.inputs.operation import Operation
from routing.risk.moves import ASIDE_NIGHTS, fleet_of
from routing.strength.draws import draw_averages

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Seasons:
    """What comes, in each season. Nights run ``ASIDE_NIGHTS`` beyond the operation's last."""

    count: int
    normal: dict[str, Floats]
    """Standard normal values: ``season`` and one row a contract."""
    truck_out: Flags
    """Seasons by trucks by nights."""
    driver_out: Flags
    """Seasons by drivers by nights."""
    delay_min: Floats
    """Seasons by nights. [min]"""
    frames: dict[str, Floats]
    """Average of each group's hives, as counted on at its last inspection. [frames]"""
    lot: dict[str, Floats]
    """Standard normal value of each contract's lot about its group."""


def draw_seasons(operation: Operation, count: int, *, seed: int) -> Seasons:
    """Return seasons drawn by chance.

    Parameters
    ----------
    operation
        Gives fleet, contracts, groups and the constants of ``risk.toml``.
    count
        How many. > 0.
    seed
        Each kind of chance has a stream of its own: a truck more changes no bloom.
    """
    fleet = fleet_of(operation)
    nights = fleet.nights + ASIDE_NIGHTS
    rng = [np.random.default_rng((seed, stream)) for stream in range(6)]
    names = ("season", *(one.name for one in operation.contracts))
    delay = rng[2].exponential(max(constant(operation, "warm_night_delay_min"), 1e-9), (count, nights))
    warm = rng[3].random((count, nights)) < constant(operation, "warm_night_share")
    return Seasons(
        count=count, normal={name: rng[0].standard_normal(count) for name in names},
        truck_out=_spells(operation, "truck_out", rng[1], (count, len(fleet.trucks), nights)),
        driver_out=_spells(operation, "driver_sick", rng[4], (count, len(fleet.drivers), nights)),
        delay_min=np.where(warm, delay, 0.0),
        frames={
            group.name: draw_averages(operation, group, operation.first_night, draws=count, seed=seed * 1009 + number)
            for number, group in enumerate(operation.hive_groups)
        },
        lot={one.name: rng[5].standard_normal(count) for one in operation.contracts},
    )  # fmt: skip


def _spells(operation: Operation, name: str, rng: np.random.Generator, shape: tuple[int, int, int]) -> Flags:
    """Return nights lost: spells of ``NAME_nights`` that begin by chance, so that ``NAME_share`` of all nights is lost."""
    share, length = constant(operation, f"{name}_share"), max(math.floor(constant(operation, f"{name}_nights")), 1)
    begins = 1.0 - (1.0 - share) ** (1.0 / length)
    # Spells that began before the first night count too.
    starts = rng.random((shape[0], shape[1], shape[2] + length - 1)) < begins
    lost = np.zeros(shape, dtype=np.bool_)
    for day in range(length):
        lost |= starts[:, :, day : day + shape[2]]
    return lost
