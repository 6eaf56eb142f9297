"""A siting put into the operation: its drops, in the order of the drive, in place of the contract's own rows."""

from routing.drops.drop import SitedDrop, Siting
from routing.inputs.contract import Drop
from routing.inputs.operation import Operation


def with_drops(operation: Operation, siting: Siting) -> Operation:
    """Return the operation with the drops of one contract as sited.

    Drop sheets fill stakes in the order of these rows: the truck sets down at the first drop from the gate
    first, and units are told in that order.
    """
    rows = [drop for drop in operation.drops if drop.contract != siting.contract]
    at = next((place for place, drop in enumerate(operation.drops) if drop.contract == siting.contract), len(rows))
    sited = [_row(siting, drop) for drop in siting.drops]
    return operation.model_copy(update={"drops": (*rows[:at], *sited, *rows[at:])})


def _row(siting: Siting, drop: SitedDrop) -> Drop:
    return Drop(
        contract=siting.contract, name=drop.name, latitude_deg=drop.latitude_deg, longitude_deg=drop.longitude_deg,
        most_hives=drop.hives, note=drop_note(siting, drop),
    )  # fmt: skip


def drop_note(siting: Siting, drop: SitedDrop) -> str:
    """Return what the driver should know of a drop, at most 200 letters."""
    begin = "gate" if drop is siting.drops[0] else f"drop {siting.drops[siting.drops.index(drop) - 1].name}"
    along = f" along {drop.track}" if drop.track else ""
    sun = "entrances east to south-east" if drop.morning_sun else "no morning sun; entrances south"
    return f"{drop.way_ft:,.0f} ft from {begin}{along}; {sun}"[:200]
