"""Checks of what holds the load: straps of hives first, then tie-downs, then the headboard.

49 CFR 393.106(d) and 393.110 hold at once: enough tie-downs for the length, enough strength for the weight.
They are the least the law asks; 393.106(d) is taken to meet the 0.8 g forward and 0.5 g rearward and sideways of
393.102, and friction counts for nothing. No cargo strap counts over hives that are not strapped lid to bottom board.
Anchor points and worn webbing must be looked at by a person.
"""

import math
from collections.abc import Sequence

from routing.finding import Finding, at_least, not_checked
from routing.formulas.tiedown import counted_wll_lb, default_wll, least_aggregate_wll_lb, least_tie_downs
from routing.inputs.fleet import TieDown
from routing.loads.circumstances import Circumstances, Riders
from routing.loads.headboard import blocks, headboard, should_it_hold
from routing.loads.load import Load, Placement
from routing.loads.states import stretches_of
from routing.loads.vehicle import Rig
from routing.units import feet_from_inches

NUMBER_SOURCE = "49 CFR 393.110"
STRENGTH_SOURCE = "49 CFR 393.106(d): at least half the weight of the cargo"


def securing(load: Load, rig: Rig, *, about: Circumstances) -> tuple[Finding, ...]:
    """Return every finding on hive straps, tie-downs and headboard."""
    subject = f"{load.truck_night}, load {load.number}"
    return (
        *(_strapped(riders, subject) for riders in about.riders),
        *_tie_downs(load, rig, subject, strapped=_all_strapped(about)),
        *headboard(load, rig, subject),
    )


def _all_strapped(about: Circumstances) -> bool | None:
    """Tell whether every hive is strapped; None when that is not known of some and no other is known not to be."""
    answers = {riders.strapped for riders in about.riders if riders.hives}
    return False if False in answers else None if None in answers else True


def straps_available(rig: Rig) -> int:
    """Return how many tie-downs the truck carries."""
    return sum(one.count for one in rig.tie_downs)


def straps_needed(units: Sequence[Placement], rig: Rig) -> int:
    """Return how many of the truck's own tie-downs satisfy both rules on every stretch of road.

    The strongest are taken first. Should all together be too weak, as many more of the weakest are counted as
    would make it good.
    """
    return max((_needed(riding, rig) for riding in stretches_of(units)), default=0)


def _needed(units: Sequence[Placement], rig: Rig) -> int:
    counted = sorted((one for one in _counted_lb(rig.tie_downs) if one > 0.0), reverse=True)
    missing_lb = least_aggregate_wll_lb(sum(unit.weight_high_lb for unit in units))
    by_weight = 0
    for one_lb in counted:
        if missing_lb <= 0.0:
            break
        missing_lb -= one_lb
        by_weight += 1
    if missing_lb > 0.0 and counted:
        by_weight += math.ceil(missing_lb / counted[-1])
    return max(_by_length(units, rig), by_weight)


def _by_length(units: Sequence[Placement], rig: Rig) -> int:
    return sum(_for_article(article, units, rig) for article in articles(units, rig))


def articles(units: Sequence[Placement], rig: Rig) -> list[list[Placement]]:
    """Return the units in runs along the deck without a gap: each run is one article to the rule."""
    near_in = rig.figure("blocked_within_in").value
    runs: list[list[Placement]] = []
    end_in = -math.inf
    for unit in sorted(units, key=lambda one: one.front_in):
        if unit.front_in > end_in + near_in:
            runs.append([])
        runs[-1].append(unit)
        end_in = max(end_in, unit.front_in + unit.length_in)
    return runs


def _for_article(article: Sequence[Placement], units: Sequence[Placement], rig: Rig) -> int:
    """Return the number by length of one article of a load."""
    length_in = max(unit.front_in + unit.length_in for unit in article) - article[0].front_in
    blocked = blocks(rig, units) and article[0].front_in <= rig.figure("blocked_within_in").value
    return least_tie_downs(feet_from_inches(length_in), sum(unit.weight_high_lb for unit in article), blocked=blocked)


def strap_places_in(units: Sequence[Placement], rig: Rig) -> tuple[float, ...]:
    """Return where the needed tie-downs go over the load when it leaves, behind the front end of the deck. [in]

    Each article has its own number; those that only the weight asks for go to the longest. Evenly along an article, each
    over the middle of the nearest unit, so that no strap lies on an edge (common practice, no source).
    """
    leaving = next(iter(stretches_of(units)), ())
    runs = articles(leaving, rig)
    numbers = [_for_article(run, leaving, rig) for run in runs]
    if runs:
        longest = max(range(len(runs)), key=lambda place: (len(runs[place]), -place))
        numbers[longest] += max(0, _needed(leaving, rig) - sum(numbers))
    return tuple(sorted(at_in for run, number in zip(runs, numbers, strict=True) for at_in in _along(run, number)))


def _along(run: Sequence[Placement], number: int) -> list[float]:
    start_in, end_in = run[0].front_in, max(unit.front_in + unit.length_in for unit in run)
    middles = sorted({unit.front_in + unit.length_in / 2 for unit in run})
    even = [start_in + (place + 0.5) * (end_in - start_in) / number for place in range(number)]
    return [min(middles, key=lambda middle: (abs(middle - at_in), middle)) for at_in in even]


def _counted_lb(tie_downs: Sequence[TieDown]) -> list[float]:
    """Return what each tie-down counts for, one by one; 0 when its limit is not known."""
    counted: list[float] = []
    for one in tie_downs:
        wll_lb = _wll_lb(one)
        each = 0.0 if wll_lb is None else counted_wll_lb(wll_lb, over_to_other_side=one.over_to_other_side)
        counted += [each] * one.count
    return counted


def _wll_lb(tie_down: TieDown) -> float | None:
    """Return the limit of the weakest part that is known: the tie-down itself, the anchor that it hooks to."""
    own_lb = tie_down.wll_lb
    if own_lb is None:
        row = default_wll(tie_down.kind, tie_down.size)
        own_lb = None if row is None else row.value
    if own_lb is None or tie_down.anchor_wll_lb is None:
        return own_lb
    return min(own_lb, tie_down.anchor_wll_lb)


def _tie_downs(load: Load, rig: Rig, subject: str, *, strapped: bool | None) -> list[Finding]:
    if not rig.tie_downs and rig.truck.hired:
        note = "the hauler's tie-downs are not listed; ask before the night"
        return [
            not_checked("tie-downs", subject, force="law", source=NUMBER_SOURCE, note=note),
            not_checked(
                "working load limit, all together", subject, force="law", source=STRENGTH_SOURCE, note=note
            ),
        ]
    needed = straps_needed(load.placements, rig)
    cargo_lb = max(
        (sum(unit.weight_high_lb for unit in units) for units in stretches_of(load.placements)), default=0.0
    )
    note = _without_headboard(load, rig, needed) if rig.tie_downs else "no tie-down is listed for this truck"
    number = at_least("tie-downs", subject, measured=straps_available(rig), limit=needed, unit="tie-downs",
                      force="law", source=NUMBER_SOURCE, note=note)  # fmt: skip
    return [number, _strength(rig, subject, cargo_lb=cargo_lb, strapped=strapped), *_unmarked(rig, subject)]


def _without_headboard(load: Load, rig: Rig, needed: int) -> str:
    """Return what a headboard would spare of which the tables say too little to count on it."""
    good = should_it_hold(rig)
    if good is None:
        return ""
    blocked = straps_needed(load.placements, good)
    fewer = f"; {blocked} would do should it hold" if blocked < needed else ""
    return f"counted as without a headboard: its height or strength is not in the table of trucks{fewer}"


def _strength(rig: Rig, subject: str, *, cargo_lb: float, strapped: bool | None) -> Finding:
    counted_lb = sum(_counted_lb(rig.tie_downs)) if strapped is not False else 0.0
    found = at_least("working load limit, all together", subject, measured=counted_lb, limit=least_aggregate_wll_lb(cargo_lb),
                     unit="lb", force="law", source=STRENGTH_SOURCE,
                     note=_strength_note(rig, strapped=strapped))  # fmt: skip
    if strapped is None and found.status == "ok":
        return found.model_copy(update={"status": "unknown"})
    return found


def _strength_note(rig: Rig, *, strapped: bool | None) -> str:
    if not rig.tie_downs:
        return "no tie-down is listed for this truck"
    if strapped is False:
        return "no cargo strap counts until every hive is strapped, lid to bottom board"
    if strapped is None:
        return "counts once every hive is strapped, lid to bottom board"
    anchors = "" if all(one.anchor_wll_lb for one in rig.tie_downs) else "; anchor points are not marked: look at them"
    indirect = sum(one.count for one in rig.tie_downs if one.over_to_other_side)
    return f"{indirect} over to the other side, counted whole; {straps_available(rig) - indirect} counted half{anchors}"


def _unmarked(rig: Rig, subject: str) -> list[Finding]:
    """Return what is said of tie-downs that bear no mark: a table's value counts, or none is known."""
    found = []
    for one in rig.tie_downs:
        if one.wll_lb is None and default_wll(one.kind, one.size) is None:
            note = f"{one.count} x {one.kind} {one.size}: no mark, and no row of the table; counted as 0 lb"
            found.append(
                not_checked("unmarked tie-down", subject, force="law", source="49 CFR 393.108", note=note)
            )
    return found


def _strapped(riders: Riders, subject: str) -> Finding:
    source = "common practice, no source: a hive rides strapped, lid to floor"
    check = f"hives of {riders.group} strapped"
    if riders.strapped is None:
        note = "not strapped as the hives stand today; to be done and looked at before loading"
        return not_checked(check, subject, force="practice", source=source, note=note)
    done = riders.hives if riders.strapped else 0
    return at_least(
        check, subject, measured=done, limit=riders.hives, unit="hives", force="practice", source=source
    )
