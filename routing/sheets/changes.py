"""What a plan made anew does otherwise, in lines that a person reads."""

from collections.abc import Iterator

from routing.changes.compare import Comparison
from routing.sheets.words import counted


def change_lines(found: Comparison) -> tuple[str, ...]:
    """Return what changed: cost, bill, nights, contracts."""
    return tuple(_lines(found))


def _lines(found: Comparison) -> Iterator[str]:
    difference = found.cost_usd - found.cost_before_usd
    way = "more" if difference >= 0.005 else "less" if difference <= -0.005 else "otherwise than before"
    yield f"Changed: {abs(difference):,.2f} USD {way} ({found.cost_before_usd:,.2f} before, {found.cost_usd:,.2f} now)."
    yield f"No plan of the changed operation costs less than {found.bound_usd:,.2f} USD."
    for line in found.costs:
        if abs(line.usd - line.before_usd) >= 0.005:
            yield f"  {line.name}: {line.before_usd:,.2f} before, {line.usd:,.2f} now"
    if not found.nights and not found.contracts:
        yield "Every truck-night and every delivery is as it was."
        return
    nights = counted(len(found.nights), "truck-night")
    yield f"{nights} not as told; {counted(found.hives_moved_otherwise, 'hive')} set down elsewhere or on another night:"
    for night in found.nights:
        yield f"  {night.night} {night.truck}: {night.what}: {night.words}"
    if found.contracts:
        yield "Growers to be told:"
    for contract in found.contracts:
        yield f"  {contract.contract}: {contract.words}"
