"""Does a plan leave what is done as it was, and what do its changes to what was told cost? The judge's own count.

Law 1: every lot that is done is in the plan as it was, and a night before the next has nothing else.
Law 2: a colony told to come to, or leave, an orchard on a night and that does not is one change; so is a truck-night
called off, or a new one.
"""

from collections import Counter
from collections.abc import Iterator

from routing.finding import Finding
from routing.inputs.arranged import Arranged
from routing.inputs.constants import constant
from routing.inputs.operation import Operation
from routing.nights.check_case import Case, Move
from routing.nights.check_rule import Rule

DONE = Rule(check="what is done stays", unit="hives", force="own figure", source="rows of what is arranged that are done")
PAST = Rule(check="nothing new in the past", force="own figure", source="next night of the operation")


def check_arranged(case: Case) -> tuple[Finding, ...]:
    """Return the findings on what a plan says of nights before the next."""
    if case.operation.next_night is None and not case.operation.arranged:
        return ()
    return (*DONE.tell(_done(case)), *PAST.tell(_past(case)))


def ahead(operation: Operation) -> tuple[Arranged, ...]:
    """Return the rows told of nights still to be planned."""
    following = operation.next_night or operation.first_night
    return tuple(row for row in operation.arranged if not row.done and row.night >= following)


def changes_usd(case: Case) -> float:
    """Return the price of every change to what was told. [USD]"""
    told, following = ahead(case.operation), case.operation.next_night or case.operation.first_night
    planned = [move for move in case.moves if move.night >= following]
    wanted, now = Counter[tuple[str, str, str]](), Counter[tuple[str, str, str]]()
    for rows, total in ((told, wanted), (planned, now)):
        for row in rows:
            total[row.destination, row.night.isoformat(), "in"] += row.hives
            total[row.origin, row.night.isoformat(), "out"] += row.hives
    missing = sum(max(0, hives - now[key]) for key, hives in wanted.items() if key[0] in case.contracts)
    runs = {(row.truck, row.night) for row in case.truck_nights if row.night >= following}
    called = len(runs ^ {(row.truck, row.night) for row in told})
    return (constant(case.operation, "change_usd_per_colony") * missing
            + constant(case.operation, "change_usd_per_truck_night") * called)  # fmt: skip


def _done(case: Case) -> Iterator[Finding | None]:
    was, planned = Counter[tuple[str, ...]](), Counter[tuple[str, ...]]()
    for row in case.operation.arranged:
        if row.done:
            was[row.truck, row.night.isoformat(), row.group, row.origin, row.destination] += row.hives
    trucks = {row.id: row.truck for row in case.truck_nights}
    for move in case.moves:
        if move.done:
            planned[_key(move, trucks[move.truck_night])] += move.hives
    for key in dict.fromkeys((*was, *planned)):
        subject = f"{key[0]}, night of {key[1]}, {key[2]} from {key[3]} to {key[4]}"
        yield DONE.equal(subject, measured=planned[key], limit=was[key])


def _key(move: Move, truck: str) -> tuple[str, ...]:
    return truck, move.night.isoformat(), move.group, move.origin, move.destination


def _past(case: Case) -> Iterator[Finding | None]:
    following = case.operation.next_night
    for row in case.truck_nights:
        new = following is not None and row.night < following and (row.truck, row.night) not in case.done
        yield PAST.holds(row.id, not new, note=f"planned for {row.night}, a night before the next, {following}")
