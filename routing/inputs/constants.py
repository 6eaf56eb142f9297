"""The figure that counts: the user's own where there is one, else the cited default."""

from collections.abc import Sequence

from routing.inputs.operation import Constant, Operation
from routing.limits import Limit, limit


def own_limit(constants: Sequence[Constant], name: str) -> Limit:
    """Return the row called ``name``, with the user's own value and its source where there is one.

    The law is nobody's to replace: its rows come as they are.
    """
    default = limit(name)
    for own in constants:
        if own.name == name and default.force != "law":
            return default.model_copy(update={"value": own.value, "force": "own figure", "source": own.source})
    return default


def constant(operation: Operation, name: str) -> float:
    """Return the value of the constant ``name``; raise ``SourceError`` when no default has that name."""
    default = limit(name)
    for own in operation.constants:
        if own.name == name:
            return own.value
    return default.value
