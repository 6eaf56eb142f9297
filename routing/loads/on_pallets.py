"""How hives stand on their pallet: how many fit, how far they stick out, the lid that they ride under."""

from collections.abc import Iterable

from routing.finding import Finding, at_most
from routing.inputs.build import measure
from routing.inputs.constants import constant
from routing.inputs.fleet import Pallet
from routing.inputs.operation import Operation
from routing.nights.tour import Lot

SLIVER_IN = 1e-6
SOURCE = "common practice, no source: a hive that sticks out is what a fork or a strap hits first"


def hives_that_fit(pallet: Pallet, length_in: float, width_in: float) -> int:
    """Return how many hives of one size stand on a pallet without sticking out, all turned the same way.

    Examples
    --------
    Migratory lids are flush: four stand on a pallet where telescoping covers leave room for two.

    >>> pallet = Pallet(name="four-way", length_in=45.0, width_in=37.0, height_in=4.5, hives=4, weight_lb=42.0)
    >>> hives_that_fit(pallet, 19.875, 16.25), hives_that_fit(pallet, 21.75, 18.75)
    (4, 2)
    """
    ways = ((length_in, width_in), (width_in, length_in))
    return max(_whole(pallet.length_in, along) * _whole(pallet.width_in, across) for along, across in ways)


def pallet_findings(operation: Operation, lots: Iterable[Lot], subject: str) -> tuple[Finding, ...]:
    """Return for each group that rides on pallets how far its hives stick out over them. [in]"""
    groups = {group.name: group for group in operation.hive_groups}
    pallets = {pallet.name: pallet for pallet in operation.pallets}
    limit_in = constant(operation, "pallet_overhang_in")
    found = []
    for name in sorted({lot.group for lot in lots}):
        pallet = pallets.get(groups[name].pallet or "")
        if pallet is None:
            continue
        hive = measure(operation, groups[name].build, travelling=True)
        out_in = sticks_out_in(pallet, hive.length_in, hive.width_in)
        fit = hives_that_fit(pallet, hive.length_in, hive.width_in)
        note = f"{pallet.hives} on a {pallet.name}; {fit} fit without sticking out, migratory lids on"
        found.append(at_most(f"hives of {name} over the edge of their pallet", subject, measured=round(out_in, 3),
                             limit=limit_in, unit="in", force="practice", source=SOURCE, note=note))  # fmt: skip
    return tuple(found)


def sticks_out_in(pallet: Pallet, length_in: float, width_in: float) -> float:
    """Return how far the hives of a pallet stick out to the worse side, standing so that it is least. [in]"""
    ways = []
    for rows in range(1, pallet.hives + 1):
        columns = -(-pallet.hives // rows)
        for along, across in ((length_in, width_in), (width_in, length_in)):
            ways.append(max(0.0, rows * along - pallet.length_in, columns * across - pallet.width_in) / 2)
    return min(ways)


def _whole(room_in: float, each_in: float) -> int:
    return int((room_in + SLIVER_IN) // each_in)
