"""A plan found by a search, and how it came about."""

from dataclasses import dataclass

from routing.nights.draft import DraftNight

CENT = 0.005
"""A plan is better only when it costs less by half a cent: less is the rounding of sums. [USD]"""


@dataclass(frozen=True)
class Found:
    """A plan found, and how many joint problems were solved by then."""

    nights: tuple[DraftNight, ...]
    cost_usd: float
    steps: int
    note: str
