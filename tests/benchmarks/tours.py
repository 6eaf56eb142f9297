"""Tours of four sizes, ours beside a dispatcher's rule, OR-Tools and PyVRP: cost by the judge, bound, gap, time, memory.

Every planner has the same seconds, the same cores and a process of its own; every plan is costed by the independent
checker. ``gap`` is the distance to the planner's own proven bound, ``over`` that to the cheapest plan of the instance;
a plan of anybody's below the bound is told. ``unkept`` counts colonies short, late, weak or left in. Rows whose seed is
``median`` or ``worst`` sum up a size; ``--plot`` draws how all of it grows with size. ``--planner plan`` is ours with
deck plans and all checks, as a user has it.
"""

import argparse
import statistics
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path

from tests.benchmarks._record import Record
from tests.benchmarks._tours_child import measured_apart
from tests.benchmarks._tours_operation import SIZES
from tests.benchmarks._tours_planners import PLANNERS
from tests.benchmarks._tours_plot import growth

SECONDS = {"S": 5.0, "M": 60.0, "L": 120.0, "XL": 300.0}
BESIDE = ("ours", "dispatcher", "or-tools", "pyvrp")
PROVEN = 5e-4
"""A gap at or below it is closed: the solvers' own tolerances are near it."""
CHEAPEST = 1e-6
SUMMED = ("cost_usd", "gap", "over", "first_s", "total_s", "unkept", "peak_mib", "broken", "dropped")


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add what only this benchmark asks."""
    parser.add_argument("--size", choices=list(SIZES), action="append", help="repeat it for several; all by default")
    parser.add_argument("--seeds", type=int, default=10, help="operations of each size: seeds 0, 1, ... (10)")
    parser.add_argument("--first-seed", type=int, default=0, help="the first of them (0)")
    parser.add_argument("--seconds", type=float, help="for every planner (S 5, M 60, L 120, XL 300)")
    parser.add_argument("--planner", choices=list(PLANNERS), action="append", help="repeat it for several; plan only if asked")
    parser.add_argument("--plot", type=Path, metavar="FILE", help="draw the growth with size there, as SVG")


def rows(asked: argparse.Namespace) -> list[Record]:
    """Return a row for each planner on each operation, then the sums."""
    found: list[Record] = []
    for size in asked.size or SIZES:
        for seed in range(asked.first_seed, asked.first_seed + asked.seeds):
            mine = []
            for planner in asked.planner or BESIDE:
                mine.append(measured_apart(size, seed, planner, asked.seconds or SECONDS[size]))
                print(_line(mine[-1]), file=sys.stderr, flush=True)
            found += compared(mine)
    found += sums(found)
    if asked.plot:
        asked.plot.write_text(growth(found), encoding="utf-8")
    return found


def compared(same: Iterable[Record]) -> list[Record]:
    """Return the rows of one operation, each with how far it is over the cheapest plan that breaks nothing."""
    listed = list(same)
    sound = [usd for row in listed if (usd := _number(row, "cost_usd")) is not None and not row.get("broken")]
    best = min(sound, default=None)
    return [_with_over(row, best) for row in listed]


def _with_over(row: Record, best: float | None) -> Record:
    cost, bound = _number(row, "cost_usd"), _number(row, "lower_bound_usd")
    over = cost / best - 1.0 if cost is not None and best else None
    told = [str(row["note"])] if row.get("note") else []
    if bound is not None and best is not None and bound > best + 0.01:
        told.append(f"NO BOUND: a plan costs {best:,.2f}")
    return {key: value for key, value in row.items() if key != "note"} | {"over": over, "note": "; ".join(told)}


def _number(row: Record, head: str) -> float | None:
    value = row.get(head)
    return float(value) if isinstance(value, int | float) else None


def sums(found: list[Record]) -> Iterator[Record]:
    """Yield the median and the worst of each size and planner; a run without an answer counts in the note."""
    for size in dict.fromkeys(row["size"] for row in found):
        for planner in dict.fromkeys(row["planner"] for row in found):
            own = [row for row in found if (row["size"], row["planner"]) == (size, planner)]
            counted = _counted(own)
            for what, pick in (("median", statistics.median), ("worst", max)):
                row: Record = {"size": size, "seed": what, "planner": planner}
                for head in SUMMED:
                    values = [value for one in own if (value := _number(one, head)) is not None]
                    row[head] = pick(values) if values else None
                yield row | {"note": counted if what == "median" else ""}


def _counted(own: list[Record]) -> str:
    """Return how many of a planner's plans are the cheapest, how many are proven best, how many are missing."""
    over, gaps = ([value for row in own if (value := _number(row, head)) is not None] for head in ("over", "gap"))
    told = [f"cheapest {sum(value <= CHEAPEST for value in over)} of {len(own)}"]
    told += [f"proven {sum(value <= PROVEN for value in gaps)} of {len(own)}"] if gaps else []
    silent = sum(row.get("cost_usd") is None for row in own)
    return "; ".join(told + ([f"without an answer {silent}"] if silent else []))


def _line(row: Record) -> str:
    told = (f"{key} {value:,.4g}" if isinstance(value, float) else f"{key} {value}" for key, value in row.items() if value)
    return "  ".join(told)
