"""The plan in plain lines: for a terminal, a text file, a message."""

import datetime as dt

from routing.keepable.words import MAY_HELP
from routing.plan_record import Delivery, Plan, Unkept
from routing.sheets.checks import check_lines
from routing.sheets.clock import short_day
from routing.sheets.words import counted, printable


def summary_lines(plan: Plan) -> tuple[str, ...]:
    """Return what the plan costs, how good it is, what is kept, and what is not kept with its remedies."""
    lines = [
        *_head(plan), "", *_costs(plan), "", *_promises(plan), *_unkept(plan), *_nights(plan), *_ready(plan), "",
        *check_lines(plan),
    ]  # fmt: skip
    return tuple(line[: len(line) - len(line.lstrip(" "))] + printable(line) for line in lines)


def nothing_planned(plan: Plan) -> str:
    """Return in a sentence that, and why, the search ended before it planned a move; empty when it did not."""
    if plan.truck_nights or plan.steps or not plan.unkept:
        return ""
    if plan.stopped_early:
        return "Stopped before the first move was planned: the plan is empty, and no promise is kept."
    return "The time ran out before the first move was planned: the plan is empty, and no promise is kept."


def usd(amount_usd: float) -> str:
    """Return ``$1,017.35``; a loss has its sign in front. [USD]"""
    return f"{'-' if amount_usd < 0 else ''}${abs(amount_usd):,.2f}"


def _head(plan: Plan) -> list[str]:
    hives = sum(lot.hives for night in plan.truck_nights for stop in night.stops for lot in stop.picked_up)
    lines = [
        f"{plan.operation.name}: {counted(len(plan.truck_nights), 'truck-night')}, "
        f"{counted(hives, 'hive move')}.",
        f"Cost {usd(plan.cost_usd)}; {_bound(plan)}.",
        f"The bound covers {plan.bound_covers}.",
        f"Income from fees and bonus {usd(plan.income_usd)}; worked out in {plan.seconds:.1f} s, "
        f"seed {plan.seed}.",
    ]
    if empty := nothing_planned(plan):
        return [lines[0], f"{empty} Give it more time.", *lines[1:]]
    return [*lines, "Stopped early: a longer run may find a cheaper plan."] if plan.stopped_early else lines


def _bound(plan: Plan) -> str:
    if plan.lower_bound_usd <= 0.0 < plan.cost_usd:
        return "how much less another plan could cost is not proven yet"
    return f"proven: no plan costs less than {usd(plan.lower_bound_usd)} (gap {plan.gap:.1%})"


def _costs(plan: Plan) -> list[str]:
    return [
        "What the cost is made of:",
        *(f"  {line.name}: {usd(line.usd)}" for line in plan.cost_lines if line.usd),
    ]


def _promises(plan: Plan) -> list[str]:
    unkept = {one.contract for one in plan.unkept}
    kept = sum(delivery.contract not in unkept for delivery in plan.deliveries)
    lines = [f"Promises kept: {kept} of {len(plan.operation.contracts)} contracts."]
    for delivery in plan.deliveries:
        lines.append(f"  {_delivery(delivery)}{', NOT KEPT' if delivery.contract in unkept else ''}")
    return lines


def _delivery(delivery: Delivery) -> str:
    words = f"{delivery.contract} ({delivery.crop}): {delivery.delivered} of {delivery.promised} colonies"
    if delivery.first_in is None or delivery.last_in is None:
        return f"{words}, none brought"
    words += f" at {delivery.average_frames:.1f} frames, in {_span(delivery.first_in, delivery.last_in)}"
    if delivery.first_out is None or delivery.last_out is None:
        return f"{words}, not taken out again"
    return f"{words}, out {_span(delivery.first_out, delivery.last_out)}"


def _span(first: dt.date, last: dt.date) -> str:
    return short_day(first) if first == last else f"{short_day(first)} to {short_day(last)}"


def _unkept(plan: Plan) -> list[str]:
    if not plan.unkept:
        return ["Every promise is kept.", ""]
    lines = [f"NOT KEPT: {counted(len(plan.unkept), 'promise')}."]
    if nothing_planned(plan):
        # Reasons and remedies speak of a search, and there was none.
        return [*lines, ""]
    for one in plan.unkept:
        lines += _one_unkept(one)
    return [*lines, ""]


def _one_unkept(one: Unkept) -> list[str]:
    proof = "proven: no plan can keep it" if one.proven else "not proven: none was found"
    colonies = counted(one.colonies, "colony", "colonies")
    lines = [f"  {one.contract}: {one.kind}, {colonies}, {usd(one.cost_usd)} ({proof})."]
    lines.append(f"    Why: {one.reason}")
    return [*lines, *(f"    {_remedy(remedy)}" for remedy in one.remedies)]


def _remedy(remedy: str) -> str:
    may_help = remedy.removeprefix(MAY_HELP).lstrip(": ")
    return f"Would make it keepable: {remedy}" if may_help == remedy else f"May help, not certain: {may_help}"


def _nights(plan: Plan) -> list[str]:
    lines = ["Nights:"] if plan.truck_nights else ["Nights: none."]
    for night in plan.truck_nights:
        hives = sum(lot.hives for stop in night.stops for lot in stop.picked_up)
        stops = " - ".join(
            dict.fromkeys(stop.place for stop in night.stops if stop.picked_up or stop.set_down)
        )
        lines.append(
            f"  {short_day(night.night)}, {night.truck}, {night.driver}: {counted(hives, 'hive')}, "
            f"{night.miles:.0f} miles, {night.duty_min / 60:.1f} h on duty, {usd(night.cost_usd)}: {stops}"
        )
    return [*lines, ""]


def _ready(plan: Plan) -> list[str]:
    lines = ["Gear to have at hand (most on one night):"] if plan.gear else []
    for need in plan.gear:
        had = "not counted" if need.on_hand is None else f"{need.on_hand} on hand"
        short = f", SHORT BY {need.short}" if need.short else ""
        lines.append(f"  {need.item}: {need.needed} needed, {had}{short}")
    if plan.tasks and plan.truck_nights:
        told = f"{counted(len(plan.tasks), 'task')} at {counted(len({task.yard for task in plan.tasks}), 'place')}"
        lines.append(f"To make ready before loading: {told}; the yard sheets name them.")
    return lines
