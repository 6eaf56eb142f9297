"""Measure the planner: ``python -m tests.benchmarks NAME [--json FILE]``.

A NAME is a module beside this one with a function ``rows()`` that returns flat records, one for each row of
the table. To add a NAME, add its file; its first docstring line is what ``--help`` says of it. A module with a
function ``add_options(parser)`` has options of its own, and ``rows`` takes what was asked.
"""

import argparse
import ast
import importlib
import json
import sys
from collections.abc import Sequence
from pathlib import Path

from tests.benchmarks._record import Record

HERE = Path(__file__).parent


def names() -> dict[str, str]:
    """Return each NAME with the first line of its file's docstring, in the order of the alphabet."""
    files = sorted(path for path in HERE.glob("*.py") if not path.stem.startswith(("_", "test_")))
    return {path.stem: _first_line(path) for path in files}


def table(rows: Sequence[Record]) -> str:
    """Return the rows as plain text: a line of headings, then a line a row; all to the right."""
    heads = list(dict.fromkeys(key for row in rows for key in row))
    cells = [heads, *([_text(row.get(head)) for head in heads] for row in rows)]
    widths = [max(len(line[column]) for line in cells) for column in range(len(heads))]
    lines = ([text.rjust(width) for text, width in zip(line, widths, strict=True)] for line in cells)
    return "\n".join("  ".join(line) for line in lines)


def check_flat(rows: Sequence[Record]) -> None:
    """Raise ``TypeError`` when a row holds anything but text, numbers, truth or nothing."""
    for row in rows:
        for key, value in row.items():
            if value is not None and not isinstance(value, str | int | float):
                raise TypeError(f"{key} is a {type(value).__name__}; a benchmark's rows are flat")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one benchmark; return 0 when it ran."""
    known, given = names(), list(sys.argv[1:] if arguments is None else arguments)
    epilog = "\n".join(f"  {name:<10} {line}" for name, line in known.items())
    parser = argparse.ArgumentParser(
        prog="python -m tests.benchmarks",
        description="Measure the planner. The names are:\n" + epilog,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("name", metavar="NAME", choices=list(known), help="what to measure")
    parser.add_argument("--json", metavar="FILE", type=Path, help="also write the rows there, as a JSON list")
    # Only the module asked for is read in: each brings a solver or two with it.
    own = importlib.import_module(f"tests.benchmarks.{given[0]}") if given and given[0] in known else None
    if hasattr(own, "add_options"):
        own.add_options(parser)
        show(own.rows(parser.parse_args(given)), parser.parse_args(given).json)
        return 0
    asked = parser.parse_args(given)
    show(importlib.import_module(f"tests.benchmarks.{asked.name}").rows(), asked.json)
    return 0


def show(rows: Sequence[Record], file: Path | None) -> None:
    """Print the rows as a table, and write the same rows to ``file`` when there is one."""
    check_flat(rows)
    print(table(rows))
    if file:
        file.write_text(json.dumps(rows, indent=2, allow_nan=False) + "\n", encoding="utf-8")


def _first_line(path: Path) -> str:
    return (ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or "").split("\n")[0]


def _text(value: str | float | None) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return f"{value:,.4f}" if abs(value) < 1 else f"{value:,.2f}"
    return str(value)


if __name__ == "__main__":
    sys.exit(main())
