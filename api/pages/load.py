"""One load: the deck from above and from the side, weights, straps, order of lifting, every check."""

from dataclasses import dataclass
from functools import cached_property

from routing.finding import Finding
from routing.loads.load import Load
from routing.plan_record import Plan
from routing.sheets.load_report import LoadReport, in_order, load_reports


@dataclass(frozen=True)
class AxleRow:
    """One axle group at its lightest and heaviest over the way. [lb]"""

    name: str
    low_lb: float
    high_lb: float
    limit_lb: float


@dataclass(frozen=True)
class LoadPage:
    """The page of one load."""

    plan: Plan
    number: int
    """Place of the load in the plan, from 0."""

    @property
    def load(self) -> Load:
        """The load."""
        return self.plan.loads[self.number]

    @cached_property
    def report(self) -> LoadReport:
        """Its load sheet."""
        of_night = [place for place, load in enumerate(self.plan.loads) if load.night == self.load.night]
        return load_reports(self.plan, self.load.night)[of_night.index(self.number)]

    @property
    def axles(self) -> tuple[AxleRow, ...]:
        """Axle groups; none when weights were not worked out."""
        states = self.load.states
        return tuple(
            AxleRow(
                name=axle.name,
                low_lb=min(state.axles[place].low_lb for state in states),
                high_lb=max(state.axles[place].high_lb for state in states),
                limit_lb=axle.limit_lb,
            )
            for place, axle in enumerate(states[0].axles if states else ())
        )

    @property
    def gross_lb(self) -> tuple[float, float] | None:
        """Lightest and heaviest over the way; None when not worked out. [lb]"""
        states = self.load.states
        return (min(one.gross_low_lb for one in states), max(one.gross_high_lb for one in states)) if states else None

    @property
    def findings(self) -> list[Finding]:
        """Every check, the broken ones first."""
        return in_order(self.load.findings)

    @property
    def subjects(self) -> tuple[str, ...]:
        """Subjects of which the whole page speaks."""
        return f"{self.load.truck_night}, load {self.load.number}", self.load.truck, self.load.truck_night

    @property
    def before(self) -> int | None:
        """The load before this in the plan."""
        return self.number - 1 if self.number else None

    @property
    def after(self) -> int | None:
        """The load after this in the plan."""
        return self.number + 1 if self.number + 1 < len(self.plan.loads) else None
