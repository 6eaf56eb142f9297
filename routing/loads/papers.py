"""Papers of a move: what the user's own table says of each, on the night, and what a driver has in the cab.

A State's rules are its own and change; nothing here says that a paper is enough. Ask the State apiarist of every State
on the way, and the road office for the vehicle.
"""

import datetime as dt
from collections.abc import Sequence
from typing import NamedTuple

from routing.finding import Finding, not_checked
from routing.inputs.rigging import Paper
from routing.limits import limit
from routing.loads.vehicle import Rig

KINDS = "health certificate, entry permit, apiary registration, grower notice, pesticide notice list"
SOURCE = "your own table of papers; the State's word goes before it"


def paper_findings(papers: Sequence[Paper], night: dt.date, subject: str) -> list[Finding]:
    """Return one finding for each paper that the move may call for; one ``unknown`` when none is listed."""
    if not papers:
        note = f"none is in the table of papers; a move may call for: {KINDS}. Ask the State apiarist"
        return [not_checked("papers of the States on the way", subject, force="law", source=SOURCE, note=note)]
    return [_paper(paper, night, subject) for paper in papers]


def _paper(paper: Paper, night: dt.date, subject: str) -> Finding:
    about = {"check": f"{paper.kind}, {paper.state}", "subject": subject, "force": "law", "source": SOURCE}
    note = f"; {paper.note}" if paper.note else ""
    if paper.asked == "no":
        return Finding.model_validate({**about, "status": "ok", "note": f"not asked for, as you noted{note}"})
    if not paper.number:
        status = "broken" if paper.asked == "yes" else "unknown"
        words = "asked for, and none is at hand" if paper.asked == "yes" else "ask whether it is asked for; none is at hand"
        return Finding.model_validate({**about, "status": status, "note": words + note})
    if paper.valid_from is not None and night < paper.valid_from:
        words = f"no. {paper.number} is valid only from {paper.valid_from}"
        return Finding.model_validate({**about, "status": "broken", "note": words + note})
    if paper.valid_until is None:
        words = f"no. {paper.number}: its last day is not in the table"
        return Finding.model_validate({**about, "status": "unknown", "note": words + note})
    left = _days_left(paper.valid_until, night)
    soon = ", ends soon: renew it" if _ends_soon(paper, night) else ""
    words = f"no. {paper.number}, last day {paper.valid_until}{soon}"
    figures = {"measured": float(left), "limit": 0.0, "margin": float(left), "unit": "days"}
    return Finding.model_validate({**about, **figures, "status": "ok" if left >= 0 else "broken", "note": words + note})


def papers_to_renew(papers: Sequence[Paper], night: dt.date) -> tuple[str, ...]:
    """Return a sentence for each paper at hand that is valid on the night and ends soon after it."""
    return tuple(
        f"Renew the {paper.kind} of {paper.state}, no. {paper.number}: its last day is {paper.valid_until}."
        for paper in papers
        if _ends_soon(paper, night)
    )


def _ends_soon(paper: Paper, night: dt.date) -> bool:
    if not paper.number or paper.asked == "no" or paper.valid_until is None:
        return False
    return 0 <= _days_left(paper.valid_until, night) <= paper.warn_days


def _days_left(last_day: dt.date, night: dt.date) -> int:
    """Return the days that are left after the morning after a night: until then the truck is on the road."""
    return (last_day - night).days - 1


class CabLine(NamedTuple):
    """One thing that the driver has in the cab."""

    what: str
    why: str


def cab_list(rig: Rig) -> tuple[CabLine, ...]:
    """Return what a driver usually has in the cab for such a vehicle; local codes and the carrier's own rules go before."""
    lines = [
        CabLine(_licence(rig), "ratings in the tables; covered farm vehicles may be free of it: ask the licence office"),
        CabLine("registration and insurance of truck and trailer", "State law"),
        CabLine("this sheet, the drop sheet, and any scale ticket of tonight", "what an inspector asks first"),
        CabLine("hive count, owner, and whom to call when bees are loose", "common practice, no source"),
        CabLine("health certificate and permits of every State on the way", "the States' apiarists say which"),
    ]
    towed = limit("commercial_vehicle_from_lb")
    if rig.truck.gross_rating_lb >= towed.value:
        why = f"rated {towed.value:,.0f} lb or more, between States: {towed.source}"
        lines.insert(1, CabLine("carrier number, medical card, hours of duty or the farm exemption claimed", why))
    return tuple(lines)


def _licence(rig: Rig) -> str:
    """Return the licence that the ratings point to, in words."""
    towed_lb = sum(one.rating_lb for one in rig.axle_groups if one.unit == "trailer")
    gross_lb = rig.truck.gross_rating_lb
    if gross_lb >= limit("licence_combination_from_lb").value and towed_lb >= limit("licence_towed_from_lb").value:
        return "driving licence; by the ratings a commercial one, class A"
    if gross_lb - towed_lb >= limit("licence_single_from_lb").value:
        return "driving licence; by the ratings a commercial one, class B"
    return "driving licence; by the ratings an ordinary one may do"
