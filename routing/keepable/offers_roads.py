"""Offers about places that roads keep a truck out of: a way found for it, and what a truck more would be kept out of too."""

from collections.abc import Iterator

from routing.inputs.operation import Operation
from routing.inputs.ways import ClosedPlace


def closed_to_one_more(operation: Operation, truck: str) -> tuple[ClosedPlace, ...]:
    """Return the closed places of an operation with one more truck: what every truck is kept out of, it is too."""
    trucks = {one.name for one in operation.trucks}
    out = {place: [row for row in operation.closed_places if row.place == place] for place in
           dict.fromkeys(row.place for row in operation.closed_places)}  # fmt: skip
    more = (rows[0].model_copy(update={"truck": truck}) for rows in out.values() if trucks <= {row.truck for row in rows})
    return (*operation.closed_places, *more)


def ways_found(operation: Operation, name: str) -> Iterator[tuple[str, Operation]]:
    """Yield, for each truck that is kept out of a place, the operation in which there is a way for it.

    Parameters
    ----------
    operation
        With the contract in question alone.
    name
        The contract.
    """
    for row in operation.closed_places:
        if row.place == name or row.place in {yard.name for yard in operation.yards}:
            rest = tuple(one for one in operation.closed_places if one != row)
            yield f"a way by road for {row.truck} to {row.place} and back", operation.model_copy(update={"closed_places": rest})
