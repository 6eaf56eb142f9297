"""Measured ways held against the straight line, and two sources held against each other."""

from dataclasses import replace

from routing.finding import Finding, at_least
from routing.formulas.geodesy import geodesic_miles
from routing.inputs.operation import Operation
from routing.inputs.places import places
from routing.limits import limit
from routing.roads.check import SHORTEST_WAY
from routing.roads.measured import LEAST_OF_STRAIGHT, Measured, Pair, Way

ALIKE_MI = 1.0
"""Two sources may differ by so much on any way: they meet the road at other points."""


def believed(operation: Operation, measured: Measured) -> tuple[Measured, tuple[Finding, ...]]:
    """Return the answer without the ways that cannot be true, and a finding for each of those.

    A way much shorter than the straight line, or quicker than any road allows, is left out. One that is shorter by
    no more than the engine's own measuring on a sphere counts as long as the straight line.
    """
    known = places(operation)
    names = list(known)
    straight = geodesic_miles([(known[name].latitude_deg, known[name].longitude_deg) for name in names])
    number = {name: index for index, name in enumerate(names)}
    kept: dict[Pair, Way] = {}
    found = []
    for pair, way in measured.ways.items():
        direct = straight[number[pair[0]]][number[pair[1]]]
        broken = [one for one in _held(measured, pair, way, direct) if one.status == "broken"]
        found += broken
        if not broken:
            kept[pair] = replace(way, miles=max(way.miles, direct))
    return replace(measured, ways=kept), tuple(found)


def _held(measured: Measured, pair: Pair, way: Way, direct: float) -> tuple[Finding, Finding]:
    subject, fastest = f"{pair[0]} to {pair[1]}", limit("highest_posted_mph")
    note = f"{measured.basis}: not believed, and not used"
    return (
        at_least("measured miles against the straight line", subject, measured=way.miles, limit=direct * LEAST_OF_STRAIGHT,
                 unit="mi", force="standard", source=SHORTEST_WAY, note=note),
        at_least("measured minutes against the fastest road", subject, measured=way.minutes,
                 limit=60.0 * way.miles / fastest.value, unit="min", force=fastest.force, source=fastest.source, note=note),
    )  # fmt: skip


def compared(one: Measured, other: Measured) -> tuple[Finding, ...]:
    """Return a finding for each pair on which two sources differ by much, or that only one of them has a way for.

    Parameters
    ----------
    one, other
        Answers for the same vehicle and places.

    Returns
    -------
    tuple[Finding, ...]
        ``unknown``: which of the two is right, only the road can tell. Then one ``ok`` that counts the pairs alike.
    """
    share = limit("answers_differ_share")
    found: list[Finding] = []
    places_of_both = set(one.on_road()) & set(other.on_road())
    pairs = sorted((a, b) for a in places_of_both for b in places_of_both if a != b)
    for pair in pairs:
        first, second = one.ways.get(pair), other.ways.get(pair)
        if (first is None) is not (second is None):
            has, lacks = (one, other) if first else (other, one)
            found.append(_differ(pair, f"a way by {has.basis}, none by {lacks.basis}"))
        elif first and second:
            apart = abs(first.miles - second.miles)
            if apart > ALIKE_MI and apart > share.value * min(first.miles, second.miles):
                found.append(_differ(pair, f"{first.miles:.1f} mi by {one.basis}, {second.miles:.1f} mi by {other.basis}"))
    alike = len(pairs) - len(found)
    well = Finding(check="two sources of road miles", subject=f"{one.vehicle.name}: {alike} of {len(pairs)} ways alike",
                   status="ok", force=share.force, source=share.source, note=f"{one.basis} and {other.basis}")  # fmt: skip
    return (*found, well) if alike else tuple(found)


def _differ(pair: Pair, note: str) -> Finding:
    share = limit("answers_differ_share")
    return Finding(check="two sources of road miles", subject=f"{pair[0]} to {pair[1]}", status="unknown", force=share.force,
                   source=share.source, note=f"{note}; look at the way before you trust either")  # fmt: skip
