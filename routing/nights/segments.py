"""Cut the season's nights into segments: stretches in which promises and trucks meet.

Every truck-night lies in one segment. A window that reaches over a cut may be served on either side, so
cutting never forbids a plan; good cuts only make the pieces small.
"""

from dataclasses import dataclass

from routing.nights.problem import Problem

MOST_EVENTS = 7
"""Moves in and out that one segment should hold before it is cut where the fewest windows cross."""


@dataclass(frozen=True)
class Event:
    """A promise's move in, or its move out, with the first and last night on which it may happen."""

    promise: str
    inward: bool
    first: int
    last: int


@dataclass(frozen=True)
class Segment:
    """Nights ``first`` to ``last`` and the events that may happen in them."""

    first: int
    last: int
    events: tuple[Event, ...]

    @property
    def nights(self) -> range:
        """Its nights, in order."""
        return range(self.first, self.last + 1)

    def inward(self) -> tuple[str, ...]:
        """Return the promises that may be moved into."""
        return tuple(one.promise for one in self.events if one.inward)

    def outward(self) -> tuple[str, ...]:
        """Return the promises that may be moved out of."""
        return tuple(one.promise for one in self.events if not one.inward)


def events(problem: Problem) -> tuple[Event, ...]:
    """Return every move in and out that lies within the season, by first night."""
    found = []
    for promise in problem.promises.values():
        spans = [(True, promise.in_first, promise.late_last)]
        if promise.out:
            spans.append((False, *promise.out))
        for inward, first, last in spans:
            first, last = max(first, 0), min(last, problem.last_night)
            if first <= last:
                found.append(Event(promise.name, inward, first, last))
    return tuple(sorted(found, key=lambda one: (one.first, one.last, one.promise)))


def segments(problem: Problem) -> tuple[Segment, ...]:
    """Return the segments in order of time."""
    every = events(problem)
    pieces: list[tuple[int, int]] = []
    for one in every:
        if pieces and one.first <= pieces[-1][1]:
            pieces[-1] = (pieces[-1][0], max(pieces[-1][1], one.last))
        else:
            pieces.append((one.first, one.last))
    return tuple(part for first, last in pieces for part in _cut(every, first, last))


def _cut(every: tuple[Event, ...], first: int, last: int) -> tuple[Segment, ...]:
    inside = tuple(one for one in every if one.first <= last and one.last >= first)
    if len(inside) <= MOST_EVENTS or last - first < 3:
        return (Segment(first, last, inside),)
    middle = (first + last) / 2
    cut = min(
        range(first, last),
        key=lambda night: (sum(one.first <= night < one.last for one in inside), abs(night + 0.5 - middle)),
    )
    if len([one for one in inside if one.first <= cut < one.last]) * 2 > len(inside):
        return (Segment(first, last, inside),)
    return (*_cut(every, first, cut), *_cut(every, cut + 1, last))


@dataclass(frozen=True)
class Together:
    """Events that share a night, no more of them anywhere, and every night on which no other event is open."""

    events: tuple[Event, ...]
    nights: tuple[int, ...]


def together(piece: Segment) -> tuple[Together, ...]:
    """Return the largest sets of a segment's events that share a night.

    Every truck-night serves events open on its own night, so it fits one of these sets; windows that overlap
    in pairs overlap all at once on a line (Helly).
    """
    open_on = {night: frozenset(one for one in piece.events if one.first <= night <= one.last) for night in piece.nights}
    largest = sorted(
        {one for one in open_on.values() if one and not any(one < other for other in open_on.values())},
        key=lambda chosen: max(one.first for one in chosen),
    )
    return tuple(
        Together(
            tuple(one for one in piece.events if one in chosen),
            tuple(night for night, there in open_on.items() if there and there <= chosen),
        )
        for chosen in largest
    )
