"""The judge of a load: every check from the placements and the limits, without asking how the plan was made.

A load typed in by hand is judged the same way as a planned one.
"""

from routing.finding import Finding
from routing.loads.bees import bees
from routing.loads.chance import chance_finding
from routing.loads.circumstances import Circumstances
from routing.loads.gaps import gap_findings
from routing.loads.lighter import lighter_finding
from routing.loads.load import Load
from routing.loads.papers import paper_findings
from routing.loads.pins import pin_findings
from routing.loads.placing import STATES_HEIGHT, placing
from routing.loads.securing import securing
from routing.loads.sizes import sizes
from routing.loads.states import stretches_of
from routing.loads.vehicle import Rig, deck_left_of
from routing.loads.weighing import weighing


def check_load(load: Load, rig: Rig, *, about: Circumstances) -> tuple[Finding, ...]:
    """Return every finding on a load.

    Parameters
    ----------
    load
        Its placements count; its own findings, states and totals are not looked at.
    rig
        The truck with its axle groups and tie-downs.
    about
        How the hives are made ready and how warm it is.

    Returns
    -------
    tuple[Finding, ...]
        Positions, weights, tie-downs, hives; a check that could not be made is there as ``unknown``.
    """
    subject = f"{load.truck_night}, load {load.number}"
    stretches = stretches_of(load.placements)
    return (
        *_placing(load, rig),
        *sizes(load, rig),
        *weighing(load, rig),
        chance_finding(rig, stretches, subject),
        lighter_finding(rig, load.placements, subject),
        *pin_findings(rig, stretches, subject),
        *securing(load, rig, about=about),
        *bees(load, about=about),
        *gap_findings(load, about=about),
        *paper_findings(about.papers, load.night, subject),
    )


def _placing(load: Load, rig: Rig) -> tuple[Finding, ...]:
    """Return the findings on positions, on the deck that gear leaves; the States' height gives way to those that are listed."""
    found = placing(load, rig.truck.model_copy(update={"deck_length_in": deck_left_of(rig)}))
    if any(row.kind == "height" for row in rig.road_limits):
        return tuple(one for one in found if one.check != STATES_HEIGHT)
    return found
