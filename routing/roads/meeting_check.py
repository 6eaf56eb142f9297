"""Findings of one measurement: places that meet no road, ways that are missing, ways that signs make longer."""

from collections.abc import Iterator

from routing.finding import Finding, at_most, not_checked
from routing.inputs.operation import Operation
from routing.inputs.places import places
from routing.limits import limit
from routing.roads.closed import lets_in
from routing.roads.join import OnTheWay
from routing.roads.measured import Measured, Meeting, OffRoad
from routing.roads.sign import says
from routing.roads.vehicle import vehicle_findings

LONGER_MI = 1.0
"""A way that signs make longer by less is not told."""
MOST_TOLD = 12
NO_SOURCE = "common practice, no source"
OTHER_ROAD_FT = 300.0
"""So much farther than the nearest road, a way is told to begin on another one."""


def measuring_findings(operation: Operation, met: OnTheWay) -> tuple[Finding, ...]:
    """Return what one measurement could not do, and what it did about posted limits.

    Parameters
    ----------
    operation
        The operation; only places that let the vehicle in are told of.
    met
        The answer for one vehicle.
    """
    measured = met.measured
    return (
        *vehicle_findings(measured.vehicle), *_places(operation, measured), *_elsewhere(operation, measured),
        *_missing(operation, measured), *_longer(met),
    )  # fmt: skip


def _places(operation: Operation, measured: Measured) -> Iterator[Finding]:
    farthest = limit("farthest_from_road_ft")
    for place in places(operation).values():
        meeting = measured.meetings.get(place.name)
        if not lets_in(place, measured) or meeting is None:
            continue
        if isinstance(meeting, OffRoad):
            note = f"{measured.basis}: {meeting.why}; its ways stay estimated, or as your own table has them"
            yield not_checked("place on a road", place.name, force=farthest.force, source=farthest.source, note=note)
            continue
        yield at_most("feet from the road", place.name, measured=round(meeting.feet, 1), limit=farthest.value, unit="ft",
                      force=farthest.force, source=farthest.source, note=_meeting_words(meeting))  # fmt: skip


def _elsewhere(operation: Operation, measured: Measured) -> Iterator[Finding]:
    """Yield the places whose ways begin or end on another road than the nearest: that one leads nowhere for the truck."""
    for place in places(operation).values():
        meeting = measured.meetings.get(place.name)
        if not lets_in(place, measured) or not isinstance(meeting, Meeting):
            continue
        farthest_ft = max((way.lanes_ft[pair.index(place.name)] for pair, way in measured.ways.items() if place.name in pair),
                          default=0.0)  # fmt: skip
        if farthest_ft - meeting.feet > OTHER_ROAD_FT:
            note = _elsewhere_words(measured, meeting, farthest_ft)
            yield not_checked("nearest road leads on", place.name, force="practice", source=NO_SOURCE, note=note)


def _elsewhere_words(measured: Measured, meeting: Meeting, farthest_ft: float) -> str:
    return (
        f"{measured.basis}: some ways of {measured.vehicle.name} begin or end on another road, {farthest_ft:,.0f} ft away: the"
        f" nearest, {meeting.road or 'without a name'}, is one-way, closed to the truck or cut by the map's edge"
    )


def _meeting_words(meeting: Meeting) -> str:
    of = f", {', '.join(meeting.remarks)}" if meeting.remarks else ""
    return (f"meets {meeting.road or 'a road without a name'}{of}, at {meeting.latitude_deg:.5f}, {meeting.longitude_deg:.5f};"
            " see that this is its road, and not one behind a river or fence")  # fmt: skip


def _missing(operation: Operation, measured: Measured) -> Iterator[Finding]:
    """Yield one finding for each place that lacks ways, named with the places it lacks them to."""
    there = [one.name for one in places(operation).values() if lets_in(one, measured) and one.name in set(measured.on_road())]
    for origin in there:
        lacks = [name for name in there if name != origin and (origin, name) not in measured.ways]
        if lacks:
            named = ", ".join(lacks[:MOST_TOLD]) + (f" and {len(lacks) - MOST_TOLD} more" if len(lacks) > MOST_TOLD else "")
            note = f"none for {measured.vehicle.name} to {named}; not measured, and an estimate in its place is no road"
            yield not_checked("way by road", f"from {origin}", force="standard", source=measured.basis, note=note)


def _longer(met: OnTheWay) -> Iterator[Finding]:
    """Yield the signs that keep the vehicle off shorter ways, with what going round them costs."""
    measured = met.measured
    for one in met.avoided:
        if says(one.sign, measured.vehicle) != "keeps out":
            continue
        longer = {
            pair: measured.ways[pair].miles - measured.freely[pair].miles
            for pair in one.ways if pair in measured.ways and pair in measured.freely
        }  # fmt: skip
        most = max(longer, key=lambda pair: longer[pair], default=None)
        if most is not None and longer[most] > LONGER_MI:
            yield Finding(
                check="sign that is gone round", subject=f"{measured.vehicle.name}: {one.sign.text}", status="ok",
                measured=round(measured.ways[most].miles, 2), limit=round(measured.freely[most].miles, 2), unit="mi", force="law",
                source=measured.basis,
                note=f"{one.sign.road or 'road without a name'} at {one.sign.at[0]:.5f}, {one.sign.at[1]:.5f}: {most[0]} to "
                     f"{most[1]} is {longer[most]:.1f} mi longer, the most of {len(longer)} ways",
            )  # fmt: skip
