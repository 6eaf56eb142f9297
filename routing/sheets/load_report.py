"""The load sheet: one sheet of paper of one load, with its deck seen from above and from the side, and every check.

Each check stands with its figure, its limit, the room left and its source; one that could not be made says UNKNOWN.
"""

import datetime as dt
from collections.abc import Sequence

from routing.finding import Finding
from routing.loads.handling import drop_offs
from routing.loads.load import Load, Placement
from routing.loads.on_the_way import road_limits_on
from routing.loads.papers import cab_list
from routing.loads.securing import strap_places_in
from routing.loads.vehicle import Rig, rig_of, vehicle
from routing.plan_record import Plan
from routing.record import Record
from routing.sheets.cautions import LOAD_WATCH, RULES_FIRST
from routing.sheets.deck_figure import deck_svg
from routing.sheets.words import amount, counted, feet_and_inches, label_ranges

VERDICTS = {"ok": "ok", "broken": "BROKEN", "unknown": "UNKNOWN"}
MOST_LABELS = 24
"""Labels of one drop told one by one in the order of lifting; of more, only the runs are told."""


class AxleRow(Record):
    """One axle group over the whole way, at its heaviest."""

    name: str
    weight_words: str
    """Lightest to heaviest."""
    limit_words: str
    margin_words: str
    source: str
    over: bool


class DropRow(Record):
    """One drop, in the order in which they come off."""

    order: int
    place: str
    hives: int
    labels: str
    after_words: str
    """What the truck then weighs, axle group by axle group; empty after the last."""


class CheckRow(Record):
    """One check in words."""

    verdict: str
    check: str
    figures: str
    source: str
    note: str


class LoadReport(Record):
    """All that a scale, an inspector and a driver ask of one load."""

    title: str
    truck: str
    night_words: str
    load_words: str
    verdict: str
    sound: bool
    """No check is broken and none is unknown."""
    figure_svg: str
    axles: tuple[AxleRow, ...]
    gross_words: str
    top_words: str
    straps_words: str
    straps: tuple[str, ...]
    drops: tuple[DropRow, ...]
    to_do: tuple[str, ...]
    cab: tuple[str, ...]
    checks: tuple[CheckRow, ...]
    cautions: tuple[str, ...]


def load_report(load: Load, rig: Rig) -> LoadReport:
    """Return the load sheet of a judged load; ``rig`` is the one that it was judged with."""
    count = {status: sum(one.status == status for one in load.findings) for status in VERDICTS}
    gross = [state.gross_high_lb for state in load.states]
    return LoadReport(
        title=f"Load sheet {load.truck_night}, load {load.number}",
        truck=load.truck,
        night_words=f"night of {load.night.isoformat()}",
        load_words=f"{counted(load.hives, 'hive')} in {counted(len(load.placements), 'unit')}",
        verdict=_verdict(count),
        sound=not count["broken"] and not count["unknown"],
        figure_svg=deck_svg(load, rig.truck) if load.placements else "",
        axles=_axle_rows(load, rig),
        gross_words=f"{amount(round(max(gross)), 'lb')} at the heaviest, rated {amount(rig.truck.gross_rating_lb, 'lb')}"
        if gross else "NOT WORKED OUT",
        top_words=f"{feet_and_inches(load.top_of_load_in)} above the road",
        straps_words=f"{load.straps_needed} needed, {load.straps_available} on board",
        straps=_straps(load, rig),
        drops=_drop_rows(load, rig),
        to_do=load.to_do,
        cab=tuple(f"{one.what} ({one.why})" for one in cab_list(rig)),
        checks=tuple(check_row(one) for one in in_order(load.findings)),
        cautions=(LOAD_WATCH, RULES_FIRST),
    )  # fmt: skip


def load_reports(plan: Plan, night: dt.date) -> tuple[LoadReport, ...]:
    """Return the load sheets of one night, truck by truck in the order of the plan."""
    loads = [load for load in plan.loads if load.night == night]
    return tuple(load_report(load, _rig(plan, load)) for load in loads)


def _rig(plan: Plan, load: Load) -> Rig:
    places = {place for unit in load.placements for place in (unit.origin, unit.destination)}
    road_limits = road_limits_on(plan.operation, load.night, places)
    return rig_of(plan.operation, load.truck).model_copy(update={"road_limits": road_limits})


def load_nights(plan: Plan) -> tuple[dt.date, ...]:
    """Return every night on which something rides, in order."""
    return tuple(sorted({load.night for load in plan.loads}))


def in_order(findings: Sequence[Finding]) -> list[Finding]:
    """Return findings with the broken ones first, then those that could not be checked."""
    order = ("broken", "unknown", "ok")
    return sorted(findings, key=lambda one: order.index(one.status))


def check_row(finding: Finding) -> CheckRow:
    """Return one finding in words."""
    figures = []
    if finding.measured is not None:
        figures.append(amount(finding.measured, finding.unit))
    if finding.limit is not None:
        figures.append(f"limit {amount(finding.limit, finding.unit)}")
    if finding.margin is not None:
        word = "room" if finding.margin >= 0 else "wrong by"
        figures.append(f"{word} {amount(abs(finding.margin), finding.unit)}")
    return CheckRow(
        verdict=VERDICTS[finding.status],
        check=finding.check,
        figures=", ".join(figures),
        source=f"{finding.force}: {finding.source}",
        note=finding.note,
    )


def _verdict(count: dict[str, int]) -> str:
    if count["broken"]:
        return f"DO NOT ROLL: {counted(count['broken'], 'check')} broken, {count['unknown']} not made, {count['ok']} met"
    if count["unknown"]:
        return f"{counted(count['unknown'], 'check')} NOT MADE: make them before you roll; {count['ok']} met"
    return f"all {count['ok']} checks met"


def _axle_rows(load: Load, rig: Rig) -> tuple[AxleRow, ...]:
    if not load.states:
        return ()
    sources = _limit_sources(rig)
    rows = []
    for place, first in enumerate(load.states[0].axles):
        low_lb = min(state.axles[place].low_lb for state in load.states)
        high_lb = max(state.axles[place].high_lb for state in load.states)
        left_lb = first.limit_lb - high_lb
        rows.append(
            AxleRow(
                name=first.name,
                weight_words=f"{amount(round(low_lb), '')} to {amount(round(high_lb), 'lb')}",
                limit_words=amount(round(first.limit_lb), "lb"),
                margin_words=_left_words(left_lb),
                source=sources[place],
                over=left_lb < 0,
            )
        )
    return tuple(rows)


def _left_words(left_lb: float) -> str:
    return f"{amount(round(left_lb), 'lb')} left" if left_lb >= 0 else f"OVER by {amount(round(-left_lb), 'lb')}"


def _limit_sources(rig: Rig) -> list[str]:
    """Return for each axle group where the least of its own limits is written."""
    axles = vehicle(rig)
    found = []
    for place in range(len(axles.names)):
        only = tuple(float(other == place) for other in range(len(axles.names)))
        own = [one for one in axles.bearings if one.parts == only]
        found.append(min(own, key=lambda one: one.limit_lb).source)
    return found


def _straps(load: Load, rig: Rig) -> tuple[str, ...]:
    lines = []
    for one in rig.tie_downs:
        way = "over to the other side" if one.over_to_other_side else "to the cargo or the same side: counts half"
        rated = f"{amount(one.wll_lb, 'lb')} marked" if one.wll_lb is not None else "unmarked, by the table of 49 CFR 393.108"
        lines.append(f"{one.count} x {one.kind}, {one.size}, {rated}, {way}")
    return (*lines, *_strap_places(load, rig))


def _strap_places(load: Load, rig: Rig) -> tuple[str, ...]:
    places = [feet_and_inches(at_in) for at_in in strap_places_in(load.placements, rig)]
    if not places:
        return ()
    return (f"When leaving, at the least over the load at {', '.join(places)} from the front of the deck",)


def _drop_rows(load: Load, rig: Rig) -> tuple[DropRow, ...]:
    rows = []
    units = {unit.label: unit for unit in load.placements}
    for order, drop in enumerate(drop_offs(load.placements, rig.truck.unloading), 1):
        after = next((state for state in load.states if state.after_stop == drop.stop), None)
        weights = [f"{axle.name} {amount(round(axle.high_lb), 'lb')}" for axle in after.axles] if after else []
        rows.append(
            DropRow(
                order=order,
                place=drop.place or f"drop {drop.stop}",
                hives=sum(units[label].hives for label in drop.labels),
                labels=_labels([units[label] for label in drop.labels]),
                after_words=", ".join(weights),
            )
        )
    return tuple(rows)


def _labels(units: Sequence[Placement]) -> str:
    labels = [unit.label for unit in units]
    return ", ".join(labels) if len(labels) <= MOST_LABELS else label_ranges(labels)
