"""Each promise that a plan does not keep: which, how many colonies, what it costs, why, what would help.

Law 1: colonies and costs are those of the independent judge (``routing.nights.check_promises``).
Law 2: ``proven`` is said only where an exact model shows that no plan does better by this contract; all
else is told as "no plan was found".
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from math import floor

from routing.inputs.operation import Operation
from routing.keepable.kept import Kept, Nights
from routing.keepable.need import need_of
from routing.keepable.offers_access import access_offers
from routing.keepable.offers_supply import STEP_FRAMES, more_colonies
from routing.keepable.short import short_row, why_stuck
from routing.keepable.supply import Stock, why_missing
from routing.keepable.words import (
    MAY_HELP,
    NOT_PROVEN,
    colonies,
    counted,
    day,
    frames,
    more_than,
    nights_span,
)
from routing.nights.check_rule import CENT_USD
from routing.nights.problem import Problem, night_date, read_problem
from routing.plan_record import Unkept


def unkept(problem: Problem, nights: Nights = ()) -> tuple[Unkept, ...]:
    """Return every promise that a draft does not keep, with its reason and its remedies.

    Parameters
    ----------
    problem
        The operation in numbers.
    nights
        The draft; empty: nothing is moved.

    Returns
    -------
    tuple[Unkept, ...]
        In the order of the contracts; of one contract short, late, weak, not taken out in time.
    """
    stock = Stock(_from_the_start(problem))
    drafted = {name: Kept(problem, promise, nights) for name, promise in problem.promises.items()}
    return tuple(row for had in drafted.values() for row in _rows(stock, drafted, had))


def _from_the_start(problem: Problem) -> Problem:
    """Return the problem with nothing done: what no plan could do from the season's first night, none can do now."""
    operation = problem.operation
    if operation.next_night is None and not operation.arranged:
        return problem
    return read_problem(operation.model_copy(update={"arranged": (), "next_night": None}))


def explain_impossible(operation: Operation) -> tuple[Unkept, ...]:
    """Return the promises that no plan can keep, before any plan is sought; the others are not told.

    ``colonies`` is the least number that must be missing, or left in too long, whatever the plan.
    """
    stock = Stock(read_problem(operation))
    rows = []
    for name, promise in stock.problem.promises.items():
        missing = promise.colonies if stock.cannot_leave(promise) else stock.least(stock.needs[name])
        if missing:
            rows.append(short_row(stock, promise, missing=missing))
    return tuple(rows)


def _rows(stock: Stock, drafted: Mapping[str, Kept], had: Kept) -> Iterator[Unkept]:
    if had.missing:
        yield short_row(stock, had.promise, missing=had.missing, drafted=drafted)
    if had.late_hives:
        yield _late(stock, had)
    if had.weak_usd >= CENT_USD:
        yield _weak(stock, had)
    if had.left_in:
        yield _left_in(stock, had)


def _late(stock: Stock, had: Kept) -> Unkept:
    promise, problem = had.promise, stock.problem
    on_time = need_of(stock.reach, promise, on_time=True)
    least = stock.least(on_time)
    proven = least >= had.missing + had.late_hives
    worst = max(nights for nights, _ in had.late)
    last = day(night_date(problem.operation, promise.in_last + worst))
    told = (
        f"{counted(had.late_hives, 'hive')} come to {promise.name} up to {counted(worst, 'night')} late, the "
        f"last on {last}; the last night in time is {day(night_date(problem.operation, promise.in_last))}. "
    )
    later = f"a last night in time {counted(worst, 'night')} later, {last}"
    remedies = [f"{later}: no hive of this plan is then late"]
    if proven:
        why = why_missing(stock, promise, on_time=True)
        told += f"No plan can deliver {more_than(promise.colonies - least)} in time: {why}."
    else:
        told += f"No plan was found that brings them all in time {NOT_PROVEN}."
        nights = nights_span(problem, promise.in_first, promise.in_last)
        remedies.append(f"{MAY_HELP}: one more truck-night on {nights}")
    return Unkept(
        contract=promise.name, kind="late", colonies=had.late_hives, cost_usd=round(had.late_usd, 2),
        reason=told, remedies=tuple(remedies), proven=proven,
    )  # fmt: skip


def _weak(stock: Stock, had: Kept) -> Unkept:
    promise = had.promise
    need = replace(
        stock.needs[promise.name], average=promise.min_average, colonies=had.hives,
        over=max(0, promise.colonies + promise.over - had.hives),
    )  # fmt: skip
    least = stock.least(need)
    average = had.frames / had.hives
    told = (
        f"The {colonies(had.hives)} brought to {promise.name} count for an average of {average:.2f} frames; "
        f"{promise.min_average:.2f} is asked for. "
    )
    if least:
        told += f"No plan can bring {more_than(had.hives - least)} with that average."
    else:
        told += f"No plan was found that reaches it {NOT_PROVEN}."
    lower = floor(average / STEP_FRAMES) * STEP_FRAMES
    asked = frames(promise.min_average)
    remedies = [*more_colonies(stock, [need])] if least else []
    remedies.append(f"a least average of {frames(lower)} in place of {asked}: this plan then keeps it")
    return Unkept(
        contract=promise.name, kind="weak", colonies=had.hives, cost_usd=round(had.weak_usd, 2),
        reason=told, remedies=tuple(remedies), proven=least > 0,
    )  # fmt: skip


def _left_in(stock: Stock, had: Kept) -> Unkept:
    promise, problem = had.promise, stock.problem
    proven = not stock.reach.leaves(promise, had.units)
    out = nights_span(problem, *(promise.out or (0, 0)))
    told = f"{counted(had.left_in, 'hive')} stay in {promise.name} after its nights out, {out}. "
    if proven:
        told += f"No plan can take any out in time: {why_stuck(stock, promise)}."
        remedies = tuple(access_offers(problem.operation, promise.name))
    else:
        told += f"No plan was found that takes them out in time {NOT_PROVEN}."
        remedies = (f"{MAY_HELP}: one more truck-night on {out}",)
    cost_usd = round(had.left_in * problem.usd_left_in, 2)
    return Unkept(
        contract=promise.name, kind="not taken out in time", colonies=had.left_in, cost_usd=cost_usd,
        reason=told, remedies=remedies, proven=proven,
    )  # fmt: skip
