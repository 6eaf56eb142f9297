"""A siting in lines of plain text: the drops in order, how even they are, the curve, what was left out, the checks."""

from collections.abc import Iterator, Sequence

from routing.drops.drop import Evenness, Siting
from routing.drops.reach import SharedBees
from routing.finding import Finding
from routing.sheets.words import amount, counted


def siting_lines(siting: Siting, shared: Sequence[SharedBees] = ()) -> tuple[str, ...]:
    """Return the siting as a person reads it.

    Parameters
    ----------
    siting
        With its findings.
    shared
        Blocks and bloom within reach of the same bees.
    """
    return (
        *_head(siting),
        "",
        *_drops(siting),
        "",
        *_curve(siting),
        "",
        *_rest(siting, shared),
        *_checks(siting.findings),
    )


def _head(siting: Siting) -> Iterator[str]:
    dense = siting.hives / siting.acres
    yield (
        f"{siting.contract}: {counted(siting.hives, 'hive')} on {siting.acres:.1f} acres ({dense:.1f} an acre)"
        f" at {counted(len(siting.drops), 'drop')}."
    )
    yield f"Acre to its hives: {_even_words(siting.evenness)}."
    if siting.today is not None:
        yield f"With the {counted(siting.today.stops, 'drop')} of the operation: {_even_words(siting.today)}."
    proof = "proven best" if siting.gap < 5e-5 else f"at most {siting.gap:.1%} over the least possible"
    yield f"With as many drops the mean cannot be under {siting.bound_mean_ft:.0f} ft: this siting is {proof}."
    shortest = "the shortest there is" if siting.way_is_shortest else "the shortest found"
    yield f"Round from the gate past all drops and back: {siting.way_ft:,.0f} ft, {shortest}."


def _even_words(even: Evenness) -> str:
    return f"mean {even.mean_ft:.0f} ft, worst {even.worst_ft:.0f} ft, deviation {even.deviation_ft:.0f} ft"


def _drops(siting: Siting) -> Iterator[str]:
    yield f"{'drop':<6}{'hives':>6}{'acres':>8}{'mean ft':>9}{'worst ft':>10}{'drive ft':>10}  where"
    for drop in siting.drops:
        where = f"{drop.latitude_deg:.6f}, {drop.longitude_deg:.6f}" + (f", {drop.track}" if drop.track else "")
        sun = "" if drop.morning_sun else ", no morning sun"
        yield (
            f"{drop.name:<6}{drop.hives:>6}{drop.acres:>8.1f}{drop.mean_ft:>9.0f}{drop.worst_ft:>10.0f}{drop.way_ft:>10,.0f}"
            f"  {where}{sun}"
        )


def _curve(siting: Siting) -> Iterator[str]:
    yield "Stops against evenness:"
    yield f"{'stops':>6}{'mean ft':>9}{'worst ft':>10}{'deviation ft':>14}{'gap':>8}"
    for point in siting.curve:
        even = point.evenness
        mark = "  <- this one" if point.chosen else ""
        yield f"{even.stops:>6}{even.mean_ft:>9.0f}{even.worst_ft:>10.0f}{even.deviation_ft:>14.0f}{point.gap:>8.2%}{mark}"


def _rest(siting: Siting, shared: Sequence[SharedBees]) -> Iterator[str]:
    yield from siting.notes
    if siting.left_out:
        reasons = "; ".join(f"{one.points} {one.reason}" for one in siting.left_out)
        looked_at = siting.candidates + sum(one.points for one in siting.left_out)
        yield f"Looked at {looked_at} places along the tracks; left out: {reasons}."
    if shared:
        yield "Within reach of the same bees:"
    for one in shared:
        yield f"  block {one.block} and {_other_words(one)}: {one.miles:.2f} mi from edge to edge"


def _other_words(one: SharedBees) -> str:
    if not one.other:
        return f"competing bloom {one.other_name} ({one.other_acres:.0f} acres), which draws bees away"
    dense = f", {one.other_hives_per_acre:.1f} hives an acre" if one.other_hives_per_acre is not None else ""
    crop = "same crop" if one.same_crop else "another crop"
    return f"block {one.other_name} of {one.other} ({one.other_acres:.0f} acres, {crop}{dense})"


def _checks(findings: Sequence[Finding]) -> Iterator[str]:
    open_ones = [finding for finding in findings if finding.status != "ok"]
    yield f"Checks: {len(findings) - len(open_ones)} of {len(findings)} met." + ("" if open_ones else " None is open.")
    for finding in open_ones:
        if finding.status == "unknown":
            yield f"  NOT CHECKED  {finding.check}: {finding.note}. {finding.source}."
            continue
        word = "ADVICE" if finding.force == "advice" else "BROKEN"
        figures = f"{amount(finding.measured or 0.0, finding.unit)}, limit {amount(finding.limit or 0.0, finding.unit)}"
        note = f" ({finding.note})" if finding.note else ""
        yield f"  {word}  {finding.check}: {figures}{note}. {finding.source.rstrip('.')}."
