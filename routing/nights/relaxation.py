"""A relaxation that no plan escapes: arcs and flows of each rig in each segment, nights folded together.

Sets
    w sets of moves that share a night, by segment; k rigs; i, j places that the rig can get into; g unit kinds;
    o promises.
Variables, for each w and k
    z truck-nights; x[i,j] drives from i to j (whole numbers); f[i,j] share of the deck filled on them;
    on[i,g], off[j,g] units picked up and set down, straps[i] stops that secure a load (whole numbers); short, weak[o]; left[o,g].
Least miles + truck-nights + wages + what broken promises cost, subject to
    (1) what drives in drives out; every truck-night leaves the base once: sum_j x[base,j] = z.
    (2) f <= x, and what is picked up or set down changes f; whatever goes on comes off. A unit's share of the deck
        holds for every mix of sizes (``decks.shares``).
    (3) one visit carries no more than a deck, of kinds that fill it alike and of all, nor more than its orchard takes.
    (4) minutes: duty, driving and dark hours, each at most z times the segment's longest.
    (5) delivered + short >= promised; strengths; hives out of orchards or left; stock and room of yards.
    (6) rounded covers: loaded entries into a set of orchards S, with C_k hives a visit at most, satisfy
        sum C_k n_k + short(S) >= promised(S); mixed-integer rounding at each C_k tightens it (Nemhauser and
        Wolsey, Integer and Combinatorial Optimization, Wiley 1988, II.1; from memory).
Any plan that moves whole units (pallets as they stand) into an orchard, out of it, on to the next or back to
a yard gives a solution of no greater cost: add up its drives and units by rig and segment; roads are first
closed under shortest paths, so that places passed without stopping do not count. Hence its least cost, and
any bound on that, holds for every such plan, whatever the shape of its tours.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from routing.nights.cover_rows import add_covers
from routing.nights.decks import alike_on_deck, shares
from routing.nights.owed_rows import add_promise, add_stock
from routing.nights.problem import Problem, Promise, Rig
from routing.nights.reach import Reach, reaches
from routing.nights.ride import Ride
from routing.nights.segments import Segment, Together, segments, together
from routing.nights.sparse import Relaxation


@dataclass(frozen=True)
class Relaxed:
    """The relaxation, and what must be reachable from the bases."""

    model: Relaxation
    reach: tuple[Reach, ...]


def relax(problem: Problem) -> Relaxed:
    """Return the relaxation of the whole season."""
    model, pieces = Relaxation(), segments(problem)
    roads = _Closure(problem)
    strong = {kind for promise in problem.promises.values() for kind in promise.kinds}
    share = {rig.name: shares(problem, rig, strong) for rig in problem.rigs}
    rides = [
        ride for number, piece in enumerate(pieces) for rig in problem.rigs for chosen in together(piece)
        if (ride := _ride(model, problem, chosen, Ride(number, rig, share[rig.name]), roads)) is not None
    ]
    _one_a_night(model, rides, pieces)
    missing = {name: add_promise(model, problem, one, rides) for name, one in problem.promises.items()}
    add_stock(model, problem, rides, len(pieces))
    add_covers(model, problem, rides, missing)
    return Relaxed(model, reaches(problem, rides, missing))


def columns_of(problem: Problem) -> int:
    """Return about how many columns the relaxation has: its arcs, counted before anything is built."""
    yards, total = len(problem.operation.yards), 0
    for piece in segments(problem):
        for chosen in together(piece):
            total += len(problem.rigs) * 2 * (yards + len({one.promise for one in chosen.events})) ** 2
    return total


def _one_a_night(model: Relaxation, rides: list[Ride], pieces: tuple[Segment, ...]) -> None:
    """Add one truck-night a rig and night, over the sets of events of a segment."""
    for number in range(len(pieces)):
        for rig in {ride.rig.name for ride in rides if ride.segment == number}:
            mine = [ride for ride in rides if ride.segment == number and ride.rig.name == rig]
            nights = {night for ride in mine for night in ride.nights}
            model.row([(c, 1.0) for ride in mine for (i, _), c in ride.arcs.items() if not i], high=len(nights))


class _Closure:
    """Miles and minutes closed under shortest paths (Floyd and Warshall)."""

    def __init__(self, problem: Problem) -> None:
        names = list(problem.sites)
        self.miles = {(a, b): problem.miles(a, b) for a in names for b in names}
        self.minutes = {(a, b): 0.0 if a == b else problem.roads.minutes(a, b) for a in names for b in names}
        for table in (self.miles, self.minutes):
            for via in names:
                for a in names:
                    for b in names:
                        table[a, b] = min(table[a, b], table[a, via] + table[via, b])


def _ride(
    model: Relaxation, problem: Problem, chosen: Together, ride: Ride, roads: _Closure
) -> Ride | None:
    rig = ride.rig
    nights = tuple(night for night in chosen.nights if night in rig.nights)
    inward = [one.promise for one in chosen.events if one.inward and one.promise in rig.places]
    outward = [one.promise for one in chosen.events if not one.inward and one.promise in rig.places]
    if not nights or (not inward and not outward):
        return None
    ride.nights = nights
    _units(model, problem, ride, inward, outward)
    if not ride.on or not ride.off:
        return None
    _arcs(model, problem, ride, roads)
    _deck(model, problem, ride)
    _minutes(model, problem, ride, roads)
    return ride


def _units(model: Relaxation, problem: Problem, ride: Ride, inward: list[str], outward: list[str]) -> None:
    rig, pieces = ride.rig, segments(problem)
    coming_out = {kind for name in outward for kind in problem.promises[name].kinds if rig.fit[kind]}
    back_by_now = {
        kind for piece in pieces[: ride.segment + 1] for name in piece.outward() for kind in problem.promises[name].kinds
    }
    wanted = {kind for name in inward for kind in problem.promises[name].kinds if rig.fit[kind]}
    for place in sorted(rig.places):
        if problem.sites[place].kind == "yard":
            there = {k for k in wanted if (place, k) in problem.stock or k in back_by_now}
            pick, drop = there, coming_out
        else:
            pick = {k for k in problem.promises[place].kinds if rig.fit[k]} if place in outward else set()
            drop = {k for k in problem.promises[place].kinds if rig.fit[k]} if place in inward else set()
        for found, kinds in ((ride.on, pick), (ride.off, drop)):
            for kind in sorted(kinds):
                cost = problem.handling_min(rig, place, kind) * rig.usd_per_min
                most = problem.kinds[kind].units
                if found is ride.off and place in inward:
                    promise = problem.promises[place]
                    lost = _least_late(promise, ride.nights) + promise.usd_bonus_missed[kind]
                    cost += lost * problem.kinds[kind].hives
                    most = min(most, (promise.colonies + promise.over) // problem.kinds[kind].hives)
                found[place, kind] = model.column(high=most, cost=cost, whole=True, block=ride.segment)


def _least_late(promise: Promise, nights: tuple[int, ...]) -> float:
    open_on = [night for night in nights if promise.in_first <= night <= promise.late_last]
    return max(0, min(open_on, default=0) - promise.in_last) * promise.usd_late


def _arcs(model: Relaxation, problem: Problem, ride: Ride, roads: _Closure) -> None:
    rig = ride.rig
    stops = sorted({place for place, _ in ride.on} | {place for place, _ in ride.off})
    drops, picks = {place for place, _ in ride.off}, {place for place, _ in ride.on}
    pairs = [("", place) for place in stops if place in picks] + [(place, "") for place in stops if place in drops]
    pairs += [(i, j) for i in stops for j in stops if i != j]
    for i, j in pairs:
        start, end = i or rig.base, j or rig.base
        minutes = roads.minutes[start, end] / rig.speed_factor + (problem.setup_min if j else 0.0)
        cost = roads.miles[start, end] * rig.usd_per_mile + minutes * rig.usd_per_min
        cost += rig.usd_per_night if not i else 0.0
        most = len(ride.nights) * (1 if not i or not j else _times_a_night(rig, minutes))
        ride.arcs[i, j] = model.column(high=most, cost=cost, whole=True, block=ride.segment)
        if i and j:
            ride.fill[i, j] = model.column(high=most, block=ride.segment)
            model.row([(ride.fill[i, j], 1.0), (ride.arcs[i, j], -1.0)], high=0.0)
    for place in [*stops, ""]:
        model.row([(c, 1.0) for (i, _), c in ride.arcs.items() if i == place]
                  + [(c, -1.0) for (_, j), c in ride.arcs.items() if j == place], low=0.0, high=0.0)
    model.row([(c, 1.0) for (i, _), c in ride.arcs.items() if not i], high=len(ride.nights))


def _times_a_night(rig: Rig, minutes: float) -> int:
    """Return how often at most something of so many minutes happens within one duty; a minute at least each."""
    return max(1, int(rig.duty_min / max(minutes, 1.0)))


def _deck(model: Relaxation, problem: Problem, ride: Ride) -> None:
    """Add (2) and (3)."""
    for place in {place for place, _ in [*ride.on, *ride.off]}:
        on = [(c, ride.share[k]) for (i, k), c in ride.on.items() if i == place]
        off = [(c, ride.share[k]) for (i, k), c in ride.off.items() if i == place]
        model.row([(c, 1.0) for (i, _), c in ride.fill.items() if i == place]
                  + [(c, -1.0) for (_, j), c in ride.fill.items() if j == place]
                  + [(c, -a) for c, a in on] + off, low=0.0, high=0.0)
        entries = [(c, -1.0) for (i, j), c in ride.arcs.items() if j == place and i]
        exits = [(c, -1.0) for (i, j), c in ride.arcs.items() if i == place and j]
        for decks in _of_one_visit(problem, ride, ride.off, place):
            model.row(decks + entries, high=0.0)
        if on:
            straps = ride.straps[place] = model.column(
                high=len(ride.nights) * _times_a_night(ride.rig, problem.setup_min + problem.secure_min),
                cost=problem.secure_min * ride.rig.usd_per_min, whole=True, block=ride.segment,
            )
            for decks in _of_one_visit(problem, ride, ride.on, place):
                model.row([*decks, (straps, -1.0)], high=0.0)
            model.row([(straps, 1.0), *exits], high=0.0)
    for kind in {kind for _, kind in [*ride.on, *ride.off]}:
        model.row([(c, 1.0) for (_, k), c in ride.on.items() if k == kind]
                  + [(c, -1.0) for (_, k), c in ride.off.items() if k == kind], low=0.0, high=0.0)


def _of_one_visit(
    problem: Problem, ride: Ride, moved: dict[tuple[str, int], int], place: str
) -> Iterator[list[tuple[int, float]]]:
    """Yield what is moved at a place in decks: by the shares of all, then by the count of kinds that fill it alike."""
    here = {kind: column for (where, kind), column in moved.items() if where == place}
    if here:
        yield [(column, ride.share[kind]) for kind, column in here.items()]
    for alike in alike_on_deck(problem, ride.rig, here):
        if any(ride.share[kind] * ride.rig.fit[kind] < 1.0 - 1e-9 for kind in alike):
            yield [(here[kind], 1.0 / ride.rig.fit[kind]) for kind in alike]


def _minutes(model: Relaxation, problem: Problem, ride: Ride, roads: _Closure) -> None:
    """Add (4)."""
    rig, nights = ride.rig, ride.nights
    places = {place for place, _ in [*ride.on, *ride.off]}
    spans = [problem.dark[place, night] for place in places for night in nights if (place, night) in problem.dark]
    per_night = [[problem.dark[p, n] for p in places if (p, n) in problem.dark] for n in nights]
    longest = max((max(e for _, e in at) - min(b for b, _ in at) for at in per_night if at), default=0.0)
    drive = {
        (i, j): roads.minutes[i or rig.base, j or rig.base] / rig.speed_factor for i, j in ride.arcs
    }
    work = [(c, problem.setup_min) for (_, j), c in ride.arcs.items() if j]
    work += [(c, problem.secure_min) for c in ride.straps.values()]
    for found in (ride.on, ride.off):
        work += [(c, problem.handling_min(rig, place, kind)) for (place, kind), c in found.items()]
    leave = [(c, 1.0) for (i, _), c in ride.arcs.items() if not i]
    all_drives = [(c, drive[key]) for key, c in ride.arcs.items()]
    dark_drives = [(c, drive[key]) for key, c in ride.arcs.items() if key[0] and key[1]]
    model.row(all_drives + work + [(c, -rig.duty_min) for c, _ in leave], high=0.0)
    model.row(all_drives + [(c, -rig.driving_min) for c, _ in leave], high=0.0)
    model.row(dark_drives + work + [(c, -(longest if spans else 0.0)) for c, _ in leave], high=0.0)
