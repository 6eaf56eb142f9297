"""What each contract gets and what failing it costs, from the moves and the terms alone.

Law 1: hives count as delivered from the first night in to the last late night taken, no others.
Law 2: a group's hives count for the frames that the plan may count on, each the same.
"""

import datetime as dt
from collections import Counter

from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.nights.check_case import Case, Move
from routing.record import Record
from routing.strength.group import group_strength


class Account(Record):
    """One contract's side of the bill."""

    contract: str
    hives: dict[str, int]
    """Delivered hives of each group."""
    frames: dict[str, float]
    """Frames counted on, each hive of those groups."""
    delivered: int
    average_frames: float
    """0 when nothing was delivered."""
    late_hives: int
    late_usd: float
    missing: int
    lost_fees_usd: float
    short_usd: float
    weak_usd: float
    left_in: int
    left_in_usd: float
    fee_usd: float
    bonus_usd: float
    bonus_missed_usd: float


def account(case: Case, contract: Contract) -> Account:
    """Return the account of one contract."""
    moves = delivering(case, contract)
    hives: Counter[str] = Counter()
    for move in moves:
        hives[move.group] += move.hives
    frames = {name: group_strength(case.operation, case.groups[name]).counted_frames for name in hives}
    delivered = sum(hives.values())
    frames_sum = sum(frames[name] * hives[name] for name in hives)
    late = [(move.hives, _nights_late(case, move)) for move in moves]
    missing = max(0, contract.colonies - delivered)
    weak_frames = max(0.0, contract.min_average_frames * delivered - frames_sum)
    left_in = _left_in(case, contract)
    bonus_usd, most_usd = _bonus(contract, hives, frames)
    return Account(
        contract=contract.name, hives=dict(hives), frames=frames, delivered=delivered,
        average_frames=frames_sum / delivered if delivered else 0.0,
        late_hives=sum(count for count, nights in late if nights > 0),
        late_usd=contract.late_usd_per_colony_night * sum(count * nights for count, nights in late),
        missing=missing, lost_fees_usd=contract.fee_usd_per_colony * missing,
        short_usd=contract.short_usd_per_colony * missing,
        weak_usd=weak_frames * (contract.weak_usd_per_frame or 0.0),
        left_in=left_in, left_in_usd=left_in * constant(case.operation, "left_in_usd_per_colony"),
        fee_usd=contract.fee_usd_per_colony * _paid_hives(contract, delivered),
        bonus_usd=bonus_usd, bonus_missed_usd=most_usd - bonus_usd,
    )  # fmt: skip


def arriving(case: Case, contract: Contract) -> tuple[Move, ...]:
    """Return every move to the contract's orchard, on whatever night."""
    return tuple(move for move in case.moves if move.destination == contract.name)


def leaving(case: Case, contract: Contract) -> tuple[Move, ...]:
    """Return every move away from the contract's orchard, on whatever night."""
    return tuple(move for move in case.moves if move.origin == contract.name)


def delivering(case: Case, contract: Contract) -> tuple[Move, ...]:
    """Return the moves to the orchard on nights on which the grower takes hives; what is done is there, whenever it came."""
    window = case.windows[contract.name]
    return tuple(
        move for move in arriving(case, contract)
        if move.done or window.in_from <= move.night <= window.late_until
    )


def _nights_late(case: Case, move: Move) -> int:
    late: dt.timedelta = move.night - case.windows[move.destination].in_until
    return max(0, late.days)


def _left_in(case: Case, contract: Contract) -> int:
    window = case.windows[contract.name]
    if window.out_from is None or window.out_until is None:
        return 0
    taken = sum(
        move.hives for move in leaving(case, contract)
        if move.done or window.out_from <= move.night <= window.out_until
    )
    return max(0, sum(move.hives for move in arriving(case, contract)) - taken)


def _paid_hives(contract: Contract, delivered: int) -> int:
    return delivered if contract.over_delivery == "paid" else min(delivered, contract.colonies)


def _bonus(contract: Contract, hives: Counter[str], frames: dict[str, float]) -> tuple[float, float]:
    """Return the bonus earned, and what it were if every hive earned the most that is paid. [USD]"""
    span = max(0.0, contract.bonus_up_to_frames - contract.min_average_frames)
    above = sum(
        min(max(frames[name] - contract.min_average_frames, 0.0), span) * hives[name] for name in hives
    )
    return contract.bonus_usd_per_frame * above, contract.bonus_usd_per_frame * span * sum(hives.values())
