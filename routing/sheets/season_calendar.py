"""The season on one sheet: a row for each contract and yard; bloom as bands, windows, moves and hives in place.

Black on white: a band's certain part is hatched, its uncertain ends are open; shape and number carry the rest.
"""

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from routing.plan_record import Plan
from routing.season.assignment import Season
from routing.sheets.chart import FONT, LINE, SOLID, words
from routing.sheets.hatching import hatched
from routing.sheets.season_rows import Bloom, Move, Row, plan_rows, season_rows
from routing.sheets.words import printable

WIDTH, LEFT, RIGHT, TOP, HIGH = 1120.0, 226.0, 24.0, 76.0, 58.0
FOOT = 76.0
DAYS_ASIDE = 5
STANDING_KIND, BLOOM_KIND = 2, 5
"""Hatchings of hives in place and of bloom (``hatching``)."""


@dataclass(frozen=True)
class _Paper:
    """Days laid on the paper."""

    first: dt.date
    last: dt.date

    def x(self, day: float) -> float:
        """Return where a day number falls, held to the paper."""
        share = (day - self.first.toordinal()) / max((self.last - self.first).days, 1)
        return LEFT + min(max(share, 0.0), 1.0) * (WIDTH - LEFT - RIGHT)

    def at(self, day: dt.date) -> float:
        """Return where a date falls."""
        return self.x(float(day.toordinal()))


def season_calendar(plan: Plan) -> str:
    """Return the season calendar of a plan as SVG.

    Parameters
    ----------
    plan
        Any plan.

    Returns
    -------
    str
        One row a contract, by its first night in, and one a yard. Each bloom is a band from 10 % open to 90 % of petals
        fallen, with the span in which 90 of 100 seasons would begin and end it; under it hives in place.
    """
    return _figure(plan_rows(plan), plan.operation.name)


def season_figure(season: Season) -> str:
    """Return the calendar of a season, before any truck-night is planned."""
    return _figure(season_rows(season), season.operation.name)


def _figure(rows: Sequence[Row], name: str) -> str:
    paper = _paper(rows)
    height = TOP + HIGH * max(len(rows), 1) + FOOT
    parts = [*_months(paper, TOP + HIGH * len(rows))]
    for number, row in enumerate(rows):
        parts += _row(paper, row, TOP + HIGH * number)
    parts += _legend(height - FOOT + 26)
    title = f"Season calendar, {name}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {height:g}" width="{WIDTH:g}" height="{height:g}" '
        f'role="img" font-family="{FONT}"><title>{words(title)}</title>'
        f'<rect x="0.5" y="0.5" width="{WIDTH - 1:g}" height="{height - 1:g}" fill="white" stroke="black"/>'
        f'{_text(14, 26, printable(title), size=17, bold=True)}{"".join(parts)}</svg>'
    )


def _paper(rows: Sequence[Row]) -> _Paper:
    days = [move.night for row in rows for move in row.moves]
    for row in rows:
        if row.window:
            days += [row.window.in_from, row.window.late_until]
            days += [one for one in (row.window.out_from, row.window.out_until) if one]
        if row.bloom:
            days += [dt.date.fromordinal(int(row.bloom.open)), dt.date.fromordinal(int(row.bloom.over))]
    aside = dt.timedelta(days=DAYS_ASIDE)
    if not days:
        return _Paper(dt.date(2000, 1, 1), dt.date(2000, 12, 31))
    return _Paper(min(days) - aside, max(days) + aside)


def _text(x: float, y: float, content: str, *, size: float = 12.0, anchor: str = "start", bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" text-anchor="{anchor}"{weight}>{words(content)}</text>'


def _months(paper: _Paper, foot: float) -> Iterator[str]:
    """Yield a line for each Monday, a stronger one for each first of a month, and their names."""
    for number in range((paper.last - paper.first).days + 1):
        day = paper.first + dt.timedelta(days=number)
        x = paper.at(day)
        if day.day == 1 or number == 0:
            yield _text(x + 3, TOP - 22, f"{day:%B}" if day.day < 25 and x < WIDTH - RIGHT - 60 else "", size=13, bold=True)
        if day.day == 1:
            yield f'<path d="M{x:.1f} {TOP - 34:g}V{foot:g}" {LINE} stroke-width="1"/>'
        elif day.weekday() == 0:
            yield f'<path d="M{x:.1f} {TOP - 4:g}V{foot:g}" {LINE} stroke-width="0.4" stroke-dasharray="1 4"/>'
        if day.weekday() == 0:
            yield _text(x, TOP - 7, f"{day.day}", size=10, anchor="middle")


def _row(paper: _Paper, row: Row, top: float) -> Iterator[str]:
    yield f'<path d="M0 {top:g}H{WIDTH:g}" {LINE} stroke-width="0.6"/>'
    yield _text(12, top + 20, _short(row.place, 26), size=13, bold=True)
    told = f"{row.kind}, {row.most} colonies" if row.window else f"yard, room for {row.most}"
    yield _text(12, top + 37, _short(told, 36), size=11)
    if row.window and row.bloom is None:
        yield _text(12, top + 51, "bloom not known", size=10)
    elif row.bloom and not row.bloom.calibrated:
        yield _text(12, top + 51, "bloom not calibrated", size=10)
    if row.bloom:
        yield from _band(paper, row.bloom, top + 5)
    yield from _standing(paper, row, top + HIGH - 4)
    yield from _windows(paper, row, top + 5)
    for move in row.moves:
        yield from _arrow(paper, move, top + HIGH - 4)


def _short(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 3].rstrip() + "..."


def _band(paper: _Paper, bloom: Bloom, top: float) -> Iterator[str]:
    """Yield a bloom: hatched from its most likely first to its most likely last day, brackets where 90 of 100 seasons lie."""
    x, end = paper.x(bloom.open), paper.x(bloom.over)
    yield hatched(x, top, width=max(end - x, 1.0), height=12, kind=BLOOM_KIND)
    for (low, high), y in ((bloom.open_span, top + 3), (bloom.over_span, top + 9)):
        a, b = paper.x(low), paper.x(high)
        yield f'<path d="M{a:.1f} {y - 3:g}v6M{a:.1f} {y:g}H{b:.1f}M{b:.1f} {y - 3:g}v6" {LINE} stroke-width="1.4"/>'


def _windows(paper: _Paper, row: Row, top: float) -> Iterator[str]:
    """Yield the windows: a bar under the band, thick for nights on time, thin for late ones; the way out is a double bar."""
    if row.window is None:
        return
    y, window = top + 17, row.window
    a, b, late = paper.at(window.in_from), paper.at(window.in_until), paper.at(window.late_until)
    yield f'<path d="M{a:.1f} {y:g}H{max(b, a + 2):.1f}" {LINE} stroke-width="5"/>'
    if late > b:
        yield f'<path d="M{b:.1f} {y:g}H{late:.1f}" {LINE} stroke-width="1.5" stroke-dasharray="3 2"/>'
    if window.out_from and window.out_until:
        a, b = paper.at(window.out_from), paper.at(window.out_until)
        yield f'<rect x="{a:.1f}" y="{y - 2.5:g}" width="{max(b - a, 2):.1f}" height="5" fill="white" stroke="black"/>'


def _standing(paper: _Paper, row: Row, foot: float) -> Iterator[str]:
    """Yield hives in place, as high as their share of what is promised or of the room."""
    total, since = row.first, paper.first
    most = max(row.most, row.first, _highest(row), 1)
    steps: list[tuple[dt.date, int]] = []
    for move in row.moves:
        steps.append((move.night, move.hives))
    for night, change in (*steps, (paper.last, 0)):
        if total > 0 and night > since:
            tall = (24.0 if row.window else 38.0) * total / most
            x = paper.at(since)
            yield hatched(x, foot - tall, width=paper.at(night) - x, height=tall, kind=STANDING_KIND)
            if paper.at(night) - x > 26:
                yield _on_white((x + paper.at(night)) / 2, foot - 3, f"{total}")
        total, since = total + change, night
    yield f'<path d="M{LEFT:g} {foot:g}H{WIDTH - RIGHT:g}" {LINE} stroke-width="0.8"/>'


def _highest(row: Row) -> int:
    total = most = row.first
    for move in row.moves:
        total += move.hives
        most = max(most, total)
    return most


def _on_white(x: float, y: float, content: str) -> str:
    wide = 7.0 * len(content) + 3
    return f'<rect x="{x - wide / 2:.1f}" y="{y - 10:.1f}" width="{wide:.1f}" height="12" fill="white"/>' + _text(
        x, y, content, size=11, anchor="middle"
    )


def _arrow(paper: _Paper, move: Move, foot: float) -> Iterator[str]:
    """Yield a filled head that points down where hives come, an open one that points up where they leave."""
    x, comes = paper.at(move.night), move.hives > 0
    tip, way = (foot - 2, -9) if comes else (foot - 11, 9)
    style = SOLID if comes else 'fill="white" stroke="black"'
    yield f'<path d="M{x:.1f} {tip:g}l-4.5 {way:g}h9z" {style}/>'


def _legend(y: float) -> Iterator[str]:
    yield hatched(14, y - 10, width=36, height=12, kind=BLOOM_KIND)
    yield _text(56, y, "bloom, 10 % open to 90 % of petals fallen")
    yield f'<path d="M322 {y - 7:g}v6M322 {y - 4:g}H346M346 {y - 7:g}v6" {LINE} stroke-width="1.4"/>'
    yield _text(353, y, "where 90 of 100 seasons begin or end it")
    yield f'<path d="M604 {y - 4:g}H634" {LINE} stroke-width="5"/>'
    yield f'<path d="M634 {y - 4:g}H652" {LINE} stroke-width="1.5" stroke-dasharray="3 2"/>'
    yield _text(659, y, "nights in on time, late")
    yield f'<rect x="808" y="{y - 6.5:g}" width="30" height="5" fill="white" stroke="black"/>'
    yield _text(845, y, "nights out")
    yield hatched(14, y + 16, width=36, height=16, kind=STANDING_KIND)
    yield _text(56, y + 29, "hives in place; full height: all colonies promised, or a full yard")
    yield f'<path d="M480 {y + 30:g}l-4.5 -9h9z" {SOLID}/>' + _text(492, y + 29, "hives come")
    yield f'<path d="M574 {y + 20:g}l-4.5 9h9z" fill="white" stroke="black"/>' + _text(586, y + 29, "hives leave")
    yield _text(680, y + 29, "numbers on the scale are Mondays; a night is the date of its evening")
