"""Two plans side by side: what it costs, which nights and which contracts are not as they were."""

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from api.pages.verdict import kept_contracts
from routing.changes.compare import Comparison, compare
from routing.plan_record import Delivery, Plan


class ContractRow(NamedTuple):
    """One contract that is served otherwise; None where a plan does not speak of it."""

    name: str
    was: Delivery | None
    now: Delivery | None
    kept_before: bool
    kept: bool


@dataclass(frozen=True)
class Beside:
    """The page of two plans."""

    before: Plan
    plan: Plan

    @cached_property
    def found(self) -> Comparison:
        """What the new plan does otherwise."""
        return compare(self.before, self.plan)

    @property
    def more_usd(self) -> float:
        """What the new plan costs more than the old; below 0: less. [USD]"""
        return self.plan.cost_usd - self.before.cost_usd

    @property
    def kept_before(self) -> int:
        """Contracts kept by the old plan."""
        return kept_contracts(self.before)

    @property
    def kept(self) -> int:
        """Contracts kept by the new plan."""
        return kept_contracts(self.plan)

    @property
    def contracts(self) -> tuple[ContractRow, ...]:
        """Contracts that are served otherwise, as both plans have them."""
        was = {one.contract: one for one in self.before.deliveries}
        now = {one.contract: one for one in self.plan.deliveries}
        missed, misses = ({one.contract for one in plan.unkept} for plan in (self.before, self.plan))
        names = [one.contract for one in self.found.contracts]
        return tuple(ContractRow(one, was.get(one), now.get(one), one not in missed, one not in misses) for one in names)

