"""Every check of a plan: as rows that leave none out, and in a few lines for the summary."""

import re
from collections.abc import Iterator, Sequence

from routing.finding import Finding, Force, Status
from routing.plan_record import Plan
from routing.record import Record
from routing.sheets.findings import shared_start
from routing.sheets.words import finding_words

CHECKS_FILE = "checks.csv"
MOST_NAMED = 3
"""Names told one by one in the summary; more of them are only counted."""
_ORDER: tuple[Status, ...] = ("broken", "unknown", "ok")
_CLAUSE_ENDS = re.compile(r"[:;.,](?=\s)")


class CheckRow(Record):
    """One check, with what it was made on and what it goes by."""

    status: Status
    made_on: str
    """The plan, a truck-night, or a load of one."""
    check: str
    subject: str
    measured: float | None
    limit: float | None
    room_left: float | None
    unit: str
    force: Force
    source: str
    note: str


def check_rows(plan: Plan) -> tuple[CheckRow, ...]:
    """Return a row for every check of the plan, of its truck-nights and of its loads: broken, not made, met."""
    rows = [_row(where, finding) for where, finding in _all(plan)]
    return tuple(sorted(rows, key=lambda row: _ORDER.index(row.status)))


def check_lines(plan: Plan) -> tuple[str, ...]:
    """Return how many checks were met, each broken one, and those not made, alike ones together.

    What is left out here, names and sources, stands in ``check_rows``.
    """
    findings = [finding for _, finding in _all(plan)]
    met, broken, unknown = (sum(one.status == status for one in findings) for status in ("ok", "broken", "unknown"))
    return (
        f"Checks: {met} met, {broken} broken, {unknown} not made.",
        f"  Each of them stands in {CHECKS_FILE}, with its figures and where its limit comes from.",
        *dict.fromkeys(f"  {finding_words(one)}" for one in findings if one.status == "broken"),
        *(f"  {_not_made(alike)}" for alike in _alike(findings)),
    )


def _all(plan: Plan) -> Iterator[tuple[str, Finding]]:
    yield from (("plan", finding) for finding in plan.findings)
    yield from ((night.id, finding) for night in plan.truck_nights for finding in night.findings)
    for load in plan.loads:
        yield from ((f"{load.truck_night}, load {load.number}", finding) for finding in load.findings)


def _row(where: str, finding: Finding) -> CheckRow:
    return CheckRow(
        status=finding.status, made_on=where, check=finding.check, subject=finding.subject, measured=finding.measured,
        limit=finding.limit, room_left=finding.margin, unit=finding.unit, force=finding.force, source=finding.source,
        note=finding.note,
    )  # fmt: skip


def _alike(findings: Sequence[Finding]) -> list[list[Finding]]:
    """Return the checks not made in groups: of one source, and of one reason or one name."""
    groups: list[list[Finding]] = []
    for one in dict.fromkeys(one for one in findings if one.status == "unknown"):
        for group in groups:
            first = group[0]
            if first.source == one.source and (first.note == one.note or first.check == one.check):
                group.append(one)
                break
        else:
            groups.append([one])
    return groups


def _not_made(alike: Sequence[Finding]) -> str:
    first, times = alike[0], f" ({len(alike)} times)" if len(alike) > 1 else ""
    checks = shared_start(tuple(dict.fromkeys(one.check for one in alike)))
    subjects = tuple(dict.fromkeys(one.subject for one in alike))
    named = f", {'; '.join(subjects)}" if len(subjects) <= MOST_NAMED else ""
    return f"NOT CHECKED{times}: {checks}{named}: {_reason([one.note for one in alike])} ({first.force})"


def _reason(notes: Sequence[str]) -> str:
    """Return what all notes say; where they differ, their common beginning up to the end of a clause."""
    if len(set(notes)) == 1:
        return notes[0]
    # What the first and the last in alphabetical order begin with, all between them begin with too.
    first, last = min(notes), max(notes)
    differs = next((at for at, (one, other) in enumerate(zip(first, last, strict=False)) if one != other), len(first))
    found = _CLAUSE_ENDS.search(first[:differs])
    return first[: found.start()] if found else f"for one of them: {notes[0]}"
