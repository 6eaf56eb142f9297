"""A practitioner's rule: what a good dispatcher does with a map, a list of due dates and the drivers' telephone numbers.

Night after night, truck after truck, the largest own one first: take the most pressing move, in or out; for a move in,
the nearest hives that are strong enough, the weakest of them first so that the strong ones stay for who needs them; fill
the deck for the same orchard or another on the way; of hives that must leave, bring to the next bloom what it takes,
home what is left; go again while the night lasts. A load that can wait waits until the deck is full, or it is due
tomorrow. A hired truck is called for full loads only, until something is due.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from routing.nights.draft import DraftNight, DraftStop, Units, clock
from routing.nights.haul.job import Job, Route
from routing.nights.problem import Promise
from tests.benchmarks._tours_sorts import Sorted

FULL, FULL_HIRED = 0.75, 0.8
ON_THE_WAY_MI = 15.0
DUE_SOON = 1
SEEDS, SOURCES, ALSO = 8, 3, 3
Load = dict[int, int]
"""Units by sort."""
Hauls = tuple[tuple[str, str, Units], ...]
"""Origin, destination, units of each sort: all origins are called at before all destinations."""


@dataclass
class Dispatch:
    """What the dispatcher keeps on the blackboard."""

    had: Sorted
    jobs: dict[int, Job] = field(default_factory=dict)
    routes: list[Route] = field(default_factory=list)
    there: Counter[tuple[str, int]] = field(default_factory=Counter)
    coming: Counter[tuple[str, int]] = field(default_factory=Counter)
    owed: Counter[str] = field(default_factory=Counter)
    spare_frames: defaultdict[str, float] = field(default_factory=lambda: defaultdict(float))
    room: Counter[str] = field(default_factory=Counter)


def dispatched(had: Sorted) -> tuple[dict[int, Job], list[Route]]:
    """Return jobs and routes of the whole season."""
    problem = had.problem
    board = Dispatch(had, there=Counter(dict(had.stock)))
    board.owed.update({name: one.colonies for name, one in problem.promises.items()})
    for yard in problem.operation.yards:
        standing = sum(one.hives for one in problem.operation.hive_groups if one.yard == yard.name)
        board.room[yard.name] = yard.capacity_hives - standing
    decks = {rig: max(one.fit.values(), default=0) for rig, one in enumerate(problem.rigs)}
    order = sorted(decks, key=lambda rig: (problem.rigs[rig].hired, -decks[rig]))
    for night in sorted({night for one in problem.rigs for night in one.nights}):
        board.there.update(board.coming)
        board.coming.clear()
        drivers = len(problem.operation.drivers)
        for rig in order:
            free = problem.rigs[rig].hired or (drivers > 0 and problem.able(rig, night))
            if night in problem.rigs[rig].nights and free and _night(board, rig, night) and not problem.rigs[rig].hired:
                drivers -= 1
    return board.jobs, board.routes


def _night(board: Dispatch, rig: int, night: int) -> bool:
    """Send a truck out for as many loads as the night holds; tell whether it went."""
    calls: list[tuple[int, bool]] = []
    stops: tuple[DraftStop, ...] = ()
    while True:
        found = next(_loads(board, (rig, night), stops), None)
        if found is None:
            break
        hauls, stops = found
        calls += _booked(board, hauls, night)
    if calls:
        board.routes.append(Route(rig, night, tuple(calls)))
    return bool(calls)


def _loads(
    board: Dispatch, truck: tuple[int, int], stops: tuple[DraftStop, ...]
) -> Iterator[tuple[Hauls, tuple[DraftStop, ...]]]:
    """Yield loads that still fit the night, the most pressing first, each with all stops of the night so far."""
    rig, night = truck
    deck = board.had.problem.rigs[rig]
    here = stops[-1].place if stops else deck.base
    for due, name, inward in _pressing(board, truck, here)[:SEEDS]:
        hauls = _load_in(board, truck, name, here) if inward else _load_out(board, truck, name)
        while hauls:
            if not _worth(board, rig, hauls, due=due, out_already=bool(stops)):
                break
            longer = (*stops, *_stops(board.had, hauls))
            if _fits(board, DraftNight(rig, night, longer)):
                yield hauls, longer
                break
            hauls = _less(hauls)


def _pressing(board: Dispatch, truck: tuple[int, int], here: str) -> list[tuple[int, str, bool]]:
    """Return (nights left, promise, inward) of each move that could be made, the most pressing and nearest first."""
    rig, night = truck
    problem, found = board.had.problem, []
    for name, one in problem.promises.items():
        if name not in problem.rigs[rig].places or (name, night) not in problem.dark:
            continue
        if one.in_first <= night <= one.late_last and board.owed[name] > 0:
            found.append((max(0, one.in_last - night), name, True))
        if one.out and one.out[0] <= night <= one.out[1] and any(_standing(board, name)):
            found.append((one.out[1] - night, name, False))
    return sorted(found, key=lambda move: (move[0], problem.miles(here, move[1]), move))


def _standing(board: Dispatch, place: str) -> Iterator[tuple[int, int]]:
    return ((sort, units) for sort in range(len(board.had.sorts)) if (units := board.there[place, sort]) > 0)


def _worth(board: Dispatch, rig: int, hauls: Hauls, *, due: int, out_already: bool) -> bool:
    share = sum(units * board.had.share(sort, rig) for _, _, each in hauls for sort, units in each)
    full = FULL_HIRED if board.had.problem.rigs[rig].hired else FULL
    return share >= full or due <= DUE_SOON or (out_already and share >= full / 2)


def _fits(board: Dispatch, night: DraftNight) -> bool:
    problem = board.had.problem
    rig, times = problem.rigs[night.rig], clock(problem, night)
    route = [rig.base, *(stop.place for stop in night.stops), rig.base]
    driving = sum(problem.drive_min(rig, a, b) for a, b in pairwise(route))
    return times is not None and times.duty_min <= board.had.duty_min[night.rig] and driving <= rig.driving_min


def _less(hauls: Hauls) -> Hauls:
    """Return half of the last haul, or the hauls without it when it is one unit."""
    *kept, (origin, destination, units) = hauls
    half = tuple((sort, many // 2) for sort, many in units if many // 2)
    return (*kept, (origin, destination, half)) if half else tuple(kept)


def _stops(had: Sorted, hauls: Hauls) -> list[DraftStop]:
    """Return the stops of hauls: origins as listed, then destinations as listed. Any kind of a sort stands for it."""
    kind = {sort: one.kinds[0] for sort, one in enumerate(had.sorts)}
    ups: dict[str, Counter[int]] = {}
    downs: dict[str, Counter[int]] = {}
    for origin, destination, units in hauls:
        for sort, many in units:
            ups.setdefault(origin, Counter())[kind[sort]] += many
            downs.setdefault(destination, Counter())[kind[sort]] += many
    found = [DraftStop(place, picked_up=tuple(sorted(units.items()))) for place, units in ups.items()]
    return found + [DraftStop(place, set_down=tuple(sorted(units.items()))) for place, units in downs.items()]


def _load_in(board: Dispatch, truck: tuple[int, int], name: str, here: str) -> Hauls:
    """Return a load for an orchard from the nearest strong hives, and for others on the way while there is room."""
    problem, (rig, _) = board.had.problem, truck
    taken: Counter[tuple[str, int]] = Counter()
    hauls: list[tuple[str, str, Units]] = []
    deck, spare = 1.0, 0.0
    others = [other for due, other, inward in _pressing(board, truck, name)
              if inward and other != name and problem.miles(name, other) <= ON_THE_WAY_MI][:ALSO]  # fmt: skip
    for wanted in (name, *others):
        owed, spare = board.owed[wanted], board.spare_frames[wanted]
        for source in _sources(board, truck, wanted, here)[:SOURCES]:
            if hauls and source != hauls[0][0] and problem.miles(hauls[0][0], source) > ON_THE_WAY_MI:
                continue
            load, owed, spare, deck = _picked(board, (rig, source, wanted), taken, (owed, spare, deck))
            if load:
                hauls.append((source, wanted, tuple(sorted(load.items()))))
    return tuple(hauls)


def _sources(board: Dispatch, truck: tuple[int, int], wanted: str, here: str) -> list[str]:
    """Return places with hives for an orchard tonight, the least way round first; not the orchards still in bloom."""
    problem, (rig, night) = board.had.problem, truck
    places = {
        place for (place, sort), units in board.there.items()
        if units > 0 and place != wanted and place in problem.rigs[rig].places and (place, night) in problem.dark
        and wanted in board.had.sorts[sort].serves and _may_leave(problem.promises.get(place), night)
    }  # fmt: skip
    return sorted(places, key=lambda place: (problem.miles(here, place) + problem.miles(place, wanted), place))


def _may_leave(promise: Promise | None, night: int) -> bool:
    return promise is None or (promise.out is not None and promise.out[0] <= night <= promise.out[1])


def _picked(
    board: Dispatch, way: tuple[int, str, str], taken: Counter[tuple[str, int]], left: tuple[int, float, float]
) -> tuple[Load, int, float, float]:
    """Take units for an orchard from a source, the weakest that its average bears first."""
    (rig, source, wanted), (owed, spare, deck) = way, left
    had, promise = board.had, board.had.problem.promises[wanted]
    load: Load = {}
    able = [sort for sort, one in enumerate(had.sorts) if wanted in one.serves]
    for sort in sorted(able, key=lambda one: (had.sorts[one].frames < promise.min_average, had.sorts[one].frames, one)):
        one, each = had.sorts[sort], had.share(sort, rig)
        gain = (one.frames - promise.min_average) * one.hives
        while (board.there[source, sort] > taken[source, sort] and owed > 0 and deck >= each - 1e-9
               and one.hives <= owed + promise.over and (gain >= 0.0 or spare + gain >= 0.0)):  # fmt: skip
            taken[source, sort] += 1
            load[sort] = load.get(sort, 0) + 1
            owed, spare, deck = owed - one.hives, spare + gain, deck - each
    return load, owed, spare, deck


def _load_out(board: Dispatch, truck: tuple[int, int], name: str) -> Hauls:
    """Return a load out of an orchard, and of others on the way: to the next bloom what it takes, the rest home."""
    problem, (rig, _) = board.had.problem, truck
    deck, room = 1.0, board.room.copy()
    owed, spare = board.owed.copy(), board.spare_frames.copy()
    hauls: dict[tuple[str, str], Load] = {}
    others = [other for _, other, inward in _pressing(board, truck, name)
              if not inward and other != name and problem.miles(name, other) <= ON_THE_WAY_MI][:ALSO]  # fmt: skip
    for origin in (name, *others):
        for sort, units in _standing(board, origin):
            for _ in range(units):
                if deck < board.had.share(sort, rig) - 1e-9:
                    break
                goes = _goes_to(board, (truck, origin, sort), (owed, spare, room))
                if goes is None:
                    break
                deck -= board.had.share(sort, rig)
                load = hauls.setdefault((origin, goes), {})
                load[sort] = load.get(sort, 0) + 1
    return tuple((origin, goes, tuple(sorted(load.items()))) for (origin, goes), load in hauls.items())


def _goes_to(
    board: Dispatch, what: tuple[tuple[int, int], str, int], left: tuple[Counter[str], dict[str, float], Counter[str]]
) -> str | None:
    """Return where one unit that must leave goes, and write it down: the nearest orchard that wants it, else a yard."""
    (rig, night), origin, sort = what
    (owed, spare, room), problem, one = left, board.had.problem, board.had.sorts[sort]
    open_to = problem.rigs[rig].places
    wanting = []
    for name in one.serves:
        promise = problem.promises[name]
        gain = (one.frames - promise.min_average) * one.hives
        open_tonight = promise.in_first <= night <= promise.in_last and (name, night) in problem.dark
        if (name != origin and name in open_to and open_tonight and owed[name] > 0 and one.hives <= owed[name] + promise.over
                and (gain >= 0 or spare[name] + gain >= 0)):  # fmt: skip
            wanting.append(name)
    yards = [name for name, free in room.items() if free >= one.hives and name in open_to and (name, night) in problem.dark]
    if not wanting and not yards:
        return None
    goes = min(wanting or yards, key=lambda name: (problem.miles(origin, name), name))
    if goes in problem.promises:
        owed[goes] -= one.hives
        spare[goes] += (one.frames - problem.promises[goes].min_average) * one.hives
    else:
        room[goes] -= one.hives
    return goes


def _booked(board: Dispatch, hauls: Hauls, night: int) -> list[tuple[int, bool]]:
    """Write hauls on the blackboard; return their calls."""
    problem, numbers = board.had.problem, []
    for origin, destination, units in hauls:
        numbers.append(len(board.jobs))
        board.jobs[len(board.jobs)] = Job(origin, destination, units, night, night, night, 0.0, 0.0)
        for sort, many in units:
            hives = many * board.had.sorts[sort].hives
            board.there[origin, sort] -= many
            board.coming[destination, sort] += many
            if origin in board.room:
                board.room[origin] += hives
            if destination in problem.promises:
                board.owed[destination] -= hives
                board.spare_frames[destination] += (
                    (board.had.sorts[sort].frames - problem.promises[destination].min_average) * hives
                )
            else:
                board.room[destination] -= hives
    order = list(dict.fromkeys(origin for origin, _, _ in hauls)), list(dict.fromkeys(goes for _, goes, _ in hauls))
    ups = [(number, True) for place in order[0] for number in numbers if board.jobs[number].origin == place]
    return ups + [(number, False) for place in order[1] for number in numbers if board.jobs[number].destination == place]
