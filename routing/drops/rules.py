"""How drops are sited: the figures that count, the user's own before the cited ones."""

import math

from routing.drops.drop import SitingError
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.record import Record

GOOD_ENOUGH = 0.01
"""Gap at which the search for a siting ends."""
MOST_STOPS = 30
MOST_CANDIDATES = 200
MOST_PIECES = 200
"""Pieces of ground; each is at most about an acre while that many suffice."""


class SitingRules(Record):
    """What a siting must keep, in hives and feet."""

    least_hives: int
    most_hives: int
    unit_hives: int
    spacing_ft: float
    most_stops: int
    stop_worth_ft: float
    """By how much one more stop must bring hives and acres nearer, on average."""
    farthest_ft: float | None = None
    """No acre may lie farther from its hives; None: no such rule."""
    gap: float = GOOD_ENOUGH
    seconds: float = 4.0
    """For the mixed-integer solver, for each number of stops that is not good enough without it."""


def siting_rules(operation: Operation, contract: Contract, *, most_stops: int | None = None,
                 farthest_ft: float | None = None) -> SitingRules:  # fmt: skip
    """Return the rules of one contract.

    Raises
    ------
    SitingError
        If the hives cannot be shared out over so few stops, or not in groups so large.
    """
    unit = unit_hives(operation)
    least, most = (int(constant(operation, name)) for name in ("drop_least_hives", "drop_most_hives"))
    most = max(most // unit, 1) * unit
    rules = SitingRules(
        least_hives=min(least, contract.colonies),
        most_hives=most,
        unit_hives=unit,
        spacing_ft=constant(operation, "drop_spacing_ft"),
        most_stops=min(most_stops or MOST_STOPS, MOST_STOPS),
        stop_worth_ft=constant(operation, "drop_stop_worth_ft"),
        farthest_ft=farthest_ft,
    )
    fewest = fewest_stops(contract.colonies, rules)
    if fewest > rules.most_stops:
        raise SitingError(
            f"{contract.name}: {contract.colonies} hives cannot stand at"
            f" {'one drop' if rules.most_stops == 1 else f'{rules.most_stops} drops'} of at most {most};"
            f" allow {fewest} stops, or more hives at a drop (drop_most_hives)."
        )
    return rules


def fewest_stops(hives: int, rules: SitingRules) -> int:
    """Return the fewest drops that can hold the hives."""
    return math.ceil(hives / rules.most_hives)


def usable_stops(hives: int, rules: SitingRules) -> int:
    """Return the most drops that the hives are enough for."""
    each = max(1, math.ceil(rules.least_hives / rules.unit_hives)) * rules.unit_hives
    return max(1, min(rules.most_stops, -(-hives // each) if hives % each >= rules.least_hives else hives // each))


def unit_hives(operation: Operation) -> int:
    """Return the hives lifted at once: of the pallet on which most hives stand; 1 when most stand loose."""
    hives: dict[str | None, int] = {}
    for group in operation.hive_groups:
        hives[group.pallet or None] = hives.get(group.pallet or None, 0) + group.hives
    most = max(hives, key=lambda name: hives[name], default=None)
    found = next((pallet.hives for pallet in operation.pallets if pallet.name == most), 1)
    return max(1, found)
