"""The units of a lot, pallets or loose hives, with their labels on the deck and where they stand."""

from routing.inputs.fleet import Truck
from routing.loads.load import Placement
from routing.nights.tour import Lot, TruckNight
from routing.plan_record import Plan
from routing.record import Record
from routing.sheets.words import counted, feet_and_inches, label_ranges


class SheetUnit(Record):
    """One pallet with its hives, or one loose hive."""

    label: str
    """Empty when there is no deck plan."""
    hives: int


def placements_of(plan: Plan, truck_night: TruckNight) -> dict[str, tuple[Placement, ...]]:
    """Return the placements of each lot of one truck-night, in the order of its deck plans."""
    found: dict[str, tuple[Placement, ...]] = {}
    for load in plan.loads:
        if load.truck_night == truck_night.id:
            for placement in load.placements:
                found[placement.lot] = (*found.get(placement.lot, ()), placement)
    return found


def units_of(lot: Lot, placements: tuple[Placement, ...]) -> tuple[SheetUnit, ...]:
    """Return the units of ``lot``: as the deck plan has them, else shared out evenly over its pallets."""
    if placements:
        return tuple(SheetUnit(label=one.label, hives=one.hives) for one in placements)
    if lot.pallets == 0:
        return tuple(SheetUnit(label="", hives=1) for _ in range(lot.hives))
    full = -(-lot.hives // lot.pallets)
    left = [min(full, max(0, lot.hives - full * index)) for index in range(lot.pallets)]
    return tuple(SheetUnit(label="", hives=hives) for hives in left)


def lot_count_words(lot: Lot) -> str:
    """Return ``24 hives on 6 pallets`` or ``12 loose hives``."""
    if lot.pallets == 0:
        return counted(lot.hives, "loose hive")
    return f"{counted(lot.hives, 'hive')} on {counted(lot.pallets, 'pallet')}"


def labels_of(placements: tuple[Placement, ...]) -> str:
    """Return the labels that the driver reads on the deck plan, ``A1 to A6``."""
    return label_ranges(placement.label for placement in placements)


def deck_words(placements: tuple[Placement, ...], truck: Truck) -> str:
    """Return where on the deck the units stand: distance from its front end, side, layer (1 is lowest)."""
    if not placements:
        return "no deck plan was made"
    front = feet_and_inches(min(one.front_in for one in placements))
    back = feet_and_inches(max(one.front_in + one.length_in for one in placements))
    words = f"{front} to {back} from the front, {_side(placements, truck)}"
    tiers = sorted({one.tier for one in placements})
    if tiers == [1]:
        return words
    layers = " and ".join(str(tier) for tier in tiers)
    return f"{words}, layer{'s' if len(tiers) > 1 else ''} {layers} (1 is lowest)"


def _side(placements: tuple[Placement, ...], truck: Truck) -> str:
    middle = truck.deck_width_in / 2
    left = any(one.left_in + one.width_in / 2 < middle - 1 for one in placements)
    right = any(one.left_in + one.width_in / 2 > middle + 1 for one in placements)
    if left and right:
        return "both sides"
    return "left (driver's) side" if left else "right side" if right else "in the middle"
