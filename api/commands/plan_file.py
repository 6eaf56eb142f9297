"""Read a plan that was written earlier; every fault of the file is told."""

from collections.abc import Iterator
from pathlib import Path

from pydantic import ValidationError

from routing.errors import OperationError
from routing.inputs.complaints import complaint_fault
from routing.inputs.faults import Fault, shown, with_nearest
from routing.inputs.places import places
from routing.plan_record import Plan


def plan_from_file(path: Path) -> Plan:
    """Return the plan in the JSON file at ``path``.

    Raises
    ------
    OperationError
        If it is no plan, or names what its operation does not have; its faults name every place.
    OSError
        If the file cannot be read.
    """
    try:
        plan = Plan.model_validate_json(path.read_bytes())
    except ValidationError as error:
        raise OperationError(tuple(complaint_fault(path.name, one) for one in error.errors(include_url=False))) from error
    if faults := tuple(_unknown_names(plan, path.name)):
        raise OperationError(faults)
    return plan


def _unknown_names(plan: Plan, file_name: str) -> Iterator[Fault]:
    """Yield a fault for every name in the plan that its operation does not have."""
    operation = plan.operation
    known = {
        "truck": [truck.name for truck in operation.trucks],
        "place": list(places(operation)),
        "group": [group.name for group in operation.hive_groups],
        "contract": [contract.name for contract in operation.contracts],
        "truck-night": [night.id for night in plan.truck_nights],
    }
    for where, kind, name in _names(plan):
        if name not in known[kind]:
            allowed = with_nearest(f"a {kind} of the plan's operation", name, known[kind])
            yield Fault(file=file_name, path=where, found=shown(name), allowed=allowed)


def _names(plan: Plan) -> Iterator[tuple[str, str, str]]:
    for number, night in enumerate(plan.truck_nights):
        here = f"truck_nights[{number}]"
        yield f"{here}.truck", "truck", night.truck
        for stop_number, stop in enumerate(night.stops):
            yield f"{here}.stops[{stop_number}].place", "place", stop.place
            for lot in (*stop.picked_up, *stop.set_down):
                there = f"{here}.stops[{stop_number}], lot {lot.lot}"
                yield f"{there}, group", "group", lot.group
                yield f"{there}, origin", "place", lot.origin
                yield f"{there}, destination", "place", lot.destination
    for number, load in enumerate(plan.loads):
        yield f"loads[{number}].truck", "truck", load.truck
        yield f"loads[{number}].truck_night", "truck-night", load.truck_night
        yield from ((f"loads[{number}], unit {one.label}", "group", one.group) for one in load.placements)
    for number, delivery in enumerate(plan.deliveries):
        yield f"deliveries[{number}].contract", "contract", delivery.contract
