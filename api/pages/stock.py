"""What an operation has and owes, as its page shows it: hive groups, contracts, trucks, places."""

from dataclasses import dataclass
from functools import cached_property

from routing.bloom.window import ContractWindow, contract_window
from routing.errors import OperationError
from routing.inputs.contract import Contract
from routing.inputs.fleet import Driver, Truck
from routing.inputs.operation import Operation
from routing.inputs.yard import HiveGroup, Yard
from routing.strength.group import Strength, group_strength


@dataclass(frozen=True)
class GroupRow:
    """One hive group, with the strength that a plan counts on."""

    group: HiveGroup
    pallets: int
    """0: the hives are loose."""
    strength: Strength


@dataclass(frozen=True)
class ContractRow:
    """One contract with its nights in and out; ``window`` is None where its dates cannot be worked out, ``why`` tells."""

    number: int
    """Its place in the table, from 0: how pages address it."""
    contract: Contract
    window: ContractWindow | None
    why: str


@dataclass(frozen=True)
class Stock:
    """The rows of the page."""

    operation: Operation

    @cached_property
    def groups(self) -> tuple[GroupRow, ...]:
        """Hive groups, in the order of their table."""
        on_one = {pallet.name: pallet.hives for pallet in self.operation.pallets}
        return tuple(
            GroupRow(
                group=group,
                pallets=-(-group.hives // on_one[group.pallet]) if group.pallet in on_one else 0,
                strength=group_strength(self.operation, group),
            )
            for group in self.operation.hive_groups
        )

    @cached_property
    def contracts(self) -> tuple[ContractRow, ...]:
        """Contracts, in the order of their table."""
        return tuple(_contract_row(self.operation, number, one) for number, one in enumerate(self.operation.contracts))

    @property
    def trucks(self) -> tuple[Truck, ...]:
        """Trucks, in the order of their table."""
        return self.operation.trucks

    @property
    def drivers(self) -> tuple[Driver, ...]:
        """Drivers, in the order of their table."""
        return self.operation.drivers

    @property
    def yards(self) -> tuple[tuple[Yard, int], ...]:
        """Yards with the hives that stand in them at the start."""
        there = {yard.name: 0 for yard in self.operation.yards}
        for group in self.operation.hive_groups:
            there[group.yard] += group.hives
        return tuple((yard, there[yard.name]) for yard in self.operation.yards)

    @property
    def hives(self) -> int:
        """Hives in all groups."""
        return sum(group.hives for group in self.operation.hive_groups)

    @property
    def colonies(self) -> int:
        """Colonies promised in all contracts."""
        return sum(contract.colonies for contract in self.operation.contracts)


def _contract_row(operation: Operation, number: int, contract: Contract) -> ContractRow:
    try:
        return ContractRow(number, contract, contract_window(operation, contract), "")
    except OperationError as error:
        return ContractRow(number, contract, None, " ".join(str(fault) for fault in error.faults))
