"""A proposal: colonies of which grades go to which contract, and how they stand on pallets."""

import datetime as dt
import math
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.record import Record
from routing.strength.acceptance import inspecting, lot_chance
from routing.strength.coverage import coverage_factor
from routing.strength.inspection import latest_inspection
from routing.strength.makeup.grades import Grade, grades
from routing.strength.makeup.search import arrange
from routing.strength.makeup.solve import HUNDREDTHS, Asked, Solved, make_up
from routing.strength.on_date import strength_on

RAISE_FRAMES = 0.1
MOST_RAISES = 30
"""The line of a contract is raised so far at the most, to be passed with the chance wanted."""


@dataclass(frozen=True)
class Wanted:
    """One contract and the nights on which it holds colonies."""

    contract: Contract
    night: dt.date
    """First night in."""
    until: dt.date
    """Last night on which they may still be there."""


class Part(Record):
    """Colonies of one grade that go to a contract."""

    group: str
    yard: str
    hives: int
    frames_counted: float
    """As your inspection counted. [frames]"""
    frames_on_night: float
    """On the contract's first night, as the contract counts. [frames]"""


class PalletPart(Record):
    """Pallets made up alike."""

    yard: str
    pallet: str
    pallets: int
    frames: tuple[float, ...]
    """On the contract's first night, of the colonies on one, the weakest first. [frames]"""


class MakeUp(Record):
    """What goes to one contract."""

    contract: str
    night: dt.date
    colonies: int
    missing: int
    average_frames: float
    """0 when nothing is sent."""
    given_away_frames: float
    """Frames of all colonies over the average asked of those that are paid for, less those that a bonus pays for."""
    line_frames: float
    """Average that the make-up was to reach: the contract's, raised until the chance wanted is reached."""
    chance: float
    """To pass the contract's inspection, if every colony is as graded; 0 when nothing is sent."""
    opened: int
    parts: tuple[Part, ...]
    pallets: tuple[PalletPart, ...]
    proven: bool
    """No other make-up (of all contracts together; on pallets: of what those before leave) misses fewer colonies,
    or as few and gives away less, at these lines."""
    sorted_out: bool
    """False: colonies of these grades must still be found, since not every hive of their groups was opened."""


def propose(
    operation: Operation, wanted: Sequence[Wanted], *, on_pallets: bool, growth_share: float | None = None
) -> tuple[MakeUp, ...]:
    """Return a make-up for contracts that draw on the same groups.

    Parameters
    ----------
    operation
        Gives groups, inspections, growth, pallets and ``make_up_chance``.
    wanted
        Contracts with their nights; those whose nights meet share the stock.
    on_pallets
        True: whole pallets, made up anew of the hives of one yard, for one contract after another by their
        nights; False: single colonies, for all contracts together.
    growth_share
        Share of a growth that comes about; left out, ``growth_counted_share``.

    Returns
    -------
    tuple of MakeUp
        In the order of ``wanted``. Colonies missing come first, then strength given away. The line of a
        contract is raised by a tenth of a frame at a time until its chance is ``make_up_chance``, unless more
        colonies were missing then.
    """
    order = sorted(range(len(wanted)), key=lambda row: wanted[row].night)
    in_turn = [wanted[row] for row in order]
    made = _one_by_one(operation, in_turn, growth_share) if on_pallets else _together(operation, in_turn, growth_share)
    by_row = dict(zip(order, made, strict=True))
    return tuple(by_row[row] for row in range(len(wanted)))


def _together(operation: Operation, wanted: Sequence[Wanted], growth_share: float | None) -> list[MakeUp]:
    stock = _stock(operation)
    asked = [_asked(operation, one, stock, growth_share=growth_share, most_over=0) for one in wanted]
    case = _Case(operation, tuple(wanted), tuple(stock), _at_once(wanted), None)
    raised, found = _raised(case, asked)
    return [_made_up(case, row, raised, found) for row in range(len(wanted))]


def _one_by_one(operation: Operation, wanted: Sequence[Wanted], growth_share: float | None) -> list[MakeUp]:
    """Return a make-up of each contract in turn, of what those before it leave free."""
    stock = _stock(operation)
    pallets = {one.name: one.hives for one in operation.pallets}
    most_over = max(pallets.values(), default=1) - 1
    held: list[tuple[Wanted, Mapping[int, int]]] = []
    made = []
    for one in wanted:
        taken = Counter[int]()
        for earlier, sent in held:
            if earlier.until >= one.night:
                taken.update(sent)
        left = tuple(replace(grade, hives=grade.hives - taken[g]) for g, grade in enumerate(stock))
        case = _Case(operation, (one,), left, ((0,),), pallets)
        raised, found = _raised(case, [_asked(operation, one, left, growth_share=growth_share, most_over=most_over)])
        made.append(_made_up(case, 0, raised, found))
        held.append((one, {g: hives for (_, g), hives in found.sent.items()}))
    return made


def _stock(operation: Operation) -> list[Grade]:
    return [grade for group in operation.hive_groups if group.may_travel for grade in grades(operation, group)]


@dataclass(frozen=True)
class _Case:
    operation: Operation
    wanted: tuple[Wanted, ...]
    stock: tuple[Grade, ...]
    at_once: tuple[tuple[int, ...], ...]
    pallets: Mapping[str, int] | None

    def solve(self, asked: Sequence[Asked]) -> Solved:
        return make_up(asked, self.stock, self.at_once, self.pallets)

    def frames(self, asked: Asked, found: Solved, row: int) -> list[float]:
        """Return the frames of every colony sent to a contract."""
        return [
            math.floor(HUNDREDTHS * asked.frames[g] + 1e-6) / HUNDREDTHS
            for (owner, g), hives in found.sent.items() if owner == row for _ in range(hives)
        ]  # fmt: skip

    def under_goal(self, asked: Sequence[Asked], found: Solved) -> list[int]:
        """Return the contracts that get colonies, but too weak a lot for the chance wanted."""
        goal = constant(self.operation, "make_up_chance")
        chances = ((row, self.chance(one, found, row)) for row, one in enumerate(asked) if self.frames(one, found, row))
        return [row for row, chance in chances if chance < goal]

    def chance(self, asked: Asked, found: Solved, row: int) -> float:
        frames = self.frames(asked, found, row)
        if not frames:
            return 0.0
        return lot_chance(frames, inspecting(self.operation, self.wanted[row].contract, len(frames)))[0]


def _asked(
    operation: Operation, one: Wanted, stock: Sequence[Grade], *, growth_share: float | None, most_over: int
) -> Asked:
    contract = one.contract
    share = constant(operation, "growth_counted_share") if growth_share is None else growth_share
    on_night: dict[str, tuple[float, float, float]] = {}
    for group in operation.hive_groups:
        strength = strength_on(operation, group, one.night)
        growth = strength.growth_frames if strength.growth_frames < 0.0 else share * strength.growth_frames
        factor = coverage_factor(latest_inspection(operation, group, one.night).coverage, contract.frame_coverage)
        on_night[group.name] = (growth, strength.room_frames, factor)
    frames = []
    for grade in stock:
        growth, room, factor = on_night[grade.group]
        frames.append(factor * min(max(grade.frames + growth, 0.0), room))
    top = max(0.0, contract.bonus_up_to_frames - contract.min_average_frames) if contract.bonus_usd_per_frame else 0.0
    return Asked(
        contract=contract.name, promised=contract.colonies,
        over=0 if contract.over_delivery == "not taken" else most_over, average=contract.min_average_frames,
        floor=contract.min_colony_frames, frames=tuple(frames),
        paid=tuple(min(max(one - contract.min_average_frames, 0.0), top) for one in frames),
        over_paid=contract.over_delivery == "paid",
    )  # fmt: skip


def _at_once(wanted: Sequence[Wanted]) -> tuple[tuple[int, ...], ...]:
    """Return the contracts that hold colonies on each contract's first night; other nights have no more."""
    return tuple(
        tuple(other for other, there in enumerate(wanted) if there.night <= one.night <= there.until) for one in wanted
    )  # fmt: skip


def _raised(case: _Case, asked: Sequence[Asked]) -> tuple[list[Asked], Solved]:
    """Return the lines raised as far as the chance wanted needs and no further colony is missing."""
    now, found = list(asked), case.solve(asked)
    fewest, frozen = sum(found.missing), set[int]()
    for _ in range(MOST_RAISES):
        low = [row for row in case.under_goal(now, found) if row not in frozen]
        if not low:
            break
        higher = [_higher(one) if row in low else one for row, one in enumerate(now)]
        tried = case.solve(higher)
        if sum(tried.missing) <= fewest:
            now, found = higher, tried
        elif len(low) == 1:
            frozen.add(low[0])
        else:
            # One of them cannot be raised; the others go on without the one that is nearest to its goal.
            frozen.add(max(low, key=lambda row: case.chance(now[row], found, row)))
    return now, found


def _higher(one: Asked) -> Asked:
    return replace(one, average=round(one.average + RAISE_FRAMES, 6))


def _made_up(case: _Case, row: int, asked: Sequence[Asked], found: Solved) -> MakeUp:
    one, want = asked[row], case.wanted[row]
    mine = {g: hives for (owner, g), hives in found.sent.items() if owner == row}
    frames = case.frames(one, found, row)
    colonies = len(frames)
    base = want.contract.min_average_frames
    due = colonies if one.over_paid else min(colonies, one.promised)
    paid = math.fsum(one.paid[g] * hives for g, hives in mine.items())
    return MakeUp(
        contract=one.contract, night=want.night, colonies=colonies, missing=found.missing[row],
        average_frames=math.fsum(frames) / colonies if colonies else 0.0,
        given_away_frames=max(0.0, math.fsum(frames) - base * due - paid), line_frames=one.average,
        chance=case.chance(one, found, row),
        opened=inspecting(case.operation, want.contract, colonies).opened if colonies else 0,
        parts=tuple(
            Part(group=case.stock[g].group, yard=case.stock[g].yard, hives=hives, frames_counted=case.stock[g].frames,
                 frames_on_night=one.frames[g]) for g, hives in sorted(mine.items())
        ),
        pallets=_pallets(case, one, mine), proven=found.proven, sorted_out=all(case.stock[g].seen for g in mine),
    )  # fmt: skip


def _pallets(case: _Case, one: Asked, mine: Mapping[int, int]) -> tuple[PalletPart, ...]:
    if case.pallets is None:
        return ()
    lots: dict[tuple[str, str], Counter[int]] = defaultdict(Counter)
    for g, hives in mine.items():
        grade = case.stock[g]
        if grade.pallet in case.pallets:
            lots[grade.yard, str(grade.pallet)][round(HUNDREDTHS * one.frames[g])] += hives
    return tuple(
        PalletPart(yard=yard, pallet=pallet, pallets=times, frames=tuple(each / HUNDREDTHS for each in pattern))
        for (yard, pallet), number in sorted(lots.items())
        for pattern, times in sorted(arrange(number, case.pallets[pallet])[0].items())
    )  # fmt: skip
