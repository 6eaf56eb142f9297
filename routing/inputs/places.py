"""Places: every yard, and every orchard at its first gate, under one set of names."""

import datetime as dt
from typing import Literal

from routing.inputs.contract import Contract, Gate
from routing.inputs.operation import Operation
from routing.inputs.yard import Loading, VehicleClass, Yard
from routing.record import Record


class Place(Record):
    """Somewhere a truck stops. An orchard lies where its first gate is."""

    name: str
    """Name of the yard or of the contract."""
    kind: Literal["yard", "orchard"]
    latitude_deg: float
    longitude_deg: float
    access: VehicleClass
    loading: Loading
    open_from: dt.time | None
    """Earliest hour of the evening that a truck may come."""
    open_until: dt.time | None
    """Latest hour of the morning that a truck may stay."""
    time_zone: str
    """The place's own, or the operation's."""


def places(operation: Operation) -> dict[str, Place]:
    """Return every place by name: yards first, then orchards, each in the order of its table.

    Parameters
    ----------
    operation
        An operation that passed the door. A contract without a gate has no place and is left out.

    Returns
    -------
    dict[str, Place]
        One place for each yard and contract.
    """
    first_gate: dict[str, Gate] = {}
    for gate in operation.gates:
        first_gate.setdefault(gate.contract, gate)
    found = {yard.name: _yard_place(yard, operation.time_zone) for yard in operation.yards}
    for contract in operation.contracts:
        if contract.name in first_gate:
            found[contract.name] = _orchard_place(contract, first_gate[contract.name], operation.time_zone)
    return found


def _yard_place(yard: Yard, time_zone: str) -> Place:
    return Place(
        name=yard.name, kind="yard", latitude_deg=yard.latitude_deg, longitude_deg=yard.longitude_deg,
        access=yard.access, loading=yard.loading, open_from=yard.open_from, open_until=yard.open_until,
        time_zone=yard.time_zone or time_zone,
    )  # fmt: skip


def _orchard_place(contract: Contract, gate: Gate, time_zone: str) -> Place:
    return Place(
        name=contract.name, kind="orchard", latitude_deg=gate.latitude_deg, longitude_deg=gate.longitude_deg,
        access=contract.access, loading=contract.loading, open_from=contract.open_from,
        open_until=contract.open_until, time_zone=contract.time_zone or time_zone,
    )  # fmt: skip
