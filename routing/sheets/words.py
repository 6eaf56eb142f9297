"""Numbers and names as a person reads them on a sheet."""

import re
import unicodedata
from collections.abc import Iterable

from routing.finding import Finding
from routing.units import feet_from_inches

_BIDI_AND_INVISIBLE = {"Cc", "Cf", "Cs", "Co", "Cn"}
BROKEN = "LIMIT BROKEN"
"""How a broken limit begins in words."""
_LABEL = re.compile(r"(.*?)(\d+)\Z", re.DOTALL)


def printable(text: str) -> str:
    """Return ``text`` on one line, without characters that steer a printer, a screen or a file format.

    Control characters, direction overrides and lone surrogates become spaces; runs of spaces become one.
    """
    kept = (" " if unicodedata.category(letter) in _BIDI_AND_INVISIBLE else letter for letter in text)
    return " ".join("".join(kept).split())


def slug(text: str, *, longest: int = 40) -> str:
    """Return a file name part of a-z, 0-9 and dashes; empty when ``text`` has no such letter."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii").lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:longest].strip("-")


def counted(number: int, one: str, many: str = "") -> str:
    """Return for instance ``1 hive`` or ``24 hives``."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def feet_and_inches(length_in: float) -> str:
    """Return a length as read on a tape, to the next inch up: ``12 ft 4 in``. [in]"""
    whole_in = int(-(-round(length_in, 6) // 1))
    feet = int(feet_from_inches(whole_in))
    return f"{feet} ft {whole_in - 12 * feet} in"


def hours_and_minutes(minutes: float) -> str:
    """Return a span as ``2 h 05 min`` or ``45 min``. [min]"""
    whole = round(minutes)
    return f"{whole} min" if whole < 60 else f"{whole // 60} h {whole % 60:02d} min"


def amount(value: float, unit: str) -> str:
    """Return a measured value with its unit, without idle decimals: ``12,300 lb``."""
    rounded = round(value, 2)
    figure = f"{rounded:,.0f}" if rounded == int(rounded) else f"{rounded:,.2f}".rstrip("0")
    return f"{figure} {unit}".strip()


def label_ranges(labels: Iterable[str]) -> str:
    """Return deck labels with runs joined: ``A1 to A6, A8``."""
    runs: list[tuple[str, int, int]] = []
    rest: list[str] = []
    for label in sorted(labels, key=_label_key):
        found = _LABEL.fullmatch(label)
        if not found:
            rest.append(label)
        elif runs and (runs[-1][0], runs[-1][2] + 1) == (found[1], int(found[2])):
            runs[-1] = (runs[-1][0], runs[-1][1], int(found[2]))
        else:
            runs.append((found[1], int(found[2]), int(found[2])))
    words = [
        f"{stem}{first}" if first == last else f"{stem}{first} to {stem}{last}" for stem, first, last in runs
    ]
    return ", ".join(words + rest)


def _label_key(label: str) -> tuple[str, int]:
    found = _LABEL.fullmatch(label)
    return (found[1], int(found[2])) if found else (label, 0)


def finding_words(finding: Finding) -> str:
    """Return one finding in a sentence that does not hide a broken or missing check."""
    head = f"{finding.check}, {finding.subject}" if finding.subject else finding.check
    behind = f"{finding.force}: {finding.source}"
    note = f" {finding.note}" if finding.note else ""
    if finding.status == "unknown":
        return f"NOT CHECKED: {head}{':' if note else ''}{note} ({behind})"
    verdict = "Met" if finding.status == "ok" else BROKEN
    return f"{verdict}: {head}: {_figures(finding)}.{note} ({behind})"


def _figures(finding: Finding) -> str:
    if finding.measured is None or finding.limit is None:
        return "no figures given"
    text = (
        f"{amount(finding.measured, finding.unit)} against a limit of {amount(finding.limit, finding.unit)}"
    )
    if finding.status == "broken" and finding.margin is not None:
        text += f", wrong by {amount(abs(finding.margin), finding.unit)}"
    return text
