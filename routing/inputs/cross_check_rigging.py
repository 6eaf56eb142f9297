"""Rigging across rows: hitches that fit their trailer, straps with a rating, road limits and papers that name real places."""

import datetime as dt
from collections.abc import Iterator, Sequence

from routing.formulas.tiedown import default_wll
from routing.inputs.faults import Flaw, shown, with_nearest
from routing.inputs.fleet import AxleGroup, TieDown
from routing.inputs.operation import Operation
from routing.inputs.rigging import Hitch, Paper, RoadLimit

Said = tuple[str, str, str]
"""Column, what was found, what is allowed."""


def rigging_flaws(operation: Operation) -> Iterator[Flaw]:
    """Yield what is wrong with hitches, things carried, tie-downs, road limits and papers."""
    for index, hitch in enumerate(operation.hitches):
        under = [one for one in operation.axle_groups if one.truck == hitch.truck and one.unit == "trailer"]
        yield from _flaws("hitches", index, hitch_faults(hitch, under))
    for index, carried in enumerate(operation.carried):
        parts = {one.unit for one in operation.axle_groups if one.truck == carried.truck}
        if parts and carried.unit not in parts:
            said = ("unit", "'trailer'", "'truck', as no axle group of it is under a trailer")
            yield from _flaws("carried", index, [said])
    for index, tie_down in enumerate(operation.tie_downs):
        yield from _flaws("tie_downs", index, tie_down_faults(tie_down))
    for index, road_limit in enumerate(operation.road_limits):
        yield from _flaws("road_limits", index, road_limit_faults(road_limit, places_of(operation)))
    for index, paper in enumerate(operation.papers):
        yield from _flaws("papers", index, paper_faults(paper, places_of(operation)))


def places_of(operation: Operation) -> list[str]:
    """Return the names of all yards and contracts."""
    return [one.name for one in operation.yards] + [one.name for one in operation.contracts]


def named(places: str) -> tuple[str, ...]:
    """Return the places that a list with commas names."""
    return tuple(part.strip() for part in places.split(",") if part.strip())


def hitch_faults(hitch: Hitch, under: Sequence[AxleGroup]) -> Iterator[Said]:
    """Yield what is wrong with a hitch; ``under`` are the axle groups under its trailer."""
    if not under:
        yield ("truck", shown(hitch.truck) if hitch.truck else "a hitch", "a truck that has an axle group with unit 'trailer'")
        return
    on_axles_lb = sum(one.empty_lb for one in under)
    if hitch.trailer_empty_lb is not None and hitch.trailer_empty_lb < on_axles_lb:
        allowed = f"at least the empty weight on the trailer's axle groups, {on_axles_lb:,.0f} lb"
        yield ("trailer_empty_lb", shown(hitch.trailer_empty_lb), allowed)
    least, most = hitch.least_share, hitch.most_share
    if least is not None and most is not None and least > most:
        yield ("least_share", shown(least), f"at most the {most:g} of most share")
    if (least is not None or most is not None) and not hitch.share_source:
        yield ("share_source", "nothing", "where the shares are written: no figure without its source")
    yield from _slide_faults(hitch, under)


def _slide_faults(hitch: Hitch, under: Sequence[AxleGroup]) -> Iterator[Said]:
    first, last, step = hitch.slide_from_in, hitch.slide_until_in, hitch.slide_step_in
    if first is None and last is None and step is None:
        return
    if first is None or last is None or step is None:
        yield ("slide_from_in", "a slide told in part", "foremost pin, rearmost pin and step, or none of them")
        return
    if last < first:
        yield ("slide_until_in", shown(last), f"at least the {first:g} in of the foremost pin")
    if len(under) != 1:
        yield ("slide_from_in", f"{len(under)} axle groups under the trailer", "one, as it is the one that slides")
    elif not first <= under[0].centre_in <= last:
        allowed = f"pins that take in the {under[0].centre_in:g} in of its axle group"
        yield ("slide_from_in", f"{first:g} to {last:g} in", allowed)
    if hitch.trailer_empty_lb is None or hitch.sliding_lb is None:
        allowed = "the empty trailer's weight and that of what slides: both move weight with the pins"
        yield ("sliding_lb", "a slide without weights", allowed)
    elif hitch.sliding_lb > sum(one.empty_lb for one in under):
        yield ("sliding_lb", shown(hitch.sliding_lb), "at most the empty weight on the axle group that slides")


def tie_down_faults(tie_down: TieDown) -> Iterator[Said]:
    """Yield what is wrong with a tie-down: no rating, and no row of the published table for its size."""
    if tie_down.wll_lb is None and default_wll(tie_down.kind, tie_down.size) is None:
        allowed = "the limit marked on it, or a size that the table of 49 CFR 393.108 has, such as 2 in"
        yield ("wll_lb", f"nothing, for a {tie_down.kind} of size {tie_down.size!r}", allowed)


def road_limit_faults(road_limit: RoadLimit, places: Sequence[str]) -> Iterator[Said]:
    """Yield what is wrong with a road limit; ``places`` are the names there are."""
    yield from _unknown_places(road_limit.places, places)
    yield from _backwards("counts_until", road_limit.counts_from, road_limit.counts_until)


def paper_faults(paper: Paper, places: Sequence[str]) -> Iterator[Said]:
    """Yield what is wrong with a paper; ``places`` are the names there are."""
    yield from _unknown_places(paper.places, places)
    yield from _backwards("valid_until", paper.valid_from, paper.valid_until)


def _unknown_places(text: str, places: Sequence[str]) -> Iterator[Said]:
    for name in named(text):
        if name not in places:
            yield ("places", shown(name), with_nearest("names of yards and contracts", name, list(places)))


def _backwards(column: str, first: dt.date | None, last: dt.date | None) -> Iterator[Said]:
    if first is not None and last is not None and last < first:
        yield (column, shown(last), f"{first} or later")


def _flaws(table: str, index: int, said: Iterator[Said] | Sequence[Said]) -> Iterator[Flaw]:
    for column, found, allowed in said:
        yield Flaw(table=table, index=index, column=column, found=found, allowed=allowed)
