"""Checks of where units stand: inside the deck, not in each other, under the bridge, each drop within reach.

Everything is worked out from the placements alone; the deck plan's search is not asked.
"""

from collections.abc import Sequence

from routing.finding import Finding, at_most
from routing.inputs.fleet import Truck
from routing.limits import limit
from routing.loads.load import Load, Placement
from routing.loads.order import lifted_twice, overlap_across, overlap_along, ride

DECK_SOURCE = "deck in the table of trucks"
STATES_HEIGHT = "height over the road, States' limit"
REACH_SOURCE = "common practice, no source: what comes off first must not stand behind or under what stays"


def placing(load: Load, truck: Truck) -> tuple[Finding, ...]:
    """Return every finding on positions, heights and the order of drops."""
    subject = f"{load.truck_night}, load {load.number}"
    return (
        *_inside(load, truck, subject),
        _apart(load, subject),
        _standing(load, subject),
        *_heights(load, truck, subject),
        _reach(load, truck, subject),
    )


def top_in(units: Sequence[Placement], truck: Truck) -> float:
    """Return the highest point of a load above the road; the deck itself when nothing rides. [in]"""
    tops: dict[str, float] = {}
    for unit in sorted(units, key=lambda one: one.tier):
        below = [tops[other.label] for other in stood_on(unit, units)]
        tops[unit.label] = unit.height_in + max(below, default=truck.deck_height_in)
    return max(tops.values(), default=truck.deck_height_in)


def stood_on(unit: Placement, units: Sequence[Placement]) -> list[Placement]:
    """Return what a unit stands on: units one tier lower that ride along with it."""
    return [
        other
        for other in units
        if other.tier == unit.tier - 1
        and overlap_along(unit, other)
        and overlap_across(unit, other)
        and ride(other).meets(ride(unit))
    ]


def _inside(load: Load, truck: Truck, subject: str) -> list[Finding]:
    ends = [(unit.front_in, unit.front_in + unit.length_in) for unit in load.placements]
    edges = [(unit.left_in, unit.left_in + unit.width_in) for unit in load.placements]
    checks = (
        ("length of the load on the deck", ends, truck.deck_length_in),
        ("width of the load on the deck", edges, truck.deck_width_in),
    )
    found = []
    for check, spans, room_in in checks:
        # What sticks out at the near end is added to what is needed.
        out_in = -min((start for start, _ in spans), default=0.0)
        needed_in = max((end for _, end in spans), default=0.0) + max(0.0, out_in)
        about = {"unit": "in", "force": "own figure", "source": DECK_SOURCE}
        found.append(at_most(check, subject, measured=round(needed_in, 3), limit=room_in, **about))
    legal = limit("vehicle_width_in")
    widest_in = max(truck.deck_width_in, *(found[1].measured or 0.0,))
    about = {"unit": "in", "force": legal.force, "source": legal.source, "note": legal.where}
    found.append(at_most("width of deck and load", subject, measured=widest_in, limit=legal.value, **about))
    return found


def _apart(load: Load, subject: str) -> Finding:
    units = sorted(load.placements, key=lambda one: one.front_in)
    pairs = []
    for place, one in enumerate(units):
        for other in units[place + 1 :]:
            if not overlap_along(one, other):
                break
            if one.tier == other.tier and overlap_across(one, other) and ride(one).meets(ride(other)):
                pairs.append(f"{one.label} and {other.label}")
    about = {
        "unit": "pairs",
        "force": "practice",
        "source": "two things cannot stand in one place",
        "note": _some(pairs),
    }
    return at_most("units that stand in each other", subject, measured=len(pairs), limit=0, **about)


def _standing(load: Load, subject: str) -> Finding:
    floating = []
    for unit in load.placements:
        if unit.tier > 1:
            # One whose support goes first is counted among the units to be lifted twice.
            beneath = [other for other in stood_on(unit, load.placements) if ride(other).carries(ride(unit))]
            if not beneath:
                floating.append(unit.label)
    about = {
        "unit": "units",
        "force": "practice",
        "source": "a stacked unit stands on one that is there when it comes on",
    }
    return at_most(
        "stacked units with nothing under them",
        subject,
        measured=len(floating),
        limit=0,
        note=_some(floating),
        **about,
    )


def _heights(load: Load, truck: Truck, subject: str) -> list[Finding]:
    tiers = max((unit.tier for unit in load.placements), default=0)
    legal = limit("height_in")
    top = round(top_in(load.placements, truck), 3)
    return [
        at_most("layers", subject, measured=tiers, limit=truck.most_tiers, unit="layers", force="own figure",
                source="layers in the table of trucks"),
        at_most("height over the road", subject, measured=top, limit=truck.most_height_in, unit="in",
                force="own figure", source="lowest bridge in the table of trucks; there is no federal limit"),
        at_most(STATES_HEIGHT, subject, measured=top, limit=legal.value, unit="in",
                force=legal.force, source=legal.source, note=legal.where),
    ]  # fmt: skip


def _reach(load: Load, truck: Truck, subject: str) -> Finding:
    twice = lifted_twice(load.placements, truck.unloading)
    about = {"unit": "units", "force": "practice", "source": REACH_SOURCE, "note": _some(twice)}
    return at_most("units to be lifted twice", subject, measured=len(twice), limit=0, **about)


def _some(names: Sequence[str]) -> str:
    """Return the first few names in words."""
    return ", ".join(names[:8]) + (f" and {len(names) - 8} more" if len(names) > 8 else "")
