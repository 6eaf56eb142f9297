"""The forecast of one contract's bloom, from the best that is known of it."""

from routing.bloom.by_dates import forecast_by_dates
from routing.bloom.curve import NoBloomDayError
from routing.bloom.forecast import BloomForecast
from routing.bloom.notes import known_anchors
from routing.errors import OperationError
from routing.inputs.constants import constant
from routing.inputs.contract import Contract
from routing.inputs.faults import Fault
from routing.inputs.operation import Operation
from routing.limits.crop_rows import crop_named


def bloom_forecast(operation: Operation, contract: Contract) -> BloomForecast:
    """Return when a contract's crop comes to each stage, with its spread.

    Parameters
    ----------
    operation
        Gives notes, dates, weather, earlier years and own sums.
    contract
        A contract of the operation.

    Returns
    -------
    BloomForecast
        What was seen counts before all else and moves what comes after it.

    Raises
    ------
    OperationError
        If the notes contradict each other, or nothing at all is known of this bloom.
    """
    crop = crop_named(contract.crop)
    try:
        anchors = known_anchors(operation, contract, crop, error_days=constant(operation, "bloom_error_days"))
    except NoBloomDayError as error:
        raise OperationError((no_forecast(operation, contract, str(error)),)) from error
    if not anchors:
        raise OperationError((no_forecast(operation, contract, "nothing that tells when it blooms"),))
    return forecast_by_dates(operation, contract, crop, anchors)


def no_forecast(operation: Operation, contract: Contract, found: str) -> Fault:
    """Return the fault of a contract whose bloom cannot be foretold."""
    row = next((i for i, one in enumerate(operation.contracts) if one.name == contract.name), None)
    table = "contracts" if row is None else f"contracts[{row}]"
    allowed = "a row of bloom, a stage seen, bloom of earlier years, weather, or dates"
    return Fault(
        file=operation.name, column="crop", path=f"{table}.crop", found=f"{found} (contract {contract.name})", allowed=allowed
    )
