"""One contract and its orchard in a plan: who comes when, what stands where, what it pays."""

import datetime as dt
from dataclasses import dataclass
from functools import cached_property

from routing.errors import OperationError
from routing.inputs.contract import Block, Contract, Gate
from routing.nights.tour import Stop, TruckNight
from routing.plan_record import Delivery, GroupShare, Plan, Unkept
from routing.sheets.block_map import block_map
from routing.sheets.bloom_figure import bloom_figure
from routing.sheets.stakes import StopStakes, stop_stakes
from routing.sheets.strength_figure import strength_figure


@dataclass(frozen=True)
class Visit:
    """One truck at the orchard."""

    truck_night: TruckNight
    stop: Stop
    stakes: StopStakes

    @property
    def night(self) -> dt.date:
        """Date of the evening."""
        return self.truck_night.night

    @property
    def set_down(self) -> int:
        """Hives set down."""
        return sum(lot.hives for lot in self.stop.set_down)

    @property
    def picked_up(self) -> int:
        """Hives picked up."""
        return sum(lot.hives for lot in self.stop.picked_up)


@dataclass(frozen=True)
class Orchard:
    """The page of one contract."""

    plan: Plan
    number: int
    """Place of the contract in its table, from 0."""

    @property
    def contract(self) -> Contract:
        """The contract."""
        return self.plan.operation.contracts[self.number]

    @cached_property
    def delivery(self) -> Delivery | None:
        """What it gets; None when the plan does not speak of it."""
        return next((one for one in self.plan.deliveries if one.contract == self.contract.name), None)

    @property
    def unkept(self) -> tuple[Unkept, ...]:
        """Its promises that are not kept."""
        return tuple(one for one in self.plan.unkept if one.contract == self.contract.name)

    @property
    def shares(self) -> tuple[GroupShare, ...]:
        """Hives of each group that come."""
        return self.delivery.shares if self.delivery else ()

    @cached_property
    def visits(self) -> tuple[Visit, ...]:
        """Every stop of a truck there, in order of time."""
        stakes = stop_stakes(self.plan)
        found = [
            Visit(night, stop, stakes.get((night.id, stop.number), StopStakes()))
            for night in self.plan.truck_nights
            for stop in night.stops
            if stop.place == self.contract.name
        ]
        return tuple(sorted(found, key=lambda visit: visit.stop.arrive))

    @cached_property
    def hives_at(self) -> dict[str, int]:
        """Hives set down at each stake, over all visits."""
        found: dict[str, int] = {}
        for visit in self.visits:
            for line in visit.stakes.stakes:
                found[line.name] = found.get(line.name, 0) + line.set_down
        return found

    @property
    def figure_svg(self) -> str:
        """The orchard from above with all the hives that come to stand in it; empty when no stake or outline is known."""
        return block_map(self.plan.operation, self.contract.name, hives=self.hives_at)

    @property
    def strength_svg(self) -> str:
        """The frames of its hives against what it asks; empty when no group can serve it."""
        return strength_figure(self.plan.operation, self.contract.name)

    @property
    def bloom_svg(self) -> str:
        """Its bloom, stage by stage, with the nights in and out; empty when nothing is known of it."""
        try:
            return bloom_figure(self.plan.operation, self.contract.name)
        except OperationError:
            return ""

    @property
    def gates(self) -> tuple[Gate, ...]:
        """Its gates; the truck comes by the first."""
        return tuple(gate for gate in self.plan.operation.gates if gate.contract == self.contract.name)

    @property
    def blocks(self) -> tuple[Block, ...]:
        """Its blocks."""
        return tuple(block for block in self.plan.operation.blocks if block.contract == self.contract.name)
