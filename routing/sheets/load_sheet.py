"""The load as the driver must know it: height, straps, axle weights, and every check not met or not made."""

import math

from routing.inputs.fleet import Truck
from routing.inputs.operation import Operation
from routing.loads.load import AxleLoad, Load
from routing.nights.tour import TruckNight
from routing.plan_record import Plan
from routing.sheets.deck_figure import deck_svg
from routing.sheets.findings import problems
from routing.sheets.sheet_record import AxleLine, LoadSheet
from routing.sheets.words import amount, counted, feet_and_inches


def load_sheets(plan: Plan, truck_night: TruckNight) -> tuple[LoadSheet, ...]:
    """Return every load of one truck-night, in its order."""
    truck = truck_named(plan.operation, truck_night.truck)
    loads = sorted(
        (load for load in plan.loads if load.truck_night == truck_night.id), key=lambda load: load.number
    )
    return tuple(load_sheet(load, truck) for load in loads)


def truck_named(operation: Operation, name: str) -> Truck:
    """Return the truck called ``name``; an operation that passed the door has it."""
    return next(truck for truck in operation.trucks if truck.name == name)


def load_sheet(load: Load, truck: Truck) -> LoadSheet:
    """Return one load in words; ``problems`` holds each finding that is broken or unknown."""
    gross = [state.gross_high_lb for state in load.states]
    return LoadSheet(
        number=load.number,
        hives=load.hives,
        hives_words=_hives_words(load),
        top_words=feet_and_inches(load.top_of_load_in),
        top_limit_words=feet_and_inches_down(truck.most_height_in),
        top_over=load.top_of_load_in > truck.most_height_in,
        straps_needed=load.straps_needed,
        straps_available=load.straps_available,
        straps_short=load.straps_available < load.straps_needed,
        gross_words=f"up to {amount(math.ceil(max(gross)), 'lb')}" if gross else "NOT WORKED OUT",
        rehandled_words=_crew_words(load),
        axles=_axle_lines(load),
        problems=problems(load.findings, here=f"{load.truck_night}, load {load.number}"),
        checks_met=sum(finding.status == "ok" for finding in load.findings),
        figure_svg=deck_svg(load, truck) if load.placements else "",
    )


def _crew_words(load: Load) -> str:
    """Return what the crew does beside the deck plan; empty when nothing."""
    twice = f"{counted(load.rehandled, 'unit')} must be lifted twice" if load.rehandled else ""
    return " ".join([f"{twice}." if twice and load.to_do else twice, *load.to_do]).strip()


def _hives_words(load: Load) -> str:
    lots = sorted({placement.lot for placement in load.placements})
    words = f"{counted(load.hives, 'hive')} in {counted(len(load.placements), 'unit')}"
    return f"{words}, lot{'s' if len(lots) > 1 else ''} {', '.join(lots)}" if lots else words


def feet_and_inches_down(length_in: float) -> str:
    """Return a limit as feet and whole inches, to the inch below, so that it is never read too high. [in]"""
    return feet_and_inches(float(int(length_in)))


def _axle_lines(load: Load) -> tuple[AxleLine, ...]:
    groups: dict[int, list[AxleLoad]] = {}
    for state in load.states:
        for axle in state.axles:
            groups.setdefault(axle.group, []).append(axle)
    return tuple(_axle_line(axles) for _, axles in sorted(groups.items()))


def _axle_line(axles: list[AxleLoad]) -> AxleLine:
    low, high, limit = (
        min(a.low_lb for a in axles),
        max(a.high_lb for a in axles),
        min(a.limit_lb for a in axles),
    )
    return AxleLine(
        name=axles[0].name, low_words=amount(round(low), "lb"), high_words=amount(round(high), "lb"),
        limit_words=amount(round(limit), "lb"), over=any(axle.high_lb > axle.limit_lb for axle in axles),
    )  # fmt: skip
