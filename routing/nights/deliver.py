"""What each contract gets out of a draft, and the lines of the bill."""

from math import fsum

from routing.bloom.window import contract_window
from routing.inputs.contract import Contract
from routing.nights.change import change_usd
from routing.nights.crew import wage_usd_per_min
from routing.nights.draft import DraftNight, delivered, promise_bill, set_down_by_night
from routing.nights.problem import Problem, night_date
from routing.nights.tour import TruckNight
from routing.plan_record import CostLine, Delivery, GroupShare


def deliveries(problem: Problem, nights: tuple[DraftNight, ...]) -> tuple[Delivery, ...]:
    """Return one row for each contract, in their order."""
    return tuple(_delivery(problem, contract, nights) for contract in problem.operation.contracts)


def _delivery(problem: Problem, contract: Contract, nights: tuple[DraftNight, ...]) -> Delivery:
    window = contract_window(problem.operation, contract)
    got = delivered(nights, contract.name)
    hives = sum(problem.kinds[kind].hives * units for kind, units in got.items())
    came = sorted({night for night, _, _ in set_down_by_night(nights, contract.name)})
    went = sorted({one.night for one in nights for stop in one.stops if stop.place == contract.name and stop.picked_up})
    owed = promise_bill(problem, contract.name, nights)
    paid = hives if contract.over_delivery == "paid" else min(hives, contract.colonies)
    frames = fsum(problem.kinds[kind].frames * problem.kinds[kind].hives * units for kind, units in got.items())
    return Delivery(
        contract=contract.name, crop=contract.crop, promised=contract.colonies, delivered=hives,
        shares=_shares(problem, got), average_frames=round(frames / hives, 3) if hives else 0.0,
        in_from=window.in_from, in_until=window.in_until,
        first_in=night_date(problem.operation, came[0]) if came else None,
        last_in=night_date(problem.operation, came[-1]) if came else None,
        out_from=window.out_from, out_until=window.out_until,
        first_out=night_date(problem.operation, went[0]) if went else None,
        last_out=night_date(problem.operation, went[-1]) if went else None,
        fee_usd=round(paid * contract.fee_usd_per_colony, 2), bonus_usd=round(_bonus(problem, contract, got), 2),
        penalty_usd=round(owed.late + owed.short + owed.weak, 2),
    )


def _shares(problem: Problem, got: dict[int, int]) -> tuple[GroupShare, ...]:
    hives: dict[str, int] = {}
    for kind, units in sorted(got.items()):
        group = problem.kinds[kind].group
        hives[group] = hives.get(group, 0) + units * problem.kinds[kind].hives
    frames = {one.group: one.frames for one in problem.kinds}
    return tuple(GroupShare(group=group, hives=count, frames=frames[group]) for group, count in hives.items())


def _bonus(problem: Problem, contract: Contract, got: dict[int, int]) -> float:
    most = max(contract.bonus_up_to_frames - contract.min_average_frames, 0.0)
    return fsum(
        contract.bonus_usd_per_frame * units * problem.kinds[kind].hives
        * min(max(problem.kinds[kind].frames - contract.min_average_frames, 0.0), most)
        for kind, units in got.items()
    )


def cost_lines(
    problem: Problem, nights: tuple[DraftNight, ...], truck_nights: tuple[TruckNight, ...]
) -> tuple[CostLine, ...]:
    """Return the bill: what the road costs by the truck-nights, what promises cost by the draft. [USD]"""
    trucks = {one.name: one for one in problem.operation.trucks}
    miles = fsum(one.miles * trucks[one.truck].cost_usd_per_mile for one in truck_nights)
    hire = fsum(trucks[one.truck].cost_usd_per_night for one in truck_nights)
    wages = fsum(one.duty_min / 60.0 * _wage_usd_per_h(problem, one) for one in truck_nights)
    owed = [promise_bill(problem, name, nights) for name in problem.promises]
    return (
        CostLine(name="miles", usd=round(miles, 2)),
        CostLine(name="truck-nights", usd=round(hire, 2)),
        CostLine(name="wages", usd=round(wages, 2)),
        CostLine(name="late", usd=round(fsum(one.late for one in owed), 2)),
        CostLine(name="short: lost fees", usd=round(fsum(one.fees_lost for one in owed), 2)),
        CostLine(name="short: penalties", usd=round(fsum(one.short for one in owed), 2)),
        CostLine(name="weak", usd=round(fsum(one.weak for one in owed), 2)),
        CostLine(name="left in", usd=round(fsum(one.left_in for one in owed), 2)),
        CostLine(name="bonus not earned", usd=round(fsum(one.bonus_missed for one in owed), 2)),
        *([CostLine(name="changes", usd=round(change_usd(problem, nights), 2))] if problem.told.runs else []),
    )


def _wage_usd_per_h(problem: Problem, one: TruckNight) -> float:
    rig = next(index for index, rig in enumerate(problem.rigs) if rig.name == one.truck)
    return wage_usd_per_min(problem, rig, one.driver) * 60.0
