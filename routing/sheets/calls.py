"""Whom to call: the people of the night first, then those of each orchard."""

from collections.abc import Sequence

from routing.inputs.contract import Contract
from routing.inputs.operation import Operation
from routing.nights.tour import Stop
from routing.sheets.sheet_record import Call, PlaceCalls

NOT_GIVEN = "NOT GIVEN"


def calls_of(operation: Operation, *drivers: str) -> tuple[Call, ...]:
    """Return 911, the operation's own number and that of each driver."""
    calls = [Call(who="Fire, crash, injury, bad sting", number="911")]
    if operation.emergency_contact:
        calls.append(Call(who=f"Bees loose or truck down: {operation.name}", number=operation.emergency_contact))
    phones = {driver.name: driver.phone for driver in operation.drivers}
    known = [name for name in dict.fromkeys(drivers) if phones.get(name)]
    return (*calls, *(Call(who=f"Driver: {name}", number=phones[name]) for name in known))


def place_calls(operation: Operation, stops: Sequence[Stop]) -> tuple[PlaceCalls, ...]:
    """Return the numbers of each orchard of the night, in the order of the stops."""
    contracts = {contract.name: contract for contract in operation.contracts}
    names = dict.fromkeys(stop.place for stop in stops if stop.kind == "orchard")
    return tuple(_place_calls(contracts[name]) for name in names)


def _place_calls(contract: Contract) -> PlaceCalls:
    grower = ", ".join(part for part in (contract.grower, contract.phone or NOT_GIVEN) if part)
    return PlaceCalls(
        place=contract.name, grower=grower, accident=contract.emergency_contact or NOT_GIVEN,
        sprays=contract.pesticide_contact or NOT_GIVEN,
    )  # fmt: skip
