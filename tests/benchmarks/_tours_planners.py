"""The planners that stand side by side: ours, a practitioner's rule, two routing libraries. All look at the same problem.

Each gives truck-nights that the judge has seen. A peer's truck-nights that break a rule are dropped, and counted; ours
are never mended: what the judge finds broken in them is counted and told.
"""

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from routing.inputs.operation import Operation
from routing.nights.check import check_plan
from routing.nights.draft import DraftNight, missing
from routing.nights.engine import run
from routing.nights.haul.job import Job, Route
from routing.nights.problem import Problem, read_problem
from routing.nights.schedule import schedule
from routing.plan import Progress, make_plan
from tests.benchmarks._tours_dispatcher import dispatched
from tests.benchmarks._tours_judge import Verdict, judged
from tests.benchmarks._tours_peers import Maker, plans
from tests.benchmarks._tours_routes import settled
from tests.benchmarks._tours_sorts import sorted_out

FIRST_SHORT = 0.02
"""A plan is the first whole one when it leaves no more colonies short than the last, and this share of all promised."""


@dataclass(frozen=True)
class Planned:
    """What a planner did with one operation."""

    total_s: float
    first_s: float | None
    verdict: Callable[[], tuple[Verdict, int]]
    """Ask the judge, once the clock has stopped: the verdict and the truck-nights dropped."""
    bound_usd: float | None = None
    steps: int | None = None


Planner = Callable[[Operation, float], Planned]


def ours(operation: Operation, seconds: float) -> Planned:
    """Plan by the engine: truck-nights and bound, without deck plans."""
    begin = time.monotonic()
    problem, history = read_problem(operation), list[tuple[float, tuple[DraftNight, ...]]]()
    last = None
    for last in run(problem, seed=0, stop=lambda: time.monotonic() - begin > seconds):
        if not history or history[-1][1] != last.nights:
            history.append((time.monotonic() - begin, last.nights))
    total = time.monotonic() - begin
    nights = last.nights if last else ()

    def verdict() -> tuple[Verdict, int]:
        return judged(operation, schedule(problem, nights)), 0

    return Planned(total, _first(problem, history), verdict, last.bound_usd if last else None, last.steps if last else None)


def _first(problem: Problem, history: list[tuple[float, tuple[DraftNight, ...]]]) -> float | None:
    """Return when the first whole plan was there: about as few colonies short as in the end. [s]"""

    def short(nights: tuple[DraftNight, ...]) -> int:
        return sum(missing(problem, name, nights) for name in problem.promises)

    few = FIRST_SHORT * sum(one.colonies for one in problem.promises.values())
    enough = short(history[-1][1]) + few if history else 0
    return next((at for at, nights in history if nights and short(nights) <= enough), None)


def dispatcher(operation: Operation, seconds: float) -> Planned:
    """Plan by the practitioner's rule; it takes as long as it takes."""
    begin = time.monotonic()
    had = sorted_out(read_problem(operation))
    jobs, routes = dispatched(had)
    total = time.monotonic() - begin

    def verdict() -> tuple[Verdict, int]:
        found = settled(had, jobs, routes)
        return found.verdict, found.dropped

    return Planned(total, total, verdict)


def ortools(operation: Operation, seconds: float) -> Planned:
    """Plan by OR-Tools' routing library."""
    from tests.benchmarks._tours_ortools import stretch

    return _peer(operation, seconds, stretch)


def pyvrp(operation: Operation, seconds: float) -> Planned:
    """Plan by PyVRP."""
    from tests.benchmarks._tours_pyvrp import Shipping

    return _peer(operation, seconds, Shipping)


def _peer(operation: Operation, seconds: float, maker: Maker) -> Planned:
    begin, first = time.monotonic(), list[float]()
    had, answers = sorted_out(read_problem(operation)), list[tuple[dict[int, Job], list[Route]]]()
    answers += plans(had, maker, deadline=begin + seconds, tell=lambda: first.append(time.monotonic() - begin))
    total = time.monotonic() - begin

    def verdict() -> tuple[Verdict, int]:
        found = [settled(had, jobs, routes) for jobs, routes in answers]
        best = min(found, key=lambda one: one.verdict.cost_usd)
        return best.verdict, best.dropped

    return Planned(total, first[0] if first else None, verdict)


def plan(operation: Operation, seconds: float) -> Planned:
    """Plan as a user has it: tours, deck plans, gear, reasons; judged by every check."""
    begin, first = time.monotonic(), list[float]()

    def watch(told: Progress) -> None:
        if not first and told.note != "nothing planned yet":
            first.append(told.seconds)

    made = make_plan(operation, seed=0, seconds=seconds, progress=watch)
    total = time.monotonic() - begin

    def verdict() -> tuple[Verdict, int]:
        own = judged(operation, made.truck_nights)
        return replace(own, broken=tuple(one for one in check_plan(made) if one.status == "broken")), 0

    return Planned(total, first[0] if first else None, verdict, made.lower_bound_usd, made.steps)


PLANNERS: Mapping[str, Planner] = {
    "ours": ours, "dispatcher": dispatcher, "or-tools": ortools, "pyvrp": pyvrp, "plan": plan,
}  # fmt: skip
