"""Can the windows be met in the nights that are planned, and how sure are they?"""

from routing.bloom.window import ContractWindow, contract_window
from routing.finding import Finding, not_checked
from routing.inputs.contract import Contract
from routing.inputs.operation import Operation

NOTES = "your own table of bloom"
CONTRACTS = "your own table of contracts"


def window_findings(operation: Operation, contract: Contract) -> tuple[Finding, ...]:
    """Return the findings on one contract's windows.

    Parameters
    ----------
    operation
        Gives the first and last night that may be planned.
    contract
        A contract of the operation.

    Returns
    -------
    tuple of Finding
        ``broken`` where a window reaches outside the nights that may be planned; ``unknown`` where the way in
        rests on a forecast, or the hives would leave before the last night on time.

    Raises
    ------
    OperationError
        If the window cannot be found.
    """
    window = contract_window(operation, contract)
    found = [_inside(operation, contract, window)]
    if window.forecast:
        found.append(not_checked("bloom", contract.name, force="own figure", source=NOTES,
                                 note=f"the way in rests on a forecast: {window.basis}"))  # fmt: skip
    if window.out_from is not None and window.out_from <= window.late_until:
        found.append(not_checked(
            "nights in before nights out", contract.name, force="own figure", source=CONTRACTS,
            note=f"hives may leave from {window.out_from}, others may still come until {window.late_until}",
        ))  # fmt: skip
    return tuple(found)


def _inside(operation: Operation, contract: Contract, window: ContractWindow) -> Finding:
    last = window.out_until or window.late_until
    nights_early = (operation.first_night - window.in_from).days
    nights_over = (last - operation.last_night).days
    outside = max(0, nights_early) + max(0, nights_over)
    note = f"{window.in_from} to {last}; planned are {operation.first_night} to {operation.last_night}"
    return Finding(
        check="windows inside the nights planned", subject=contract.name,
        status="broken" if outside else "ok", measured=float(outside), limit=0.0, margin=-float(outside),
        unit="nights outside", force="own figure", source=CONTRACTS, note=note,
    )  # fmt: skip
