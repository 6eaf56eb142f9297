"""A finding: one check made (or that could not be made), with its figure, limit, margin and source."""

from typing import Literal

from routing.record import Record

Status = Literal["ok", "broken", "unknown"]
Force = Literal["law", "standard", "advice", "practice", "own figure"]


class Finding(Record):
    """The outcome of one check. ``unknown`` means that it could not be made: never that all is well."""

    check: str
    """What was checked, in a few words."""
    subject: str
    """What it was checked on: a truck, a pallet, a contract."""
    status: Status
    measured: float | None = None
    limit: float | None = None
    margin: float | None = None
    """Positive: room left. Negative: by how much the limit is broken."""
    unit: str = ""
    force: Force
    source: str
    note: str = ""


def at_most(check: str, subject: str, *, measured: float, limit: float, **about: str) -> Finding:
    """Return the finding of ``measured <= limit``; ``about`` carries unit, force, source and note."""
    status: Status = "ok" if measured <= limit else "broken"
    return Finding.model_validate(
        {"check": check, "subject": subject, "status": status, "measured": float(measured),
         "limit": float(limit), "margin": float(limit) - float(measured), **about}
    )


def at_least(check: str, subject: str, *, measured: float, limit: float, **about: str) -> Finding:
    """Return the finding of ``measured >= limit``; ``about`` carries unit, force, source and note."""
    status: Status = "ok" if measured >= limit else "broken"
    return Finding.model_validate(
        {"check": check, "subject": subject, "status": status, "measured": float(measured),
         "limit": float(limit), "margin": float(measured) - float(limit), **about}
    )


def not_checked(check: str, subject: str, *, force: Force, source: str, note: str) -> Finding:
    """Return the finding of a check that could not be made; ``note`` says what is missing."""
    return Finding(check=check, subject=subject, status="unknown", force=force, source=source, note=note)
