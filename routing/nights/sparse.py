"""A mixed-integer model as plain rows and columns, split into blocks; no solver in sight."""

from collections import defaultdict
from dataclasses import dataclass, field
from math import inf

LINK = -1


@dataclass(frozen=True)
class Column:
    """One variable."""

    high: float
    cost: float
    whole: bool
    block: int
    """Segment that it belongs to."""


@dataclass(frozen=True)
class Row:
    """``low <= sum(coefficient * column) <= high``."""

    low: float
    high: float
    terms: tuple[tuple[int, float], ...]


@dataclass
class Relaxation:
    """Columns (all at least 0) and rows, written once and then only read."""

    columns: list[Column] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)

    def column(self, *, high: float, cost: float = 0.0, whole: bool = False, block: int) -> int:
        """Add a variable; return its number."""
        self.columns.append(Column(high, cost, whole, block))
        return len(self.columns) - 1

    def row(self, terms: "list[tuple[int, float]]", *, low: float = -inf, high: float = inf) -> None:
        """Add a row; terms of the same column are added up."""
        total: dict[int, float] = defaultdict(float)
        for column, coefficient in terms:
            total[column] += coefficient
        self.rows.append(Row(low, high, tuple((c, a) for c, a in total.items() if a)))

    def block_of(self, row: Row) -> int:
        """Return the one segment that a row speaks of, or ``LINK``."""
        blocks = {self.columns[column].block for column, _ in row.terms}
        return blocks.pop() if len(blocks) == 1 else LINK
