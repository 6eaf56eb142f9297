"""Splitting strong colonies or joining weak ones: what that does to counts and frames, and whether it pays.

A contract's line is met by the strongest hives of a group: each at or over the floor, as many as keep the
average. Nothing is bought or sold here; the worth of colonies after the contract is not looked at, but for the
colony that is given up when two are joined.
"""

import datetime as dt
import math
from collections.abc import Sequence
from typing import Literal

from routing.inputs.build import measure
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.record import Record
from routing.strength.growth import curve_frames
from routing.strength.hives import hives_expected

Kind = Literal["as they are", "join two weak", "split one strong"]
WHOLE = 1e-9


class Option(Record):
    """What a group is to one contract after so many colonies were joined or split."""

    kind: Kind
    times: int
    """Pairs joined, or colonies split."""
    hives: int
    mean_frames: float
    """On the contract's night. [frames]"""
    under_floor: int
    """Hives under the contract's floor on that night."""
    fit: int
    """Colonies that meet the contract's line, at most those promised."""
    income_usd: float
    """Fees and bonus, less what is taken off for missing colonies and weak lots."""
    cost_usd: float
    gain_usd: float
    """Income less cost, against the group as it is."""


class Choice(Record):
    """The group as it is, and the best number of joins and of splits; with none that pays, what one would do."""

    group: str
    contract: str
    done_on: dt.date
    night: dt.date
    options: tuple[Option, ...]
    pays: Kind
    """The option with the greatest gain; as they are, where none gains."""


def choices(operation: Operation, group: HiveGroup, contract: Contract, *, done_on: dt.date, night: dt.date) -> Choice:
    """Return what joining weak colonies or splitting strong ones does for one contract.

    Parameters
    ----------
    operation
        Gives inspections, growth, and the constants ``split_*`` and ``combine_*``.
    group, contract
        Of the operation; all hives of the group are at the contract's disposal.
    done_on
        Day on which hives are joined or split.
    night
        First night of the contract, not before ``done_on``.

    Returns
    -------
    Choice
        With all the growth expected, whatever share a plan counts on: splits live by growth.

    Raises
    ------
    ValueError
        If ``night`` is before ``done_on``.
    """
    if night < done_on:
        raise ValueError(f"Hives are split or joined on {done_on}, after the night of {night} on which they are wanted.")
    frames = hives_expected(operation, group, done_on, growth_share=1.0)
    yard = _Yard(operation, group, contract, done_on, night)
    as_is = yard.option("as they are", 0, [yard.grown(one) for one in frames], cost_usd=0.0, base_usd=None)
    net = as_is.income_usd
    found = [as_is]
    tries: tuple[tuple[Kind, int], ...] = (("join two weak", len(frames) // 2), ("split one strong", len(frames)))
    for kind, most in tries:
        # Of a large group a hundred numbers are tried, evenly spaced: a few hives to or fro earn the same.
        tried = [yard.changed(kind, times, frames, net) for times in range(1, most + 1, max(1, most // 100))]
        if tried:
            found.append(max(tried, key=lambda one: (round(one.gain_usd, 6), -one.times)))
    best = max(found, key=lambda one: (round(one.gain_usd, 6), one.kind == "as they are"))
    return Choice(
        group=group.name, contract=contract.name, done_on=done_on, night=night, options=tuple(found), pays=best.kind
    )  # fmt: skip


class _Yard:
    """The group, the contract and the days between, with the figures that the options need."""

    def __init__(self, operation: Operation, group: HiveGroup, contract: Contract, done_on: dt.date, night: dt.date) -> None:
        self.operation, self.contract, self.done_on, self.night = operation, contract, done_on, night
        self.room = float(measure(operation, group.build, travelling=True).frames_for_bees)
        self._grown: dict[tuple[float, float], float] = {}

    def figure(self, name: str) -> float:
        return constant(self.operation, name)

    def grown(self, frames: float, *, without_days: float = 0.0) -> float:
        """Return a colony's frames on the contract's night; it waits ``without_days`` to grow or decline."""
        if (frames, without_days) not in self._grown:
            since = min(self.done_on + dt.timedelta(days=without_days), self.night)
            growth = curve_frames(self.operation, frames, since=since, until=self.night)
            self._grown[frames, without_days] = min(max(0.0, frames + growth), self.room)
        return self._grown[frames, without_days]

    def changed(self, kind: Kind, times: int, frames: Sequence[float], net_usd: float) -> Option:
        if kind == "join two weak":
            after = self._joined(times, frames)
            return self.option(kind, times, after, cost_usd=times * self.figure("combine_colony_usd"), base_usd=net_usd)
        after = self._split(times, frames)
        return self.option(kind, times, after, cost_usd=times * self.figure("split_usd"), base_usd=net_usd)

    def _joined(self, times: int, frames: Sequence[float]) -> list[float]:
        """Return the hives after the weakest were joined, the weakest of them with the strongest of them."""
        weak, rest = frames[: 2 * times], frames[2 * times :]
        kept = self.figure("combine_kept_share")
        pairs = (min(self.room, kept * (weak[i] + weak[-1 - i])) for i in range(times))
        return [self.grown(one) for one in (*pairs, *rest)]

    def _split(self, times: int, frames: Sequence[float]) -> list[float]:
        """Return the hives after the strongest were split; a part whose queen fails is lost to the count."""
        strong, rest = frames[len(frames) - times :], frames[: len(frames) - times]
        share, wait = self.figure("split_old_share"), self.figure("split_days_without_brood")
        taken = math.floor(times * self.figure("split_success_share") + WHOLE)
        old = [self.grown(share * one) for one in strong]
        # Which of the new queens fail is not known: the strongest parts are taken to.
        new = [self.grown((1.0 - share) * one, without_days=wait) for one in strong[:taken]]
        return [self.grown(one) for one in rest] + old + new

    def option(self, kind: Kind, times: int, frames: list[float], *, cost_usd: float, base_usd: float | None) -> Option:
        fit, income = best_fit(frames, self.contract)
        return Option(
            kind=kind, times=times, hives=len(frames), mean_frames=math.fsum(frames) / len(frames) if frames else 0.0,
            under_floor=sum(one < self.contract.min_colony_frames - WHOLE for one in frames), fit=fit, income_usd=income,
            cost_usd=cost_usd, gain_usd=0.0 if base_usd is None else income - cost_usd - base_usd,
        )  # fmt: skip


def best_fit(frames: Sequence[float], contract: Contract) -> tuple[int, float]:
    """Return how many hives to send and what they earn, the strongest first. [USD]

    Notes
    -----
    With each further hive the average falls: the most that keep it are all up to one. Where the contract takes a
    weak lot at a price, the number that earns most is sent.
    """
    strong = sorted((one for one in frames if one >= contract.min_colony_frames - WHOLE), reverse=True)
    best = (0, -contract.short_usd_per_colony * contract.colonies)
    span = max(0.0, contract.bonus_up_to_frames - contract.min_average_frames)
    total = above = 0.0
    for number, one in enumerate(strong[: contract.colonies], 1):
        total += one
        above += min(max(one - contract.min_average_frames, 0.0), span)
        lacking = max(0.0, contract.min_average_frames * number - total)
        if lacking > WHOLE * number and contract.weak_usd_per_frame is None:
            break
        income = _income(contract, number, above=above, lacking=lacking)
        if income >= best[1]:
            best = (number, income)
    return best


def _income(contract: Contract, number: int, *, above: float, lacking: float) -> float:
    return (
        contract.fee_usd_per_colony * number
        + contract.bonus_usd_per_frame * above
        - contract.short_usd_per_colony * (contract.colonies - number)
        - (contract.weak_usd_per_frame or 0.0) * lacking
    )
