"""How a plan gets better: its cost coming down, what no plan can beat coming up, drawn as they meet.

Black on white; the cost is a full line, the bound a dashed one, and each says its name.
"""

from collections.abc import Sequence

from api.pages.say import say
from api.store.operation import ProgressPoint
from routing.sheets.chart import LINE, text, words
from routing.sheets.summary import usd

WIDTH, HEIGHT = 620.0, 230.0
LEFT, RIGHT, TOP, BOTTOM = 14.0, 118.0, 18.0, 30.0

Step = tuple[float, float]
"""Seconds and dollars."""


def curve_svg(points: Sequence[ProgressPoint], *, until_s: float) -> str:
    """Return the curve of a job as SVG; empty until there is a cost.

    Parameters
    ----------
    points
        In order of time.
    until_s
        Right end of the figure. [s]
    """
    costs = [(one.elapsed_s, one.cost_usd) for one in points if one.cost_usd is not None]
    bounds = [(one.elapsed_s, one.lower_bound_usd) for one in points if one.lower_bound_usd]
    if not costs:
        return ""
    end_s = max(until_s, costs[-1][0], 1.0)
    highest, lowest = max(usd_ for _, usd_ in costs), min(usd_ for _, usd_ in [*costs, *bounds])
    # Room below the lowest figure, so that the two lines never lie on the axis.
    floor = max(0.0, lowest - 0.15 * max(highest - lowest, 0.02 * highest, 1.0))
    scale = (WIDTH - LEFT - RIGHT) / end_s, (HEIGHT - TOP - BOTTOM) / max(highest - floor, 1.0)

    def at(step: Step) -> Step:
        return LEFT + step[0] * scale[0], HEIGHT - BOTTOM - (step[1] - floor) * scale[1]

    ends = _ends(at((end_s, costs[-1][1]))[1], at((end_s, bounds[-1][1]))[1] if bounds else None)
    parts = [
        f'<path d="M{LEFT:g} {HEIGHT - BOTTOM:g}H{WIDTH - RIGHT:g}" {LINE} stroke-width="1"/>',
        _stair([at(one) for one in costs], WIDTH - RIGHT, style='stroke-width="3"'),
        _told(ends[0], say("curve.cost"), usd(costs[-1][1])),
        text(LEFT, HEIGHT - 10, "0 s", size=12),
        text(WIDTH - RIGHT, HEIGHT - 10, say("curve.seconds", n=f"{end_s:.0f}"), size=12, style='text-anchor="end"'),
    ]
    if bounds and ends[1] is not None:
        parts += [
            _stair([at(one) for one in bounds], WIDTH - RIGHT, style='stroke-width="2" stroke-dasharray="7 4"'),
            _told(ends[1], say("curve.bound"), usd(bounds[-1][1])),
        ]
    title = words(say("curve.title"))
    box = f'viewBox="0 0 {WIDTH:g} {HEIGHT:g}" width="{WIDTH:g}" height="{HEIGHT:g}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {box} role="img"><title>{title}</title>{"".join(parts)}</svg>'


def _ends(cost_y: float, bound_y: float | None) -> tuple[float, float | None]:
    """Return where the two names stand, moved apart where they would meet; the cost is never the lower figure."""
    if bound_y is None or bound_y - cost_y >= 36:
        return cost_y, bound_y
    middle = min(max((cost_y + bound_y) / 2, TOP + 18), HEIGHT - BOTTOM - 30)
    return middle - 18, middle + 18


def _stair(steps: Sequence[Step], end_x: float, *, style: str) -> str:
    way = f"M{steps[0][0]:.1f} {steps[0][1]:.1f}" + "".join(f"H{x:.1f}V{y:.1f}" for x, y in steps[1:])
    return f'<path d="{way}H{end_x:.1f}" {LINE} {style}/>'


def _told(y: float, name: str, figure: str) -> str:
    x = WIDTH - RIGHT + 8
    return text(x, y, name, size=12) + text(x, y + 15, figure, size=14, style='font-weight="bold"')
