"""Faults of a weather file: one sentence for each kind, with the number of rows that share it.

A file in the wrong unit has ten thousand wrong rows and one fault.
"""

from collections import defaultdict

from routing.inputs.faults import Fault


class WeatherFaults:
    """Gathers the faults of one file."""

    def __init__(self, file: str) -> None:
        self.file = file
        self._first: dict[str, tuple[int, str, str]] = {}
        self._counts: dict[str, int] = defaultdict(int)

    def add(self, kind: str, row: int, *, found: str, allowed: str) -> None:
        """Add a fault; ``row`` is 0 when it is the whole file's."""
        self._first.setdefault(kind, (row, found, allowed))
        self._counts[kind] += 1

    def __bool__(self) -> bool:
        return bool(self._first)

    def faults(self) -> tuple[Fault, ...]:
        """Return one fault for each kind, in the order in which they were met."""
        found = []
        for kind, (row, words, allowed) in self._first.items():
            more = self._counts[kind] - 1
            also = f" (and {more:,} more row{'s' if more > 1 else ''} like it)" if more else ""
            found.append(Fault(file=self.file, row=row or None, found=words + also, allowed=allowed))
        return tuple(found)
