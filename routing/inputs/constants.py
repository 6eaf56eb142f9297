"""The figure that counts: the user's own where there is one, else the cited default."""

from routing.inputs.operation import Operation
from routing.limits import limit


def constant(operation: Operation, name: str) -> float:
    """Return the value of the constant ``name``; raise ``SourceError`` when no default has that name."""
    default = limit(name)
    for own in operation.constants:
        if own.name == name:
            return own.value
    return default.value
