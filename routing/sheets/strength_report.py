"""Strength as the beekeeper asks for it: hives to open, strength on each night, chances, boxes, what to send."""

import datetime as dt
from typing import TypeVar

from routing.bloom.window import contract_window
from routing.errors import OperationError
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.faults import Fault, with_nearest
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup
from routing.record import Record
from routing.strength.acceptance import inspecting
from routing.strength.box import BoxDue, box_due
from routing.strength.coverage import coverage_words
from routing.strength.group import Strength, group_strength
from routing.strength.inspection import latest_inspection
from routing.strength.losses import HivesLeft, hives_on
from routing.strength.makeup.propose import MakeUp, Wanted, propose
from routing.strength.on_date import share_below_for, strength_for
from routing.strength.options import Choice, choices
from routing.strength.passing import PassChance, pass_chance
from routing.strength.sampling import SamplePlan, group_sample, yard_sample

SEED = 0
"""Of every chance that is simulated: the same operation, the same figures."""


class GroupLine(Record):
    """One group as its last inspection tells."""

    group: str
    yard: str
    hives: int
    inspected_on: dt.date
    now: Strength
    sample: SamplePlan
    box: BoxDue
    alive: HivesLeft
    """On the first night of the season."""


class LotLine(Record):
    """One group as a lot for one contract."""

    group: str
    hives: int
    """Of the group, at most those promised."""
    strength: Strength
    """On the contract's first night, as the contract counts frames."""
    under_floor_share: float
    passing: PassChance
    with_growth: float
    """Chance to pass if all the growth expected comes about."""
    note: str = ""
    """What could not be told, when something could not."""
    choice: Choice | None = None
    """Joining and splitting; worked out for one group or one contract at a time."""


class ContractLine(Record):
    """What one contract's inspection asks, and how each group stands to it."""

    contract: str
    night: dt.date | None
    """First night in; None when the dates do not tell it."""
    colonies: int
    average_frames: float
    floor_frames: float
    opened: int
    """Hives that the grower opens of a lot as large as the promise."""
    weak_allowed: int
    note: str
    lots: tuple[LotLine, ...]


class StrengthReport(Record):
    """The whole answer."""

    operation: str
    growth_counted_share: float
    groups: tuple[GroupLine, ...]
    yards: tuple[SamplePlan, ...]
    contracts: tuple[ContractLine, ...]
    colonies: tuple[MakeUp, ...]
    """Make-up of single colonies, of all contracts asked for together; none where one group is asked for."""
    pallets: tuple[MakeUp, ...]
    """Make-up of whole pallets, where one contract is asked for."""


def strength_report(operation: Operation, *, group: str | None = None, contract: str | None = None) -> StrengthReport:
    """Return everything about strength: of all groups and contracts, or of one.

    Parameters
    ----------
    operation
        Any operation.
    group, contract
        Names; left out, all. With one of the two, joining and splitting are worked out as well.

    Returns
    -------
    StrengthReport
        Every chance is drawn with the same seed.

    Raises
    ------
    OperationError
        If there is no such group or contract; the fault names the nearest.
    """
    groups = _chosen(operation, "hive group", operation.hive_groups, group)
    contracts = _chosen(operation, "contract", operation.contracts, contract)
    deep = group is not None or contract is not None
    wanted = [one for one in (_wanted(operation, each) for each in contracts) if one is not None]
    yards = dict.fromkeys(one.yard for one in groups)
    return StrengthReport(
        operation=operation.name, growth_counted_share=constant(operation, "growth_counted_share"),
        groups=tuple(_group_line(operation, one) for one in groups),
        yards=tuple(yard_sample(operation, yard) for yard in yards),
        contracts=tuple(_contract_line(operation, one, groups, deep=deep) for one in contracts),
        colonies=propose(operation, wanted, on_pallets=False) if wanted and group is None else (),
        pallets=propose(operation, wanted, on_pallets=True) if wanted and contract is not None else (),
    )  # fmt: skip


def first_night(operation: Operation, contract: Contract) -> dt.date | None:
    """Return a contract's first night in; None when its dates do not tell it."""
    try:
        return contract_window(operation, contract).in_from
    except OperationError:
        return None


_Row = TypeVar("_Row", HiveGroup, Contract)


def _chosen(operation: Operation, what: str, rows: tuple[_Row, ...], name: str | None) -> tuple[_Row, ...]:
    found = tuple(row for row in rows if name in (None, row.name))
    if name is not None and not found:
        allowed = with_nearest(f"the name of a {what} of the operation", name, [row.name for row in rows])
        raise OperationError((Fault(file=operation.name, path=what, found=f"no {what} called '{name}'", allowed=allowed),))
    return found


def _wanted(operation: Operation, contract: Contract) -> Wanted | None:
    try:
        window = contract_window(operation, contract)
    except OperationError:
        return None
    return Wanted(contract=contract, night=window.in_from, until=window.out_until or operation.last_night)


def _group_line(operation: Operation, group: HiveGroup) -> GroupLine:
    seen = latest_inspection(operation, group)
    return GroupLine(
        group=group.name, yard=group.yard, hives=seen.hives, inspected_on=seen.on or group.inspected_on,
        now=group_strength(operation, group), sample=group_sample(operation, group),
        box=box_due(operation, group, seen.on or group.inspected_on), alive=hives_on(operation, group, operation.first_night),
    )  # fmt: skip


def _contract_line(
    operation: Operation, contract: Contract, groups: tuple[HiveGroup, ...], *, deep: bool
) -> ContractLine:
    night = first_night(operation, contract)
    asked = inspecting(operation, contract, contract.colonies)
    lots: tuple[LotLine, ...] = ()
    if night is not None:
        able = (group for group in groups if group.may_travel)
        lots = tuple(_lot_line(operation, contract, group, night=night, deep=deep) for group in able)
    note = "" if night else "its first night in cannot be told: dates or bloom rows are missing or contradict each other"
    return ContractLine(
        contract=contract.name, night=night, colonies=contract.colonies, average_frames=contract.min_average_frames,
        floor_frames=contract.min_colony_frames, opened=asked.opened, weak_allowed=asked.weak_allowed, note=note,
        lots=tuple(sorted(lots, key=lambda lot: (-lot.passing.chance, -lot.strength.counted_frames, lot.group))),
    )  # fmt: skip


def _lot_line(operation: Operation, contract: Contract, group: HiveGroup, *, night: dt.date, deep: bool) -> LotLine:
    hives = min(latest_inspection(operation, group, night).hives, contract.colonies)
    lot = {group.name: hives}
    return LotLine(
        group=group.name, hives=hives, strength=strength_for(operation, group, contract, night),
        under_floor_share=share_below_for(operation, group, contract, night),
        passing=pass_chance(operation, contract, lot, night, seed=SEED),
        with_growth=pass_chance(operation, contract, lot, night, seed=SEED, growth_share=1.0).chance,
        note=_note(operation, group, contract, night),
        choice=_choice(operation, group, contract, night) if deep else None,
    )  # fmt: skip


def _choice(operation: Operation, group: HiveGroup, contract: Contract, night: dt.date) -> Choice:
    seen_on = latest_inspection(operation, group, night).on or group.inspected_on
    return choices(operation, group, contract, done_on=min(seen_on, night), night=night)


def _note(operation: Operation, group: HiveGroup, contract: Contract, night: dt.date) -> str:
    seen = latest_inspection(operation, group, night)
    if seen.mean_frames is None:
        return "no frames of bees were written down"
    if seen.on is not None and seen.on > night:
        return f"inspected on {seen.on}, after the night of the move, {night}: of the strength then nothing is known"
    told = coverage_words(seen.coverage, contract.frame_coverage)
    return "" if seen.coverage == contract.frame_coverage else told
