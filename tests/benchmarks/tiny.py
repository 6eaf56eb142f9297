"""The tiny operation, planned within 5 seconds: the same figures as the demo's, soon seen."""

from fixtures.tiny import tiny_operation
from tests.benchmarks._plan import planned
from tests.benchmarks._record import Record


def rows() -> list[Record]:
    """Return one row."""
    return [planned("tiny", tiny_operation(), seconds=5.0)]
