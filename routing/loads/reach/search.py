"""Reach in the deck plan's model: row (5) of the formulation in ``routing.loads.search``."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from ortools.sat.python import cp_model

from routing.loads import rows
from routing.loads.stowage import Deck


class Terms(NamedTuple):
    """What row (5) is written in: y and v of the formulation."""

    model: cp_model.CpModel
    y: Mapping[tuple[int, int], cp_model.IntVar]
    v: Sequence[cp_model.IntVar]


def keep_clear(
    deck: Deck, model: cp_model.CpModel, y: Mapping[tuple[int, int], cp_model.IntVar], v: Sequence[cp_model.IntVar]
) -> None:
    """Add (5): nothing that stays stands between a unit and the side or end from which it is lifted, but for v."""
    terms = Terms(model, y, v)
    hindrances = [
        (batch, other)
        for batch, one in enumerate(deck.carried)
        for other, its in enumerate(deck.carried)
        if its.ride.hinders(one.ride)
    ]
    for slot in range(len(deck.layout)) if hindrances else ():
        if deck.rig.truck.unloading == "rear":
            _keep_clear(terms, hindrances, slot, side=(rows.behind(deck.layout, slot), None))
        else:
            right, left = terms.model.new_bool_var(f"r{slot}"), terms.model.new_bool_var(f"l{slot}")
            terms.model.add(left + right == 1)
            _keep_clear(terms, hindrances, slot, side=(rows.right_of(deck.layout, slot), right))
            _keep_clear(terms, hindrances, slot, side=(rows.left_of(deck.layout, slot), left))


def _keep_clear(
    terms: Terms,
    hindrances: Sequence[tuple[int, int]],
    slot: int,
    *,
    side: tuple[list[int], cp_model.IntVar | None],
) -> None:
    """Keep other slots clear of what hinders the units in one slot, when they leave towards that side."""
    between, when = side
    for batch, other in hindrances:
        for place in between:
            if (batch, slot) in terms.y and (other, place) in terms.y:
                clause = [terms.y[batch, slot].negated(), terms.y[other, place].negated(), terms.v[place]]
                terms.model.add_bool_or(clause if when is None else [*clause, when.negated()])




def units_lifted(
    deck: Deck, model: cp_model.CpModel, x: Mapping[tuple[int, int, int], cp_model.IntVar], v: Sequence[cp_model.IntVar]
) -> list[cp_model.IntVar]:
    """Return, for each slot, the units that are lifted twice when its stack is in the way: all that ever stand in it."""
    lifted = []
    for slot, in_the_way in enumerate(v):
        here = [one for key, one in x.items() if key[1] == slot]
        lifted.append(model.new_int_var(0, max(1, len(here)), f"lifted{slot}"))
        model.add(lifted[-1] >= sum(here)).only_enforce_if(in_the_way)
    return lifted
