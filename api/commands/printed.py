"""What the commands print on standard output: lines that fit the screen, and what was written."""

import shutil
import sys
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from routing.sheets.words import counted

WIDEST = 110
"""Longer lines are hard to follow, however wide the screen. [letters]"""


def print_lines(lines: Iterable[str]) -> None:
    """Print lines; on a screen they are broken to its width, elsewhere they stay whole."""
    wide = min(shutil.get_terminal_size().columns, WIDEST) if sys.stdout.isatty() else None
    for line in lines:
        print(line if wide is None else fitted(line, wide))


def fitted(line: str, wide: int) -> str:
    """Return a line broken between words; what follows stands four letters further in. [letters]"""
    indent = " " * (len(line) - len(line.lstrip()) + 4)
    return textwrap.fill(line, max(wide, 40), subsequent_indent=indent, break_long_words=False)


def written_lines(written: Sequence[Path], out: Path) -> Iterator[str]:
    """Yield how many files were written where, and which to open first."""
    yield f"{counted(len(written), 'file')} written to {out}"
    names = sorted(path.name for path in written if path.suffix == ".pdf")
    yards, loads = ([name for name in names if name.endswith(end)] for end in ("-yards.pdf", "-loads.pdf"))
    drops = [name for name in names if name not in yards + loads]
    kinds = (("drop sheets, one a truck and night", drops), ("load sheets", loads), ("yard sheets, one a night", yards))
    for what, found in kinds:
        if found:
            yield f"  {what}: {found[0]}" + (f" and {len(found) - 1} more" if len(found) > 1 else "")
    yield "  all moves: moves.xlsx; every check: checks.csv; these lines: summary.txt; the whole plan: plan.json"
