"""Read a plan that was written earlier; every fault of the file is told."""

from pathlib import Path
from typing import Any

from pydantic import ValidationError

from routing.errors import OperationError
from routing.inputs.faults import Fault, shown
from routing.plan_record import Plan


def plan_from_file(path: Path) -> Plan:
    """Return the plan in the JSON file at ``path``.

    Raises
    ------
    OperationError
        If it is no plan; its faults name every place.
    OSError
        If the file cannot be read.
    """
    try:
        return Plan.model_validate_json(path.read_bytes())
    except ValidationError as error:
        raise OperationError(tuple(_fault(path, one) for one in error.errors(include_url=False))) from error


def _fault(path: Path, one: Any) -> Fault:
    place = "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in one["loc"]).lstrip(".")
    allowed = one["msg"].removeprefix("Input should be ")
    return Fault(file=path.name, path=place or "the whole file", found=shown(one["input"]), allowed=allowed)
