"""The coupling in the deck plan's model: rows (9) and (10) of the formulation in ``routing.loads.search``.

A coupling's shares lie close together, and marked places are a pallet apart: the load as a whole may stand d inches
behind its marks. All that rides is known, so that moving it changes every weight limit by a known weight for each inch;
the middle of each range counts there, and the last inches are found afterwards, by ``nudge``, with every weight exact.
"""

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from ortools.sat.python import cp_model

from routing.formulas.axle import Share
from routing.loads.capacity import Slot
from routing.loads.coupling import coupled
from routing.loads.stowage import TENTHS, Deck, tenths
from routing.loads.vehicle import Bearing
from routing.loads.weight_rows import coupling_rows

MOST_MISSED = 1000  # tenths of a per cent: all of the trailer

Places = Mapping[tuple[int, int, int], cp_model.IntVar]


class OnCoupling(NamedTuple):
    """Variables of the coupling; both are 0 when there is no trailer on one."""

    missed: cp_model.IntVar
    """g: what its share misses, in tenths of a per cent."""
    behind_in: cp_model.IntVar
    """d: how far behind its marks the load stands."""
    apart: cp_model.IntVar
    """h: as g, with each unit by itself at its worse end: the less, the smaller the chance that the share is missed."""


def on_coupling(deck: Deck, model: cp_model.CpModel, used: Sequence[cp_model.IntVar]) -> OnCoupling:
    """Return the variables, with (10): no used slot is moved over the rear end of the deck."""
    if deck.vehicle is None or not coupling_rows(deck.rig):
        return OnCoupling(model.new_constant(0), model.new_constant(0), model.new_constant(0))
    length_in = deck.rig.truck.deck_length_in
    room_in = max(0, int(length_in - min(slot.front_in + slot.length_in for slot in deck.layout)))
    behind = model.new_int_var(0, room_in, "d")
    for one, slot in zip(used, deck.layout, strict=True):
        left_in = max(0, math.floor(length_in - slot.front_in - slot.length_in + 1e-6))
        model.add(behind <= left_in).only_enforce_if(one)
    return OnCoupling(model.new_int_var(0, MOST_MISSED, "g"), behind, model.new_int_var(0, MOST_MISSED, "h"))


def keep_coupling(deck: Deck, model: cp_model.CpModel, x: Places, on: OnCoupling, use: cp_model.IntVar) -> None:
    """Add (9): the least and most share of trailer and cargo but for g, and the coupling's rating."""
    for row in coupling_rows(deck.rig) if deck.vehicle else []:
        for light in (True, False, None) if row.together else (None,):
            adds = {key[:2]: deck.adds_to(row, batch=key[0], slot=key[1], light=light) for key in x}
            for riding in deck.stretches():
                left = tenths(row.base_lb) + sum(adds[key[:2]] * one for key, one in x.items() if key[0] in riding)
                left += moved(deck, row.adds, riding) * on.behind_in
                if row.together:
                    missed = on.apart if light is None else on.missed
                    model.add(left <= _thousandth(deck, riding) * missed)
                else:
                    model.add(100 * left <= math.floor(row.limit_lb * TENTHS) * use)


def moved(deck: Deck, adds: Share, riding: Sequence[int]) -> int:
    """Return what an inch further back adds to a weight limit, each unit at the middle of its range. [tenths of lb]"""
    middle_lb = sum(one.number * (one.low_lb + one.high_lb) / 2 for one in (deck.carried[place] for place in riding))
    return round(adds.per_in * middle_lb * TENTHS)


def line_of(bearing: Bearing, shares: Sequence[Share]) -> Share:
    """Return what one pound adds to a bearing, in its place on the deck."""
    pairs = list(zip(bearing.parts, shares, strict=True))
    return Share(sum(part * one.constant for part, one in pairs), sum(part * one.per_in for part, one in pairs))


def behind_marks(layout: Sequence[Slot], inches: float) -> tuple[Slot, ...]:
    """Return the slots so many inches further back."""
    return tuple(slot._replace(front_in=slot.front_in + inches) for slot in layout)


def _thousandth(deck: Deck, riding: Sequence[int]) -> int:
    """Return a thousandth of the trailer's lightest weight with what rides. [tenths of lb]"""
    on = coupled(deck.rig)
    cargo_lb = sum(deck.carried[place].number * deck.carried[place].low_lb for place in riding)
    return max(1, math.floor(((on.total_lb if on else 0.0) + cargo_lb) * TENTHS / 1000))
