"""What a browser shows when a request fails: what happened, in words, and the way back."""

from fastapi import Request
from starlette.responses import HTMLResponse

from api.pages.render import page
from api.pages.say import has_words, say
from api.problems import KINDS, Problem


def trouble_page(request: Request, problem: Problem) -> HTMLResponse:
    """Return the page of one problem, with its status."""
    names = (f"trouble.lead_{problem.type.rpartition('/')[2]}", f"trouble.lead_{problem.status}")
    name = next((one for one in names if has_words(one)), "trouble.lead_other")
    most = request.app.state.settings.most_body_bytes // 1_000_000
    lead = say(name, most=most)
    # The general sentence of a kind says no more than our own words for its status.
    plain = problem.detail in KINDS.values() and not problem.faults
    return page(request, "trouble.html.j2", status=problem.status, problem=problem, lead=lead, plain=plain)
