"""The strength report in lines: what to open, what to count on, what passes, what to send."""

from collections import Counter
from collections.abc import Iterator

from routing.sheets.strength_report import ContractLine, GroupLine, LotLine, StrengthReport
from routing.sheets.words import counted
from routing.strength.makeup.propose import MakeUp
from routing.strength.options import Option
from routing.strength.passing import PassChance
from routing.strength.sampling import SamplePlan

CAUTION = (
    "Open hives at random, on a day warm enough to fly, in veil and gloves, smoker lit, an adrenaline pen at hand for"
    " whoever needs one. Standards differ: what your contract and your State say goes before every figure here."
)


def strength_lines(report: StrengthReport) -> tuple[str, ...]:
    """Return the report as lines of text, empty ones between its parts."""
    return tuple(_all(report))


def _all(report: StrengthReport) -> Iterator[str]:
    yield f"Strength of {report.operation}"
    yield f"Growth counted on: {report.growth_counted_share:.0%} of what the curve expects (growth_counted_share)."
    yield ""
    yield "Hives, as last inspected"
    for group in report.groups:
        yield from _group(group)
    yield ""
    yield "Yards: how near the average is known"
    for yard in report.yards:
        yield f"  {yard.subject}: {_sample(yard)}"
    for contract in report.contracts:
        yield ""
        yield from _contract(contract)
    if report.colonies:
        yield ""
        yield "What to send, single colonies, all these contracts together"
        for made in report.colonies:
            yield from _made_up(made)
    if report.pallets:
        yield ""
        yield "What to send, on whole pallets made up anew in each yard"
        for made in report.pallets:
            yield from _made_up(made)
    yield ""
    yield CAUTION


def _group(line: GroupLine) -> Iterator[str]:
    yield (
        f"  {line.group} ({line.yard}): {counted(line.hives, 'hive')}, {line.now.inspected} opened on {line.inspected_on};"
        f" mean {line.now.mean_frames:.1f}, spread {line.now.sd_frames:.1f}, counted on {line.now.counted_frames:.1f} frames"
    )
    yield f"    average: {_sample(line.sample)}"
    box = line.box
    due = f"due {box.due_on}" if box.due_on else "not due this season"
    full = f"{box.occupied_share:.0%} of {box.room_frames:.0f} frames occupied"
    yield f"    boxes: {full}; another box at {box.full_share:.0%}: {due}"
    if line.alive.share_lost > 0.0005:
        yield (
            f"    losses: of {line.hives}, {line.alive.expected:.0f} expected alive on {line.alive.on}"
            f" (at least {line.alive.at_least}); {line.alive.counted} counted on"
        )


def _sample(plan: SamplePlan) -> str:
    if plan.opened >= plan.hives:
        return "known, since every hive was opened"
    near = "not known yet" if plan.known_within_frames is None else f"known within {plan.known_within_frames:.2f} frames"
    wanted = f"within {plan.within_frames:g} frames {counted(plan.to_open, 'hive')} are to be opened, {plan.basis}"
    of = ", ".join(f"{name} {number}" for name, number in plan.of_groups.items())
    spread = f" ({of})" if len(plan.of_groups) > 1 else ""
    more = f"open {plan.more} more" if plan.more else "none more is needed"
    return f"{near} at {plan.confidence:.0%}, {plan.opened} of {plan.hives} opened; to know it {wanted}{spread}: {more}"


def _contract(line: ContractLine) -> Iterator[str]:
    night = f", first night {line.night}" if line.night else f": {line.note}"
    yield (
        f"{line.contract}{night}: {counted(line.colonies, 'colony', 'colonies')}, average {line.average_frames:g}, floor"
        f" {line.floor_frames:g}; opens {line.opened}, at most {line.weak_allowed} of them under the floor"
    )
    for lot in line.lots:
        yield (
            f"  {lot.group}: {lot.hives} hives, counted on {lot.strength.counted_frames:.1f} (expected"
            f" {lot.strength.mean_frames:.1f}), {lot.under_floor_share:.0%} under the floor; passes"
            f" {_chance(lot.passing)}, with all growth {_percent(lot.with_growth)}"
        )
        yield from _further(lot)


def _further(lot: LotLine) -> Iterator[str]:
    if lot.note:
        yield f"    {lot.note}"
    if lot.choice is None:
        return
    done_on = lot.choice.done_on
    for option in lot.choice.options[1:]:
        pays = "pays" if option.kind == lot.choice.pays else "does not pay"
        fit = f"{option.fit} meet the line in place of {lot.choice.options[0].fit}"
        yield f"    {_option(option)} on {done_on}: {fit} if all growth comes, {option.gain_usd:+,.0f} USD: {pays}"


def _option(option: Option) -> str:
    times = counted(option.times, "pair") if option.kind == "join two weak" else counted(option.times, "colony", "colonies")
    verb = "join" if option.kind == "join two weak" else "split"
    return f"{verb} {times} ({option.hives} hives of {option.mean_frames:.1f} frames then)"


def _chance(passing: PassChance) -> str:
    if passing.method == "nothing seen":
        return "not told, since nothing was seen"
    error = "" if passing.method == "exact" else f" ± {max(0.1, 200 * passing.standard_error):.1f} points"
    return f"{_percent(passing.chance)}{error}"


def _percent(share: float) -> str:
    if 0.99 < share < 1.0:
        return "over 99 %"
    return "under 1 %" if 0.0 < share < 0.01 else f"{100 * share:.0f} %"


def _made_up(made: MakeUp) -> Iterator[str]:
    lacking = f", {made.missing} missing" if made.missing else ""
    proven = "" if made.proven else "; not proven to be the least"
    yield (
        f"  {made.contract}, {made.night}: {counted(made.colonies, 'colony', 'colonies')}{lacking}, average"
        f" {made.average_frames:.2f}; {made.given_away_frames:.1f} frames given away{proven}; passes {_percent(made.chance)}"
    )
    for group, yard in dict.fromkeys((part.group, part.yard) for part in made.parts):
        number = Counter[float]()
        for part in made.parts:
            if part.group == group:
                number[part.frames_counted] += part.hives
        grades = ", ".join(f"{hives} of {frames:g}" for frames, hives in sorted(number.items()))
        yield f"    {group} ({yard}): {grades} frames as counted"
    for pallet in made.pallets:
        on_one = ", ".join(f"{frames:g}" for frames in pallet.frames)
        yield f"    {pallet.yard}: {counted(pallet.pallets, 'pallet')} {pallet.pallet} of {on_one} frames"
    if made.parts and not made.sorted_out:
        yield "    Not every hive of these groups was opened: colonies of these strengths must be found and marked first."
