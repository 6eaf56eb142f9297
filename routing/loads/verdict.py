"""What a load is broken by: that which another deck plan or a smaller load would cure, and that which the crew can.

Tours ask this: a load that cannot ride as it is must be cut and planned anew; a strap that is missing is brought along.
"""

from collections.abc import Iterable

from routing.finding import Finding
from routing.loads.load import Load

CREW_CURES = (
    "tie-downs", "working load limit, all together", "unmarked tie-down", "hives of ", "air for closed hives", "load net",
    "longest stop", "water to wet", "headboard", "height of the headboard", "what the headboard holds",
)  # fmt: skip
"""How those checks begin that people cure before the truck rolls: straps, screens, nets, water."""
PAPERS = "your own table of papers"


def broken_as_loaded(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the broken findings that no strap, screen or paper cures: weights, positions, heights, reach, coupling."""
    return tuple(
        one
        for one in findings
        if one.status == "broken" and not one.check.startswith(CREW_CURES) and not one.source.startswith(PAPERS)
    )


def can_ride(load: Load) -> bool:
    """Tell whether nothing is broken that only another deck plan or a smaller load would cure."""
    return not broken_as_loaded(load.findings)
