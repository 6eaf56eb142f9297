"""What a load that is too heavy leaves behind: for certain, and for a chance that is small enough."""

from collections.abc import Sequence

from routing.finding import Finding, at_most, not_checked
from routing.loads.chance import SLIVER_LB, chance_of_any, spread_of
from routing.loads.leave.solve import fewest_left
from routing.loads.load import Placement
from routing.loads.states import stretches_of
from routing.loads.vehicle import Rig
from routing.loads.weight_rows import WeightRow, weight_rows

CHECK = "units to leave behind, so that every weight limit is kept"
SOURCE = "fewest units, each weight at its worse end; the weight limits above"
NO_CHOICE = "no choice was found that keeps every limit: units must stand elsewhere, or on another truck"
MOST_WEIGHED = 3000
"""Units times stretches of road up to which the smaller choice is looked for too: it asks for the search anew each time."""
EASES = (0.0, 0.25, 0.5, 0.75, 1.0)


def lighter_finding(rig: Rig, units: Sequence[Placement], subject: str) -> Finding:
    """Return the finding on what must be left behind; its note names the units."""
    try:
        rows = weight_rows(rig)
    except ValueError:
        return not_checked(CHECK, subject, force="own figure", source=SOURCE, note="where the axles are is not known")
    if not _breaks(rows, units):
        return at_most(CHECK, subject, measured=0, limit=0, unit="units", force="own figure", source=SOURCE)
    surely = fewest_left(rig, units)
    if surely is None:
        return Finding(check=CHECK, subject=subject, status="broken", unit="units", limit=0.0, force="own figure",
                       source=SOURCE, note=NO_CHOICE)
    note = f"for certain: {', '.join(surely)}{_likely_words(rig, units, surely)}"
    return at_most(CHECK, subject, measured=len(surely), limit=0, unit="units", force="own figure", source=SOURCE,
                   note=note)  # fmt: skip


def likely_left(rig: Rig, units: Sequence[Placement]) -> tuple[str, ...] | None:
    """Return a small set of units without which the chance of breaking a limit is small enough; None without one."""
    rows, most = weight_rows(rig), rig.figure("overweight_chance_most").value
    for ease in EASES:
        left = fewest_left(rig, units, ease=ease)
        if left is not None:
            riding = [unit for unit in units if unit.label not in left]
            if chance_of_any(rows, stretches_of(riding), spread_of(rig)) <= most:
                return left
    return None


def _likely_words(rig: Rig, units: Sequence[Placement], surely: Sequence[str]) -> str:
    if len(units) * len(stretches_of(units)) > MOST_WEIGHED:
        return ""
    likely = likely_left(rig, units)
    if likely is None or len(likely) >= len(surely):
        return ""
    return f"; for a chance of at most {rig.figure('overweight_chance_most').value:g}: {', '.join(likely) or 'none'}"


def _breaks(rows: Sequence[WeightRow], units: Sequence[Placement]) -> bool:
    return any(row.worst_lb(riding) > row.limit_lb + SLIVER_LB for riding in stretches_of(units) for row in rows)
