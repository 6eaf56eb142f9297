"""Strength against a contract's line: for each group a histogram of its hives, with line, floor and what is counted.

Black on white: hives under the floor are crossed, the others hatched; lines and marks differ in shape and are named.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from routing.errors import OperationError
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.faults import Fault, with_nearest
from routing.inputs.operation import Operation
from routing.sheets.chart import FONT, LINE, SOLID, text, words
from routing.sheets.hatching import hatched
from routing.sheets.strength_report import first_night
from routing.sheets.words import counted, printable
from routing.strength.coverage import coverage_factor
from routing.strength.hives import hives_expected
from routing.strength.inspection import latest_inspection
from routing.strength.on_date import strength_for
from routing.strength.passing import pass_chance

WIDTH, LEFT, RIGHT, TOP, HIGH, FOOT = 900.0, 232.0, 30.0, 92.0, 96.0, 92.0
BARS = 62.0
"""Height of the highest bar."""
OVER, UNDER = 2, 4
"""Hatchings of hives over and under the floor (``hatching``)."""


@dataclass(frozen=True)
class _Row:
    group: str
    hives: int
    frames: tuple[float, ...]
    mean: float
    counted: float
    opened: int
    chance: float | None


@dataclass(frozen=True)
class _Scale:
    """Frames laid on the paper."""

    least: float
    most: float
    step: float
    tallest: int

    def x(self, frames: float) -> float:
        share = (frames - self.least) / (self.most - self.least)
        return LEFT + min(max(share, 0.0), 1.0) * (WIDTH - LEFT - RIGHT)


def strength_figure(operation: Operation, contract_name: str) -> str:
    """Return the strength of every group against a contract's line, as SVG.

    Parameters
    ----------
    operation
        Any operation.
    contract_name
        One of its contracts.

    Returns
    -------
    str
        A histogram a group that may travel, the strongest first, of its hives as those opened tell, led to the
        contract's first night as far as the plan counts on growth; the average asked, the floor, the mean
        expected and the frames counted on; and the chance to pass the contract's inspection.

    Raises
    ------
    OperationError
        If there is no such contract.
    """
    contract = next((one for one in operation.contracts if one.name == contract_name), None)
    if contract is None:
        found = f"no contract called '{contract_name}'" if contract_name else "no contract"
        allowed = with_nearest("the name of a contract", contract_name, [one.name for one in operation.contracts])
        raise OperationError((Fault(file=operation.name, path="contract", found=found, allowed=allowed),))
    rows = sorted(_rows(operation, contract), key=lambda row: (-row.counted, row.group))
    scale = _scale(rows, contract)
    bottom = TOP + HIGH * max(1, len(rows))
    height = bottom + FOOT
    parts = [*_head(operation, contract), *_lines(contract, scale, bottom)]
    for at, row in enumerate(rows):
        parts += _row(row, contract, scale, at)
    parts += [*_axis(scale, bottom), *_legend(bottom + 52)]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {height:g}" width="{WIDTH:g}" height="{height:g}" '
        f'role="img" font-family="{FONT}"><title>{words(f"Strength of the groups against {contract.name}")}</title>'
        f'<rect x="0.5" y="0.5" width="{WIDTH - 1:g}" height="{height - 1:g}" fill="white" stroke="black"/>'
        f"{''.join(parts)}</svg>"
    )


def _rows(operation: Operation, contract: Contract) -> Iterator[_Row]:
    night = first_night(operation, contract)
    share = constant(operation, "growth_counted_share")
    for group in operation.hive_groups:
        if not group.may_travel:
            continue
        day = night or group.inspected_on
        seen = latest_inspection(operation, group, day)
        factor = coverage_factor(seen.coverage, contract.frame_coverage)
        frames = tuple(factor * one for one in hives_expected(operation, group, day, growth_share=share))
        strength = strength_for(operation, group, contract, day)
        chance = None
        if night is not None and frames:
            chance = pass_chance(operation, contract, {group.name: min(seen.hives, contract.colonies)}, day).chance
        yield _Row(group.name, seen.hives, frames, strength.mean_frames, strength.counted_frames, seen.inspected, chance)


def _scale(rows: Sequence[_Row], contract: Contract) -> _Scale:
    frames = [one for row in rows for one in row.frames]
    shown = [*frames, *(row.mean for row in rows if row.frames), contract.min_average_frames, contract.min_colony_frames]
    step = 1.0 if all(abs(one - round(one)) < 1e-9 for one in frames) else 0.5
    tallest = max((max(_bins(row, step).values()) for row in rows if row.frames), default=1)
    return _Scale(float(int(max(0.0, min(shown) - 1.0))), float(int(max(shown) + 2.0)), step, tallest)


def _bins(row: _Row, step: float) -> Counter[int]:
    return Counter(int(one / step + 0.5) for one in row.frames)


def _head(operation: Operation, contract: Contract) -> Iterator[str]:
    night = first_night(operation, contract)
    when = f"the night of {night}" if night else "the day of each inspection: the first night in is not told"
    yield text(14, 28, f"{contract.name}: strength of the groups", size=17, style='font-weight="bold"')
    growth = constant(operation, "growth_counted_share")
    told = f"On {when}; {growth:.0%} of the growth expected is counted on. Hives not opened are shown as those opened tell."
    yield text(14, 48, told, size=12)


def _lines(contract: Contract, scale: _Scale, bottom: float) -> Iterator[str]:
    average, floor = scale.x(contract.min_average_frames), scale.x(contract.min_colony_frames)
    if contract.min_average_frames > 0.0:
        yield f'<path d="M{average:.1f} {TOP - 8:g} V{bottom:g}" {LINE} stroke-width="2.5"/>'
        yield text(average + 4, TOP - 10, f"average asked {contract.min_average_frames:g}", size=12)
    if contract.min_colony_frames > 0.0:
        yield f'<path d="M{floor:.1f} {TOP - 8:g} V{bottom:g}" {LINE} stroke-width="1.5" stroke-dasharray="6 4"/>'
        yield text(floor - 4, TOP - 10, f"floor {contract.min_colony_frames:g}", size=12, style='text-anchor="end"')


def _row(row: _Row, contract: Contract, scale: _Scale, at: int) -> Iterator[str]:
    base = TOP + HIGH * (at + 1) - 12
    yield f'<path d="M14 {base:g} H{WIDTH - RIGHT:g}" {LINE} stroke-width="0.8"/>'
    yield text(14, base - 58, printable(row.group), size=14, style='font-weight="bold"')
    yield text(14, base - 41, f"{counted(row.hives, 'hive')}, {row.opened} opened", size=12)
    if not row.frames:
        yield text(14, base - 25, "no frames of bees written down", size=12)
        return
    yield text(14, base - 25, f"counted on {row.counted:.1f}, mean {row.mean:.1f}", size=12)
    yield text(14, base - 9, _chance_words(row.chance), size=12)
    wide = (scale.x(scale.least + scale.step) - LEFT) * 0.86
    for bin_, hives in sorted(_bins(row, scale.step).items()):
        yield from _bar(bin_ * scale.step, hives, contract, scale, base=base, wide=wide)
    yield f'<circle cx="{scale.x(row.mean):.1f}" cy="{base:g}" r="5" fill="white" stroke="black" stroke-width="1.5"/>'
    x = scale.x(row.counted)
    yield f'<path d="M{x:.1f} {base - 1:g} l-6 11 h12 z" {SOLID}/>'


def _bar(frames: float, hives: int, contract: Contract, scale: _Scale, *, base: float, wide: float) -> Iterator[str]:
    high = BARS * hives / scale.tallest
    kind = UNDER if frames < contract.min_colony_frames - 1e-9 else OVER
    x = scale.x(frames)
    yield hatched(x - wide / 2, base - high, width=wide, height=high, kind=kind)
    yield text(x, base - high - 3, str(hives), size=11, style='text-anchor="middle"')


def _chance_words(chance: float | None) -> str:
    if chance is None:
        return "chance to pass not told"
    shown = ">99" if 0.99 < chance < 1.0 else "<1" if 0.0 < chance < 0.01 else f"{100 * chance:.0f}"
    return f"chance to pass {shown} %"


def _axis(scale: _Scale, y: float) -> Iterator[str]:
    for frames in range(int(scale.least), int(scale.most) + 1):
        x = scale.x(frames)
        yield f'<path d="M{x:.1f} {y:g} v5" {LINE}/>'
        yield text(x, y + 18, str(frames), size=12, style='text-anchor="middle"')
    yield text(LEFT, y + 34, "frames of bees, each hive", size=12)


def _legend(y: float) -> Iterator[str]:
    x = 14.0
    for kind, label, wide in ((OVER, "hives at or over the floor", 190.0), (UNDER, "hives under the floor", 166.0)):
        yield hatched(x, y, width=22, height=14, kind=kind)
        yield text(x + 28, y + 12, label, size=12)
        x += wide
    yield f'<circle cx="{x + 6:g}" cy="{y + 7:g}" r="5" fill="white" stroke="black" stroke-width="1.5"/>'
    yield text(x + 18, y + 12, "mean expected, with growth", size=12)
    x += 206
    yield f'<path d="M{x + 6:g} {y + 1:g} l-6 11 h12 z" {SOLID}/>'
    yield text(x + 18, y + 12, "frames counted on: lower bound of the average", size=12)
