"""The demo operation, planned within 60 seconds: cost, proven bound, gap, what is left out, time, memory."""

from fixtures.demo import demo_operation
from tests.benchmarks._plan import planned
from tests.benchmarks._record import Record


def rows() -> list[Record]:
    """Return one row."""
    return [planned("demo", demo_operation(), seconds=60.0)]
