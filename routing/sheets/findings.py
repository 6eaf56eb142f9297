"""Findings in words: what is broken first, then what could not be checked, told once however often."""

from collections.abc import Sequence

from routing.finding import Finding
from routing.sheets.words import finding_words

MOST_NAMED = 4
"""Names told one by one; of more, the first are told and the others counted."""


def problems(findings: Sequence[Finding], *, here: str = "") -> tuple[str, ...]:
    """Return in words each finding that is broken or could not be checked, the broken ones first.

    Parameters
    ----------
    findings
        In any order.
    here
        Subject of which the whole page speaks, so that it need not be told on every line.

    Notes
    -----
    Every broken limit is a line of its own. Checks that could not be made for one and the same reason share a
    line, which says how many they are, so that a long list does not hide the broken ones.
    """
    findings = [one.model_copy(update={"subject": ""}) if one.subject == here else one for one in findings]
    broken = [finding_words(one) for one in findings if one.status == "broken"]
    alike: dict[tuple[str, str, str], list[Finding]] = {}
    for one in dict.fromkeys(one for one in findings if one.status == "unknown"):
        alike.setdefault((one.note, one.force, one.source), []).append(one)
    return (*dict.fromkeys(broken), *(_not_checked(group) for group in alike.values()))


def _not_checked(alike: Sequence[Finding]) -> str:
    first = alike[0]
    if len(alike) == 1:
        return finding_words(first)
    checks = shared_start(tuple(dict.fromkeys(one.check for one in alike)))
    # Names of subjects hold commas of their own.
    subjects = _named(tuple(dict.fromkeys(one.subject for one in alike if one.subject)), between="; ")
    head = f"{checks}, {subjects}" if subjects else checks
    return f"NOT CHECKED ({len(alike)} times): {head}: {first.note} ({first.force}: {first.source})"


def shared_start(checks: Sequence[str]) -> str:
    """Return the checks with the words that all begin with told once: ``air for closed hives of BA, SA``."""
    words = [check.split() for check in checks]
    shared = 0
    while all(len(one) > shared + 1 and one[shared] == words[0][shared] for one in words):
        shared += 1
    if len(checks) == 1 or shared < 2:
        return _named(checks)
    return " ".join([*words[0][:shared], _named([" ".join(one[shared:]) for one in words])])


def _named(names: Sequence[str], *, between: str = ", ") -> str:
    told = between.join(names[:MOST_NAMED])
    return told if len(names) <= MOST_NAMED else f"{told} and {len(names) - MOST_NAMED} more"
