"""What every benchmark measures with: flat records, a stop watch, and the peak of memory in use."""

import os
import resource
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

Record = dict[str, str | int | float | None]
MIB = 1024 * 1024
EVERY_S = 0.1


@dataclass
class Measured:
    """Filled in when the measured block ends."""

    seconds: float = 0.0
    peak_mib: float = 0.0
    """Most memory resident at once in this process and its children together, seen ten times a second."""


@contextmanager
def measured() -> Iterator[Measured]:
    """Measure wall time and peak memory of a block."""
    result, done = Measured(), threading.Event()
    watcher = threading.Thread(target=_watch, args=(result, done), daemon=True)
    begin = time.monotonic()
    watcher.start()
    try:
        yield result
    finally:
        result.seconds = time.monotonic() - begin
        done.set()
        watcher.join()


def _watch(result: Measured, done: threading.Event) -> None:
    while True:
        result.peak_mib = max(result.peak_mib, resident_mib())
        if done.wait(EVERY_S):
            return


def resident_mib() -> float:
    """Return the memory resident now in this process and its children. [MiB]

    Where there is no /proc, the process's own peak so far and its largest child's.
    """
    if not Path("/proc/self/statm").exists():
        return _peak_by_rusage_mib()
    parents = dict(_parents())
    return sum(_resident_bytes(pid) for pid in _family(os.getpid(), parents)) / MIB


def _peak_by_rusage_mib() -> float:
    unit = 1 if sys.platform == "darwin" else 1024
    who = (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    return sum(resource.getrusage(one).ru_maxrss for one in who) * unit / MIB


def _parents() -> Iterator[tuple[int, int]]:
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                # The name in parentheses may hold blanks; what counts stands after it.
                yield int(entry.name), int((entry / "stat").read_text().rsplit(")", 1)[1].split()[1])
            except (OSError, IndexError):
                continue  # it has ended meanwhile


def _family(root: int, parents: dict[int, int]) -> list[int]:
    found = [root]
    for pid in found:
        found += [child for child, parent in parents.items() if parent == pid]
    return found


def _resident_bytes(pid: int) -> int:
    try:
        return int(Path(f"/proc/{pid}/statm").read_text().split()[1]) * resource.getpagesize()
    except (OSError, IndexError):
        return 0
