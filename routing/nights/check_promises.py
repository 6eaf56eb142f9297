"""Are the terms of each contract kept, and does the plan say truly which are not?

Law 1: hives come on the nights in which the grower takes them and leave within the window out.
Law 2: a group too weak in too many single colonies serves no contract with such a floor.
Law 3: each shortfall is named among the unkept promises, with its colonies and its cost; nothing else is.
Law 4: a weakness that costs less than half a cent is the rounding of a sum, and no shortfall.
"""

from collections.abc import Iterator

from routing.finding import Finding
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.yard import HiveGroup
from routing.nights.check_account import Account, arriving, leaving
from routing.nights.check_case import Case, pallet_hives
from routing.nights.check_rule import CENT_USD, Rule
from routing.plan_record import Delivery, Unkept
from routing.strength.group import share_below

FRAMES = 0.005
"""Averages are told to a hundredth of a frame at least."""
TERMS = "terms of the contract"

IN = Rule(check="set down on a night taken", force="own figure", source=TERMS)
OUT = Rule(check="taken out within the window", force="own figure", source=TERMS)
OVER = Rule(check="no more than promised", unit="colonies", force="own figure", source=TERMS)
FLOOR = Rule(
    check="single colonies strong enough", unit="share of the group", force="own figure",
    source="contract's min_colony_frames; constant below_floor_share",
)  # fmt: skip
AVERAGE = Rule(check="average strength", unit="frames", force="own figure", source=TERMS)
ROW = Rule(
    check="delivery as told", force="own figure", source="the moves of the plan, the terms of the contract"
)
UNKEPT = Rule(
    check="unkept promises as told",
    tolerance=CENT_USD,
    force="own figure",
    source="the moves of the plan, the terms of the contract",
)


def check_terms(case: Case, accounts: dict[str, Account]) -> tuple[Finding, ...]:
    """Return the findings on windows, over-delivery and strength of every contract."""
    contracts = case.operation.contracts
    return (
        *IN.tell(found for contract in contracts for found in _set_down(case, contract)),
        *OUT.tell(found for contract in contracts for found in _taken_out(case, contract)),
        *OVER.tell(_over(case, contract, accounts[contract.name]) for contract in contracts),
        *FLOOR.tell(found for contract in contracts for found in _floor(case, contract)),
        *AVERAGE.tell(_average(contract, accounts[contract.name]) for contract in contracts),
    )


def check_told(
    case: Case, accounts: dict[str, Account], *, deliveries: tuple[Delivery, ...], unkept: tuple[Unkept, ...]
) -> tuple[Finding, ...]:
    """Return the findings on what a plan tells of deliveries and of unkept promises."""
    return (
        *ROW.tell(
            found
            for contract in case.operation.contracts
            for found in _rows(case, accounts[contract.name], deliveries)
        ),
        *UNKEPT.tell(_unkept(accounts, unkept)),
    )


def _set_down(case: Case, contract: Contract) -> Iterator[Finding | None]:
    window = case.windows[contract.name]
    for move in arriving(case, contract):
        taken = move.done or window.in_from <= move.night <= window.late_until
        span = f"{window.in_from} to {window.late_until}"
        note = f"{move.hives} hives of {move.group} come on {move.night}; taken from {span}"
        yield IN.holds(f"{contract.name}, {move.truck_night}", taken, note=note)


def _taken_out(case: Case, contract: Contract) -> Iterator[Finding | None]:
    window = case.windows[contract.name]
    for move in leaving(case, contract):
        subject = f"{contract.name}, {move.truck_night}"
        if window.out_from is None or window.out_until is None:
            yield OUT.holds(subject, False, note="hives of this contract stay: it has no window out")
            continue
        right = move.done or window.out_from <= move.night <= window.out_until
        span = f"{window.out_from} to {window.out_until}"
        note = f"{move.hives} hives of {move.group} leave on {move.night}; window out {span}"
        yield OUT.holds(subject, right, note=note)


def _over(case: Case, contract: Contract, had: Account) -> Finding | None:
    spare = 0
    if contract.over_delivery != "not taken":
        # A pallet is not broken up for the last colony promised.
        able = [
            group for group in case.operation.hive_groups if _share_weak(case, contract, group) <= _most(case)
        ]
        spare = max((pallet_hives(case, group) or 1 for group in able), default=1) - 1
    return OVER.at_most(contract.name, measured=had.delivered, limit=contract.colonies + spare)


def _floor(case: Case, contract: Contract) -> Iterator[Finding | None]:
    for name in dict.fromkeys(move.group for move in arriving(case, contract)):
        share = _share_weak(case, contract, case.groups[name])
        yield FLOOR.at_most(f"{contract.name}, {name}", measured=share, limit=_most(case))


def _share_weak(case: Case, contract: Contract, group: HiveGroup) -> float:
    return share_below(case.operation, group, contract.min_colony_frames)


def _most(case: Case) -> float:
    return constant(case.operation, "below_floor_share")


def _average(contract: Contract, had: Account) -> Finding | None:
    if had.delivered == 0 or contract.weak_usd_per_frame is not None:
        # A weak lot that is taken at a price is a cost, told among the unkept promises.
        return None
    return AVERAGE.at_least(contract.name, measured=had.average_frames, limit=contract.min_average_frames)


def _rows(case: Case, had: Account, deliveries: tuple[Delivery, ...]) -> Iterator[Finding | None]:
    rows = [row for row in deliveries if row.contract == had.contract]
    yield ROW.equal(had.contract, measured=len(rows), limit=1, note="rows that tell of this contract")
    for row in rows:
        wrong = [
            text
            for text, true in (*_counts(case, had, row), *_dates(case, had, row), *_money(had, row))
            if not true
        ]
        yield ROW.holds(had.contract, not wrong, note=f"wrong: {', '.join(wrong)}")


def _counts(case: Case, had: Account, row: Delivery) -> tuple[tuple[str, bool], ...]:
    contract = case.contracts[had.contract]
    told = {share.group: share.hives for share in row.shares}
    return (
        ("crop", row.crop == contract.crop),
        ("promised", row.promised == contract.colonies),
        ("delivered", row.delivered == had.delivered),
        ("shares", told == had.hives and len(told) == len(row.shares)),
        ("frames", all(abs(one.frames - had.frames.get(one.group, -1.0)) <= FRAMES for one in row.shares)),
        ("average frames", abs(row.average_frames - had.average_frames) <= FRAMES),
    )


def _dates(case: Case, had: Account, row: Delivery) -> tuple[tuple[str, bool], ...]:
    contract, window = case.contracts[had.contract], case.windows[had.contract]
    came = [move.night for move in arriving(case, contract)]
    left = [move.night for move in leaving(case, contract)]
    return (
        ("nights in", (row.in_from, row.in_until) == (window.in_from, window.in_until)),
        ("nights out", (row.out_from, row.out_until) == (window.out_from, window.out_until)),
        (
            "first and last in",
            (row.first_in, row.last_in) == (min(came, default=None), max(came, default=None)),
        ),
        (
            "first and last out",
            (row.first_out, row.last_out) == (min(left, default=None), max(left, default=None)),
        ),
    )


def _money(had: Account, row: Delivery) -> tuple[tuple[str, bool], ...]:
    penalty_usd = had.late_usd + had.short_usd + had.weak_usd
    return tuple(
        (name, abs(round(true, 2) - told) < CENT_USD)
        for name, told, true in (
            ("fee", row.fee_usd, had.fee_usd),
            ("bonus", row.bonus_usd, had.bonus_usd),
            ("penalty", row.penalty_usd, penalty_usd),
        )
    )


def _shortfalls(accounts: dict[str, Account]) -> dict[tuple[str, str], tuple[int, float]]:
    """Return colonies and cost of each promise not kept, by contract and kind."""
    found = {}
    for name, had in accounts.items():
        found[name, "short"] = (had.missing, had.lost_fees_usd + had.short_usd)
        found[name, "late"] = (had.late_hives, had.late_usd)
        found[name, "weak"] = (had.delivered if had.weak_usd >= CENT_USD else 0, had.weak_usd)
        found[name, "not taken out in time"] = (had.left_in, had.left_in_usd)
    return {key: value for key, value in found.items() if value[0] > 0}


def _unkept(accounts: dict[str, Account], told: tuple[Unkept, ...]) -> Iterator[Finding | None]:
    true = _shortfalls(accounts)
    seen = [(row.contract, row.kind) for row in told]
    for key in dict.fromkeys((*true, *seen)):
        subject = f"{key[0]}, {key[1]}"
        rows = [row for row in told if (row.contract, row.kind) == key]
        if key not in true:
            yield UNKEPT.holds(subject, False, note="told as unkept, yet it is kept")
        elif len(rows) != 1:
            yield UNKEPT.equal(
                subject, measured=len(rows), limit=1, note=f"rows that tell of {true[key][0]} colonies"
            )
        else:
            yield UNKEPT.equal(subject, measured=rows[0].colonies, limit=true[key][0], note="colonies")
            yield UNKEPT.equal(subject, measured=rows[0].cost_usd, limit=round(true[key][1], 2), note="USD")
