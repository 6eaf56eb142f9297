"""What one yard does for one night, task by task in the order of the work."""

import datetime as dt
from collections.abc import Mapping, Sequence

from routing.plan_record import Plan, Task
from routing.sheets.clock import short_day
from routing.sheets.sheet_record import GroupCount, YardTask

Work = tuple[str, str, dt.date, str]
"""Task, reason, night by which it is done, source: groups that share all four share a line."""


def yard_tasks(
    plan: Plan, yard: str, night: dt.date, *, leaving: set[str]
) -> tuple[tuple[YardTask, ...], tuple[str, ...]]:
    """Return the tasks of ``yard`` for ``night`` and the sources that their numbers point at.

    Parameters
    ----------
    plan
        Its tasks, and the nights on which groups left before.
    yard, night
        Of the sheet.
    leaving
        Groups that leave the yard on the night. Their tasks since they last left it are told. Hives that never
        move have work too (weak ones), so it stands on every sheet of their yard.
    """
    by_group: dict[str, list[Work]] = {}
    hives: dict[tuple[str, Work], int] = {}
    for task in _tasks(plan, yard, night, leaving):
        work = (task.task, task.why, task.by_night, f"{task.force}: {task.source}")
        by_group.setdefault(task.group, []).append(work)
        hives[task.group, work] = task.hives
    order = _in_order_of_work(by_group)
    sources = tuple(dict.fromkeys(source for *_, source in order))
    tasks = tuple(
        YardTask(
            task=work[0], why=work[1], by_words=_by_words(work[2], night), source_number=sources.index(work[3]) + 1,
            groups=tuple(
                GroupCount(group=group, hives=hives[group, work]) for group, own in by_group.items() if work in own
            ),
        )
        for work in order
    )  # fmt: skip
    return tasks, sources


def _tasks(plan: Plan, yard: str, night: dt.date, leaving: set[str]) -> list[Task]:
    left: dict[str, list[dt.date]] = {}
    for one in plan.truck_nights:
        for lot in (lot for stop in one.stops for lot in stop.picked_up):
            left.setdefault(lot.group, []).append(one.night if lot.origin == yard else dt.date.min)
    found = []
    for task in plan.tasks:
        before = max((one for one in left.get(task.group, ()) if one < night), default=dt.date.min)
        due = before < task.by_night <= night if task.group in leaving else task.group not in left
        if task.yard == yard and due:
            found.append(task)
    return sorted(found, key=lambda task: (task.by_night, task.group))


def _in_order_of_work(by_group: Mapping[str, Sequence[Work]]) -> list[Work]:
    """Return every piece of work once, after all that comes before it for any group."""
    rest = sorted(dict.fromkeys(work for own in by_group.values() for work in own), key=lambda work: work[2])
    order: list[Work] = []
    while rest:
        free = (one for one in rest if not any(_waits(one, own, rest) for own in by_group.values()))
        order.append(next(free, rest[0]))
        rest.remove(order[-1])
    return order


def _waits(one: Work, own: Sequence[Work], rest: Sequence[Work]) -> bool:
    return one in own and any(earlier in rest for earlier in own[: own.index(one)])


def _by_words(by_night: dt.date, night: dt.date) -> str:
    return f"by {short_day(by_night)}" if by_night >= night else f"was due {short_day(by_night)}: done?"
