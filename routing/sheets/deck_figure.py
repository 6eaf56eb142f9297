"""The deck plan as a figure: from above, from the driver's side, and the axle groups against their limits.

Black on white. Each unit bears its label and, in brackets, the order in which it comes off; the same order
has the same hatching. The front of the deck is to the left, so the driver's left side is below. A deck longer
than 25 ft is cut into strips, the front one on top; strips at the rear on which nothing stands are left out.
"""

from collections.abc import Sequence
from typing import NamedTuple

from routing.inputs.fleet import Truck
from routing.loads.load import AxleLoad, Load, Placement
from routing.sheets.chart import FONT, LINE, SOLID, text, words
from routing.sheets.hatching import hatched
from routing.sheets.words import amount, feet_and_inches

WIDTH, MARGIN, GAP = 520.0, 20.0, 16.0
STRIP_IN, CUT_WITHIN_IN = 300.0, 60.0
SIDE_HEIGHT = 104.0
BAR_HEIGHT, BAR_STEP = 11.0, 30.0
LEGEND_STEP = 20.0
LEAST_TEXT = 5.0
MIDDLE = 'text-anchor="middle"'


class Strip(NamedTuple):
    """A stretch of the deck on the paper."""

    start_in: float
    end_in: float
    top: float
    """On the paper."""
    scale: float
    """Drawing units to an inch."""

    def x(self, along_in: float) -> float:
        """Return where a distance from the front of the deck falls."""
        return MARGIN + (along_in - self.start_in) * self.scale


def deck_svg(load: Load, truck: Truck) -> str:
    """Return the deck plan of a load as SVG.

    Parameters
    ----------
    load
        With placements and the weights after each stop.
    truck
        Its deck is drawn to scale.

    Returns
    -------
    str
        One ``svg`` element without scripts, ids, colours or outside references.
    """
    strips = _strips(load, truck)
    parts = [part for strip in strips for part in _from_above(load, truck, strip, last=strip is strips[-1])]
    y = strips[-1].top + truck.deck_width_in * strips[-1].scale + 2 * GAP
    below, height = _legend(load, y)
    y += height
    side, side_height = _from_the_side(load, truck, y)
    lower = [*side, *_axle_bars(load, y)]
    height = y + max(side_height + GAP, BAR_STEP * _groups(load)) + GAP / 2
    return _framed(
        [*parts, *below, *lower], height, title=f"Deck plan of {load.truck_night}, load {load.number}"
    )


def _framed(parts: Sequence[str], height: float, *, title: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {height:.0f}" width="{WIDTH:g}" '
        f'height="{height:.0f}" role="img"><title>{words(title)}</title>'
        f'<rect x="0.5" y="0.5" width="{WIDTH - 1:g}" height="{height - 1:.0f}" fill="white" stroke="black"/>'
        f"{''.join(parts)}</svg>"
    )


def _strips(load: Load, truck: Truck) -> list[Strip]:
    """Return the strips of the deck; the cuts fall between units where there is a gap between them."""
    count = -(-int(truck.deck_length_in) // int(STRIP_IN))
    ends = [_cut(load, truck.deck_length_in * (place + 1) / count) for place in range(count - 1)]
    starts = [0.0, *ends]
    ends = [*ends, truck.deck_length_in]
    used = max((unit.front_in + unit.length_in / 2 for unit in load.placements), default=0.0)
    count = 1 + sum(start <= used for start in starts[1:])
    starts, ends = starts[:count], ends[:count]
    longest_in = max(end - start for start, end in zip(starts, ends, strict=True))
    scale = (WIDTH - 2 * MARGIN) / longest_in
    step = truck.deck_width_in * scale + 2 * GAP
    return [
        Strip(start, end, 2 * GAP + place * step, scale)
        for place, (start, end) in enumerate(zip(starts, ends, strict=True))
    ]


def _cut(load: Load, near_in: float) -> float:
    """Return the nearest place to ``near_in`` where no unit is cut, or ``near_in`` when none is near."""
    edges = {unit.front_in for unit in load.placements if abs(unit.front_in - near_in) < CUT_WITHIN_IN} | {
        near_in
    }
    free = [
        edge
        for edge in edges
        if not any(one.front_in + 0.1 < edge < one.front_in + one.length_in - 0.1 for one in load.placements)
    ]
    return min(free, key=lambda edge: (abs(edge - near_in), edge), default=near_in)


def _from_above(load: Load, truck: Truck, strip: Strip, *, last: bool) -> list[str]:
    width, height = (strip.end_in - strip.start_in) * strip.scale, truck.deck_width_in * strip.scale
    box = f'width="{width:.1f}" height="{height:.1f}"'
    cut = last and strip.end_in < truck.deck_length_in
    rear = f"; behind {feet_and_inches(strip.end_in)} the deck is empty" if cut else ""
    parts = [
        f'<rect x="{MARGIN:g}" y="{strip.top:.1f}" {box} {LINE} stroke-width="2"/>',
        text(MARGIN, strip.top - 5, _heading(truck, strip), size=11),
        text(MARGIN, strip.top + height + 12, "driver's (left) side" + rear, size=11),
    ]
    stacks: dict[tuple[float, float], list[Placement]] = {}
    for unit in load.placements:
        if strip.start_in <= unit.front_in + unit.length_in / 2 < strip.end_in:
            stacks.setdefault((unit.front_in, unit.left_in), []).append(unit)
    return parts + [_stack(stack, truck, strip) for stack in stacks.values()]


def _heading(truck: Truck, strip: Strip) -> str:
    if strip.start_in == 0.0:
        return "FRONT, against the headboard" if truck.headboard else "FRONT"
    return f"{feet_and_inches(strip.start_in)} from the front, on to the rear"


def _stack(stack: Sequence[Placement], truck: Truck, strip: Strip) -> str:
    """Return one stack, its layers in bands: the top layer is the top band."""
    bands = sorted(stack, key=lambda unit: (-unit.tier, unit.loaded_at, unit.label))
    first_at = min(unit.loaded_at for unit in stack)
    base = bands[-1]
    y = strip.top + (truck.deck_width_in - base.left_in - base.width_in) * strip.scale
    width, height = base.length_in * strip.scale, base.width_in * strip.scale / len(bands)
    drawn = []
    for place, unit in enumerate(bands):
        later = "+" if unit.loaded_at > first_at else ""
        top = y + place * height
        drawn.append(hatched(strip.x(unit.front_in), top, width=width, height=height, kind=unit.drop_order))
        drawn.append(_name(unit, later, at=(strip.x(unit.front_in), top), room=(width, height)))
    return "".join(drawn)


def _name(unit: Placement, later: str, *, at: tuple[float, float], room: tuple[float, float]) -> str:
    """Return a unit's label and order on a white ground; the label alone where both would be too small."""
    for content in (f"{unit.label}{later} ({unit.drop_order})", f"{unit.label}{later}", unit.lot):
        # A label alone leaves some of the hatching to be seen: there it is the only sign of the order.
        share = 1.0 if "(" in content else 0.75
        size = min(14.0, room[1] * 0.7, share * room[0] / (0.66 * len(content)))
        if size >= LEAST_TEXT + 2 or content == unit.lot:
            break
    size = max(size, LEAST_TEXT)
    x, y = at[0] + room[0] / 2, at[1] + room[1] / 2
    wide, high = 0.62 * size * len(content), size
    box = f'width="{wide:.1f}" height="{high:.1f}"'
    ground = f'<rect x="{x - wide / 2:.1f}" y="{y - high / 2:.1f}" {box} fill="white"/>'
    return ground + _plain_text(x, y + size * 0.36, content, size=size)


def _plain_text(x: float, y: float, content: str, *, size: float) -> str:
    # No rim: the white ground is there, and hundreds of hives would double in size.
    style = f'font-family="{FONT}" font-weight="bold" font-size="{size:.1f}" {MIDDLE} fill="black"'
    return f'<text x="{x:.1f}" y="{y:.1f}" {style}>{words(content)}</text>'


def _legend(load: Load, y: float) -> tuple[list[str], float]:
    """Return what each hatching means, two to a line, and the height it takes."""
    drops: dict[int, str] = {}
    for unit in load.placements:
        drops.setdefault(unit.drop_order, unit.destination)
    parts = []
    for place, (order, destination) in enumerate(sorted(drops.items())):
        x, top = MARGIN + place % 2 * (WIDTH - 2 * MARGIN) / 2, y + place // 2 * LEGEND_STEP
        parts.append(hatched(x, top, width=24, height=13, kind=order))
        where = destination if len(destination) <= 26 else destination[:25] + "."
        parts.append(text(x + 30, top + 11, f"({order}) off {_ordinal(order)}: {where}", size=12))
    lines = -(-len(drops) // 2)
    if any(unit.loaded_at > min(one.loaded_at for one in load.placements) for unit in load.placements):
        parts.append(
            text(MARGIN, y + lines * LEGEND_STEP + 11, "+ loaded on the way, where another came off", size=12)
        )
        lines += 1
    return parts, lines * LEGEND_STEP + GAP


def _ordinal(order: int) -> str:
    return {1: "first", 2: "second", 3: "third"}.get(order, f"{order}th")


def _from_the_side(load: Load, truck: Truck, y: float) -> tuple[list[str], float]:
    """Return the stacks from the driver's side, the road below, the top told above it, and their height."""
    scale = min(
        (WIDTH / 2 - 3 * MARGIN) / truck.deck_length_in, (SIDE_HEIGHT - GAP) / max(load.top_of_load_in, 1.0)
    )
    height = max(load.top_of_load_in, truck.deck_height_in) * scale
    road = y + height
    deck_y = road - truck.deck_height_in * scale
    right = MARGIN + truck.deck_length_in * scale
    parts = [
        f'<path d="M{MARGIN - 6:.1f} {road:.1f}H{right + 6:.1f}" {LINE} stroke-width="1"/>',
        f'<path d="M{MARGIN:.1f} {deck_y:.1f}H{right:.1f}" {LINE} stroke-width="3"/>',
    ]
    bases: dict[tuple[float, float, int], float] = {}
    for unit in sorted(load.placements, key=lambda one: one.tier):
        base = bases.get((unit.front_in, unit.left_in, unit.tier - 1), truck.deck_height_in)
        key = (unit.front_in, unit.left_in, unit.tier)
        bases[key] = max(bases.get(key, 0.0), base + unit.height_in)
        box = (MARGIN + unit.front_in * scale, road - (base + unit.height_in) * scale)
        size = f'width="{unit.length_in * scale:.1f}" height="{unit.height_in * scale:.1f}"'
        parts.append(
            f'<rect x="{box[0]:.1f}" y="{box[1]:.1f}" {size} fill="white" stroke="black" stroke-width="0.7"/>'
        )
    top = f"top {feet_and_inches(load.top_of_load_in)} above the road"
    return [*parts, text(MARGIN, road + 13, f"{top}, front to the left", size=11)], height


def _groups(load: Load) -> int:
    return max((len(state.axles) for state in load.states), default=1)


def _axle_bars(load: Load, y: float) -> list[str]:
    """Return a bar for each axle group: its heaviest moment of the night against its limit."""
    worst: dict[int, tuple[AxleLoad, int]] = {}
    for state in load.states:
        for axle in state.axles:
            if axle.group not in worst or axle.high_lb > worst[axle.group][0].high_lb:
                worst[axle.group] = (axle, state.after_stop)
    if not worst:
        return [text(WIDTH / 2, y + GAP, "Axle weights were not worked out.", size=12)]
    bars = []
    for place, (_, (axle, stop)) in enumerate(sorted(worst.items())):
        bars.append(_bar(axle, stop, y + 8 + place * BAR_STEP))
    return bars


def _bar(axle: AxleLoad, stop: int, y: float) -> str:
    left, room = WIDTH / 2, WIDTH / 2 - 2 * MARGIN
    share = max(0.0, axle.high_lb / axle.limit_lb)
    # The limit stands at 4/5 of the room, so that what is over it shows.
    limit_x, end = left + room * 0.8, left + min(room * 0.8 * share, room)
    over = axle.high_lb - axle.limit_lb
    told = f"{axle.name}: {amount(round(axle.high_lb), '')} of {amount(round(axle.limit_lb), 'lb')}"
    told += f", OVER by {amount(round(over), 'lb')}" if over > 0 else ""
    told += f", after stop {stop}" if stop else ""
    box = f'width="{max(0.5, end - left):.1f}" height="{BAR_HEIGHT:g}"'
    return (
        text(left, y, told, size=11, style='font-weight="bold"' if over > 0 else "")
        + f'<rect x="{left:.1f}" y="{y + 4:.1f}" {box} {SOLID}/>'
        + f'<path d="M{left:.1f} {y + 4 + BAR_HEIGHT / 2:.1f}H{left + room:.1f}" {LINE} stroke-width="1"/>'
        + f'<path d="M{limit_x:.1f} {y + 3:.1f}v{BAR_HEIGHT + 5:g}" {LINE} stroke-width="2.5"/>'
    )
