"""One operation planned and judged: the row that every planning benchmark shows."""

import time

from routing.inputs.operation import Operation
from routing.nights.check import check_plan
from routing.plan import Progress, make_plan
from tests.benchmarks._record import Record, measured


def planned(name: str, operation: Operation, *, seconds: float) -> Record:
    """Plan an operation once, judge the plan, and return its row."""
    first: list[float] = []
    begin = time.monotonic()

    def watch(_: Progress) -> None:
        # The planner tells of its progress from the first plan on.
        if not first:
            first.append(time.monotonic() - begin)

    with measured() as took:
        plan = make_plan(operation, seed=0, seconds=seconds, progress=watch)
    findings = check_plan(plan)
    return {
        "benchmark": name,
        "cost_usd": plan.cost_usd,
        "lower_bound_usd": plan.lower_bound_usd,
        "gap": plan.gap,
        "unkept_colonies": sum(row.colonies for row in plan.unkept),
        "first_plan_s": first[0] if first else None,
        "total_s": took.seconds,
        "peak_mib": took.peak_mib,
        "truck_nights": len(plan.truck_nights),
        "judge_broken": sum(one.status == "broken" for one in findings),
        "judge_unknown": sum(one.status == "unknown" for one in findings),
    }
