"""Can these hives be there to be taken, and is there room where they are put? Night by night, place by place.

Law 1: what is picked up is set down once, later that night, as the lot says.
Law 2: a place never gives more of a group than stood there that evening: a hive moves at most once a night.
Law 3: pallets travel whole; only a group's last pallet carries fewer hives.
Law 4: at the end of every night a yard holds no more hives than it has room for.
"""

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby
from typing import NamedTuple

from routing.finding import Finding
from routing.inputs.yard import HiveGroup
from routing.loads.load import Load
from routing.nights.check_case import Case, Move, pallet_hives
from routing.nights.check_rule import Rule
from routing.nights.tour import Lot, Stop, TruckNight

LOTS = Rule(check="lots picked up and set down", force="practice", source="what rides away must arrive")
PURPOSE = Rule(check="purpose of a lot", force="practice", source="in: yard to orchard; out: orchard to yard")
TRAVEL = Rule(check="group may travel", force="own figure", source="column may_travel of the hive group")
STOCK = Rule(
    check="hives are there", unit="hives", force="practice", source="what stands at the place that evening"
)
ONCE = Rule(
    check="one move a hive and night",
    unit="hives",
    force="practice",
    source="a hive set down rests until the next night",
)
WHOLE = Rule(check="pallets whole", unit="hives", force="practice", source="hives of the pallet kind")
YARD = Rule(check="room in the yard", unit="hives", force="own figure", source="capacity of the yard")
DECKED = Rule(
    check="deck plan for every hive", unit="hives", force="practice", source="placements of the loads"
)


class Pile(NamedTuple):
    """Hives of a group at one place, and the pallets under them."""

    hives: int
    pallets: int

    def plus(self, other: "Pile", sign: int = 1) -> "Pile":
        """Return this pile with another put on (or, with sign -1, taken off)."""
        return Pile(self.hives + sign * other.hives, self.pallets + sign * other.pallets)


NONE = Pile(0, 0)
Key = tuple[str, str]
"""Place and group."""


class Evening(NamedTuple):
    """Stock before one night, and what that night takes away and brings."""

    night: dt.date
    stock: Mapping[Key, Pile]
    out: Mapping[Key, Pile]
    brought: Mapping[Key, Pile]

    def after(self) -> dict[Key, Pile]:
        """Return the stock at the end of the night."""
        keys = {*self.stock, *self.out, *self.brought}
        return {
            key: self.stock.get(key, NONE).plus(self.out.get(key, NONE), -1).plus(self.brought.get(key, NONE))
            for key in keys
        }


def check_stock(case: Case) -> tuple[Finding, ...]:
    """Return the findings on lots, stock, pallets and yards over all nights."""
    lots = [(row, lot) for row in case.truck_nights for lot in _lots(row)]
    nights = list(evenings(case))
    return (
        *LOTS.tell(found for row in case.truck_nights for found in _complete(row)),
        *PURPOSE.tell(_purpose(case, row, lot) for row, lot in lots),
        *TRAVEL.tell(_may_travel(case, row, lot) for row, lot in lots),
        *STOCK.tell(found for evening in nights for found in _there(evening)),
        *ONCE.tell(found for evening in nights for found in _moved_once(evening)),
        *WHOLE.tell([*(_whole_lot(case, row, lot) for row, lot in lots), *_whole_piles(case, nights)]),
        *YARD.tell(found for evening in nights for found in _yard_room(case, evening)),
    )


def check_decked(case: Case, loads: Iterable[Load]) -> tuple[Finding, ...]:
    """Return the findings on whether each hive that rides has a place on a deck plan."""
    placed: Counter[Key] = Counter()
    for load in loads:
        for unit in load.placements:
            placed[load.truck_night, unit.lot] += unit.hives
    lots = [(row, lot) for row in case.truck_nights for lot in _lots(row)]
    if lots and not placed:
        return DECKED.tell([DECKED.unknown("plan", note="the plan carries no deck plan")])
    return DECKED.tell(
        DECKED.equal(f"{row.id}, lot {lot.lot}", measured=placed[row.id, lot.lot], limit=lot.hives)
        for row, lot in lots
    )


def evenings(case: Case) -> Iterator[Evening]:
    """Yield each night on which hives move, with the stock before it."""
    stock = {(group.yard, group.name): _first_pile(case, group) for group in case.operation.hive_groups}
    for night, moved in groupby(case.moves, key=lambda move: move.night):
        moves = tuple(moved)
        out = _sum_piles(((move.origin, move.group), move) for move in moves)
        brought = _sum_piles(((move.destination, move.group), move) for move in moves)
        evening = Evening(night, stock, out, brought)
        yield evening
        stock = evening.after()


def _first_pile(case: Case, group: HiveGroup) -> Pile:
    each = pallet_hives(case, group)
    return Pile(group.hives, 0 if each is None else -(-group.hives // each))


def _sum_piles(rows: Iterable[tuple[Key, Move]]) -> dict[Key, Pile]:
    sums: dict[Key, Pile] = {}
    for key, move in rows:
        sums[key] = sums.get(key, NONE).plus(Pile(move.hives, move.pallets))
    return sums


def _lots(row: TruckNight) -> tuple[Lot, ...]:
    return tuple(lot for stop in row.stops for lot in stop.picked_up)


def _complete(row: TruckNight) -> Iterator[Finding | None]:
    ups = [(stop, lot) for stop in row.stops for lot in stop.picked_up]
    downs = [(stop, lot) for stop in row.stops for lot in stop.set_down]
    for letter in dict.fromkeys(lot.lot for _, lot in (*ups, *downs)):
        fault = _lot_fault(
            [at for at in ups if at[1].lot == letter], [at for at in downs if at[1].lot == letter]
        )
        yield LOTS.holds(f"{row.id}, lot {letter}", not fault, note=fault)


def _lot_fault(ups: list[tuple[Stop, Lot]], downs: list[tuple[Stop, Lot]]) -> str:
    if len(ups) != 1 or len(downs) != 1:
        return f"picked up {len(ups)} times, set down {len(downs)} times; once each is right"
    (up, lot), (down, same) = ups[0], downs[0]
    wrong = (
        ("what is set down is not what was picked up", lot != same),
        ("set down before it is picked up", down.number <= up.number),
        (f"picked up at {up.place}, not at its origin {lot.origin}", up.place != lot.origin),
        (
            f"set down at {down.place}, not at its destination {lot.destination}",
            down.place != lot.destination,
        ),
        ("it carries no hive", lot.hives < 1),
    )
    return "; ".join(text for text, fault in wrong if fault)


def _purpose(case: Case, row: TruckNight, lot: Lot) -> Finding | None:
    ends = (case.places[lot.origin].kind, case.places[lot.destination].kind)
    right = {
        ("yard", "orchard"): "in", ("orchard", "yard"): "out", ("orchard", "orchard"): "on to the next bloom",
    }.get(ends, "none: no hive moves from yard to yard")  # fmt: skip
    return PURPOSE.holds(
        f"{row.id}, lot {lot.lot}", lot.purpose == right, note=f"called {lot.purpose}, is {right}"
    )


def _may_travel(case: Case, row: TruckNight, lot: Lot) -> Finding | None:
    note = f"{lot.group} may not leave its yard"
    return TRAVEL.holds(f"{row.id}, lot {lot.lot}", case.groups[lot.group].may_travel, note=note)


def _subject(evening: Evening, key: Key) -> str:
    return f"{key[1]} at {key[0]}, night of {evening.night}"


def _there(evening: Evening) -> Iterator[Finding | None]:
    """A place gives what stood there, or (a fault of its own) what was brought that night; never more."""
    for key, taken in evening.out.items():
        reach = evening.stock.get(key, NONE).plus(evening.brought.get(key, NONE))
        yield STOCK.at_most(_subject(evening, key), measured=taken.hives, limit=reach.hives)
        yield STOCK.at_most(
            _subject(evening, key), measured=taken.pallets, limit=reach.pallets, note="pallets"
        )


def _moved_once(evening: Evening) -> Iterator[Finding | None]:
    for key, taken in evening.out.items():
        stood = evening.stock.get(key, NONE)
        brought = evening.brought.get(key, NONE)
        # Without anything brought that night, too many taken is a lack of stock and is told there.
        limit = stood.hives if brought.hives else max(stood.hives, taken.hives)
        yield ONCE.at_most(_subject(evening, key), measured=taken.hives, limit=limit)


def _whole(case: Case, group: HiveGroup, pile: Pile) -> str:
    each = pallet_hives(case, group)
    if each is None:
        return "" if pile.pallets == 0 else f"{group.name} rides loose, yet {pile.pallets} pallets are told"
    empty_places = pile.pallets * each - pile.hives
    last = group.hives % each
    if empty_places == 0 or (last and empty_places == each - last):
        return ""
    return f"{pile.hives} hives on {pile.pallets} pallets of {each}: a pallet is not whole"


def _whole_lot(case: Case, row: TruckNight, lot: Lot) -> Finding | None:
    fault = _whole(case, case.groups[lot.group], Pile(lot.hives, lot.pallets))
    return WHOLE.holds(f"{row.id}, lot {lot.lot}", not fault, note=fault)


def _whole_piles(case: Case, nights: Iterable[Evening]) -> Iterator[Finding | None]:
    for evening in nights:
        for key, pile in evening.after().items():
            if key in evening.out or key in evening.brought:
                fault = _whole(case, case.groups[key[1]], pile)
                yield WHOLE.holds(_subject(evening, key), not fault, note=fault)


def _yard_room(case: Case, evening: Evening) -> Iterator[Finding | None]:
    after = evening.after()
    brought_to = {place for place, _ in evening.brought}
    for yard in case.operation.yards:
        hives = sum(pile.hives for (place, _), pile in after.items() if place == yard.name)
        # A yard that was too full from the start is not made so by a plan that brings it nothing.
        limit = yard.capacity_hives if yard.name in brought_to else max(yard.capacity_hives, hives)
        yield YARD.at_most(f"{yard.name}, night of {evening.night}", measured=hives, limit=limit)
