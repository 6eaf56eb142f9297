"""The last check at the door: what no table shows, and planning would stumble on."""

from routing.errors import OperationError
from routing.inputs.operation import Operation


def plannable(operation: Operation, file_name: str) -> Operation:
    """Return the operation as it is.

    Raises
    ------
    OperationError
        If its dates cannot be planned with; the faults say ``file_name``.
    """
    from routing.plan import planning_faults

    faults = planning_faults(operation)
    if faults:
        raise OperationError(tuple(fault.model_copy(update={"file": file_name}) for fault in faults))
    return operation
