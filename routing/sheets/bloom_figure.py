"""One contract's bloom as a figure: chill so far and to come, heat with its spread, every stage with its band.

Black on white: seen is solid, to come is dashed; a band is hatched; shape and number carry the meaning.
"""

import datetime as dt
import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from routing.bloom.curves import BloomCurves, bloom_curves
from routing.bloom.forecast import KIND_WORDS, BloomForecast, StageDay
from routing.bloom.predict import bloom_forecast
from routing.bloom.window import ContractWindow, contract_window
from routing.errors import OperationError
from routing.inputs.operation import Operation
from routing.inputs.phenology import Weather
from routing.sheets.chart import FONT, LINE, words
from routing.sheets.hatching import hatched
from routing.sheets.words import printable

WIDTH, LEFT, RIGHT = 820.0, 132.0, 132.0
HIGH, GAP, ROW, TOP = 128.0, 46.0, 19.0, 108.0
BEYOND = 1.645
"""Standard errors to each side that hold 90 of 100 years."""
ASIDE_DAYS = 6
STEPS = (1, 2, 5)
WRAP, LINES = 138, 3
"""Letters of a line under the title, and lines."""


@dataclass(frozen=True)
class _Axis:
    """Day numbers laid from left to right."""

    first: float
    last: float

    def x(self, day: float) -> float:
        """Return where a day number falls, held to the paper."""
        share = (day - self.first) / max(self.last - self.first, 1.0)
        return LEFT + min(max(share, 0.0), 1.0) * (WIDTH - LEFT - RIGHT)


def bloom_figure(operation: Operation, contract_name: str, weather: Sequence[Weather] | None = None) -> str:
    """Return the figure of one contract's bloom as SVG.

    Parameters
    ----------
    operation
        Holds the contract.
    contract_name
        Name of a contract.
    weather
        Rows that take the place of the operation's own; None: its own.

    Returns
    -------
    str
        With weather three panels (chill, heat, stages), without it the stages alone.

    Raises
    ------
    KeyError
        If there is no contract of that name.
    OperationError
        If nothing at all is known of its bloom.
    """
    if weather is not None:
        operation = operation.model_copy(update={"weather": tuple(weather)})
    contract = next((one for one in operation.contracts if one.name == contract_name), None)
    if contract is None:
        raise KeyError(contract_name)
    forecast, curves = bloom_forecast(operation, contract), bloom_curves(operation, contract)
    parts, top = [], TOP
    if curves is not None:
        axis = _Axis(float(curves.start.toordinal()), forecast.stages[-1].middle + 2 * ASIDE_DAYS)
        parts += [*_chill(curves, axis, top), *_heat(curves, axis, top + HIGH + GAP, forecast)]
        top += 2 * (HIGH + GAP)
    parts += _stages(forecast, _window(operation, contract_name), top)
    foot = top + ROW * (len(forecast.stages) + 2) + 44.0
    parts += _legend(foot, curves=curves is not None)
    height = foot + (34.0 if curves is not None else 18.0)
    return _svg(parts, f"Bloom of {contract.name}, {forecast.crop}", forecast, height)


def _svg(parts: Sequence[str], title: str, forecast: BloomForecast, height: float) -> str:
    said = forecast.kind in ("fitted", "own sums")
    under = f"Rests on {'' if said else KIND_WORDS[forecast.kind] + ': '}{forecast.basis.removeprefix('dates: ')}."
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {height:g}" width="{WIDTH:g}" height="{height:g}" '
        f'role="img" font-family="{FONT}"><title>{words(title)}</title>'
        f'<rect x="0.5" y="0.5" width="{WIDTH - 1:g}" height="{height - 1:g}" fill="white" stroke="black"/>'
        f"{_text(14, 26, title, size=17, bold=True)}"
        f"{''.join(_text(14, 44 + 14 * number, line, size=11) for number, line in enumerate(_wrapped(under)))}"
        f"{''.join(parts)}</svg>"
    )


def _wrapped(content: str) -> list[str]:
    """Return a text in a few lines, cut short where it is longer."""
    return textwrap.wrap(printable(content), WRAP, max_lines=LINES, placeholder=" ...")


def _text(x: float, y: float, content: str, *, size: float = 12.0, anchor: str = "start", bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" text-anchor="{anchor}"{weight}>{words(content)}</text>'


def _chill(curves: BloomCurves, axis: _Axis, top: float) -> Iterator[str]:
    yield _text(LEFT, top - 6, "Chill, portions of the Dynamic Model", bold=True)
    yield from _panel(curves, axis, top, values=curves.portions, spread=None, needed=curves.portions_needed, word="chill needed")


def _heat(curves: BloomCurves, axis: _Axis, top: float, forecast: BloomForecast) -> Iterator[str]:
    unit = curves.heat_unit[0].upper() + curves.heat_unit[1:]
    yield _text(LEFT, top - 6, unit, bold=True)
    word = f"{curves.percent:g} % bloom"
    yield from _panel(curves, axis, top, values=curves.heat, spread=curves.heat_sd, needed=curves.heat_needed, word=word)
    if curves.heat_needed is None:
        yield _text(LEFT + 6, top + 16, f"no heat sum to bloom is known for {forecast.crop}", size=11)


def _panel(
    curves: BloomCurves, axis: _Axis, top: float, *, values: NDArray[np.float64], spread: NDArray[np.float64] | None,
    needed: float | None, word: str,
) -> Iterator[str]:  # fmt: skip
    days = [day for day in range(len(values)) if curves.start.toordinal() + day <= axis.last]
    most = max(float(values[days[-1]]), needed or 0.0, 1.0) * 1.08
    places = [(axis.x(curves.start.toordinal() + day), top + HIGH * (1.0 - float(values[day]) / most)) for day in days]
    yield from _frame(axis, top, most)
    if spread is not None:
        yield _band([(x, float(values[day]), float(spread[day])) for (x, _), day in zip(places, days, strict=True)], top, most)
    seen = curves.seen_days
    if seen > 1:
        yield _line(places[:seen], 'stroke-width="2"')
    if seen < len(places):
        yield _line(places[max(seen - 1, 0) :], 'stroke-width="1.4" stroke-dasharray="5 3"')
    if seen:
        x = axis.x(curves.start.toordinal() + seen - 1)
        yield f'<path d="M{x:.1f} {top:.1f}v{HIGH:g}" {LINE} stroke-width="0.8" stroke-dasharray="1 3"/>'
        as_of = curves.start + dt.timedelta(days=seen - 1)
        side, anchor = (-3, "end") if x > WIDTH - RIGHT - 90 else (3, "start")
        yield _text(x + side, top + 11, f"seen to {as_of:%b} {as_of.day}", size=10, anchor=anchor)
    if needed is not None:
        y = top + HIGH * (1.0 - needed / most)
        yield f'<path d="M{LEFT:g} {y:.1f}H{WIDTH - RIGHT:g}" {LINE} stroke-width="1" stroke-dasharray="8 3 2 3"/>'
        yield _text(WIDTH - RIGHT + 5, y + 4, f"{word}: {needed:.0f}", size=11)


def _band(points: Sequence[tuple[float, float, float]], top: float, most: float) -> str:
    """Return the band of 90 of 100 years: thin upright strokes between its two edges."""
    strokes = []
    for x, value, sd in points[::3]:
        high, low = min(value + BEYOND * sd, most), max(value - BEYOND * sd, 0.0)
        if high - low > most * 0.004:
            strokes.append(f"M{x:.1f} {top + HIGH * (1 - high / most):.1f}V{top + HIGH * (1 - low / most):.1f}")
    return f'<path d="{"".join(strokes)}" {LINE} stroke-width="0.5"/>'


def _line(places: Sequence[tuple[float, float]], style: str) -> str:
    path = "L".join(f"{x:.1f} {y:.1f}" for x, y in places)
    return f'<path d="M{path}" {LINE} {style}/>'


def _frame(axis: _Axis, top: float, most: float) -> Iterator[str]:
    yield f'<rect x="{LEFT:g}" y="{top:.1f}" width="{WIDTH - LEFT - RIGHT:g}" height="{HIGH:g}" {LINE}/>'
    step = _round_step(most)
    number = step
    while number < most:
        y = top + HIGH * (1.0 - number / most)
        yield f'<path d="M{LEFT - 4:g} {y:.1f}h4" {LINE}/>' + _text(LEFT - 8, y + 4, f"{number:,.0f}", size=10, anchor="end")
        number += step
    yield from _dates(axis, top, HIGH)


def _round_step(most: float) -> float:
    power = 10.0 ** np.floor(np.log10(most / 4.0))
    return float(next(power * step for step in (*STEPS, 10) if power * step >= most / 4.0))


def _dates(axis: _Axis, top: float, high: float, *, weeks: bool = False) -> Iterator[str]:
    """Yield a mark for each first of a month with its name; with ``weeks`` each Monday has its day too."""
    for number in range(round(axis.first), round(axis.last) + 1):
        day = dt.date.fromordinal(number)
        x = axis.x(number)
        if day.day == 1:
            yield f'<path d="M{x:.1f} {top:.1f}v{high + 5:g}" {LINE} stroke-width="0.4"/>'
        if day.day == 1 and not weeks:
            yield _text(x + 2, top + high + 13, f"{day:%b}", size=10)
        if weeks and day.weekday() == 0:
            yield f'<path d="M{x:.1f} {top + high:.1f}v5" {LINE}/>'
            yield _text(x, top + high + 16, f"{day:%b} {day.day}", size=10, anchor="middle")


def _stages(forecast: BloomForecast, window: ContractWindow | None, top: float) -> Iterator[str]:
    stages = forecast.stages
    first = min(one.middle - BEYOND * one.sd_days for one in stages) - ASIDE_DAYS
    last = max(one.middle + BEYOND * one.sd_days for one in stages) + ASIDE_DAYS
    if window is not None:
        ends = [window.in_from, window.out_until or window.late_until]
        first, last = min(first, ends[0].toordinal() - 1.0), max(last, ends[1].toordinal() + 2.0)
    axis, high = _Axis(first, last), ROW * (len(stages) + 2) + 8
    yield _text(LEFT, top - 6, "Stages: day, and the days that hold half and 9 in 10 of all years", bold=True)
    yield f'<rect x="{LEFT:g}" y="{top:.1f}" width="{WIDTH - LEFT - RIGHT:g}" height="{high:.1f}" {LINE}/>'
    yield from _dates(axis, top, high, weeks=True)
    if any(one.kill_10_f is not None for one in stages):
        yield _text(WIDTH - RIGHT + 60, top - 6, "kills 10 / 90 %", size=10)
    for number, stage in enumerate(stages):
        yield from _stage(stage, axis, top + ROW * (number + 0.75))
    yield from _moves(window, axis, top + ROW * (len(stages) + 0.4))


def _stage(stage: StageDay, axis: _Axis, y: float) -> Iterator[str]:
    early, earlier, _, later, late = (axis.x(float(day.toordinal())) for day in stage.days)
    x = axis.x(float(stage.day.toordinal()))
    yield _text(LEFT - 8, y + 4, stage.stage, size=11, anchor="end")
    if stage.seen:
        yield f'<circle cx="{x:.1f}" cy="{y:.1f}" r="5" fill="black"/>'
    else:
        yield f'<path d="M{early:.1f} {y:.1f}H{late:.1f}M{early:.1f} {y - 4:.1f}v8M{late:.1f} {y - 4:.1f}v8" {LINE}/>'
        yield hatched(earlier, y - 5, width=max(later - earlier, 2.0), height=10, kind=2)
        yield f'<path d="M{x:.1f} {y - 7:.1f}v14" {LINE} stroke-width="2.4"/>'
    yield _text(WIDTH - RIGHT + 5, y + 4, f"{stage.day:%b} {stage.day.day}", size=11)
    if stage.kill_10_f is not None:
        yield _text(WIDTH - RIGHT + 60, y + 4, f"{stage.kill_10_f:g} / {stage.kill_90_f:g} F", size=10)


def _moves(window: ContractWindow | None, axis: _Axis, y: float) -> Iterator[str]:
    """Yield the nights in and out as bars, with their word in them or beside them."""
    if window is None:
        return
    yield _text(LEFT - 8, y + 12, "hives in, out", size=11, anchor="end")
    spans = [("in", window.in_from, window.in_until)]
    if window.out_from is not None and window.out_until is not None:
        spans.append(("out", window.out_from, window.out_until))
    for word, start, end in spans:
        x, x2 = axis.x(float(start.toordinal())), axis.x(float(end.toordinal()) + 1.0)
        size = f'x="{x:.1f}" y="{y:.1f}" width="{max(x2 - x, 3):.1f}" height="16"'
        yield f'<rect {size} fill="white" stroke="black" stroke-width="2"/>'
        yield _text((x + x2) / 2, y + 12, word, size=11, anchor="middle", bold=True)


def _legend(y: float, *, curves: bool) -> Iterator[str]:
    yield f'<circle cx="{LEFT + 6:g}" cy="{y - 4:.1f}" r="5" fill="black"/>' + _text(LEFT + 18, y, "seen", size=11)
    x = LEFT + 66
    yield f'<path d="M{x:g} {y - 4:.1f}h60M{x:g} {y - 8:.1f}v8M{x + 60:g} {y - 8:.1f}v8" {LINE}/>'
    yield hatched(x + 16, y - 9, width=28, height=10, kind=2)
    yield f'<path d="M{x + 30:g} {y - 11:.1f}v14" {LINE} stroke-width="2.4"/>'
    yield _text(x + 68, y, "likeliest day; half of all years; 9 in 10", size=11)
    if curves:
        yield _text(LEFT, y + 18, "Solid curve: seen. Dashed: usual days to come. Strokes about it: 9 years in 10.", size=11)


def _window(operation: Operation, contract_name: str) -> ContractWindow | None:
    contract = next(one for one in operation.contracts if one.name == contract_name)
    try:
        return contract_window(operation, contract)
    except OperationError:
        return None
