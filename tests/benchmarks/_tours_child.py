"""One planner on one made-up operation, in a process of its own: ``python -m tests.benchmarks._tours_child S 0 ours 5``.

Prints one JSON object. The clock starts when the operation has been read at the door and stops before the judge is
asked; the peak of memory is the process's own at that moment.
"""

import json
import resource
import subprocess
import sys
from pathlib import Path

from tests.benchmarks._record import Record
from tests.benchmarks._tours_operation import SIZES, operation
from tests.benchmarks._tours_planners import PLANNERS

ROOT = Path(__file__).parents[2]
PATIENCE, PATIENCE_S = 2.0, 240.0
"""A child that has not ended after so many times its seconds, and so many more, has no answer."""


def peak_mib() -> float:
    """Return the most memory that this process has had resident. [MiB]"""
    status = Path("/proc/self/status")
    if status.exists():
        # The resource module would count what the parent held when it split off.
        line = next(one for one in status.read_text().splitlines() if one.startswith("VmHWM"))
        return float(line.split()[1]) / 1024.0
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (1024.0**2 if sys.platform == "darwin" else 1024.0)


def measured_here(size: str, seed: int, planner: str, seconds: float) -> Record:
    """Return the record of one planner on one operation, planned in this process."""
    made = operation(SIZES[size], seed)
    plan = PLANNERS[planner](made, seconds)
    peak = peak_mib()
    verdict, dropped = plan.verdict()
    bound = None if plan.bound_usd is None else round(plan.bound_usd, 2)
    return {
        "size": size, "seed": seed, "planner": planner, "cost_usd": verdict.cost_usd, "lower_bound_usd": bound,
        "gap": None if bound is None else (verdict.cost_usd - bound) / verdict.cost_usd, "first_s": plan.first_s,
        "total_s": plan.total_s, "unkept": verdict.unkept, "peak_mib": peak, "broken": len(verdict.broken), "dropped": dropped,
        "steps": plan.steps, "note": "; ".join(sorted({one.check for one in verdict.broken}))[:60],
    }  # fmt: skip


def measured_apart(size: str, seed: int, planner: str, seconds: float) -> Record:
    """Return the record of one planner on one operation, planned in a process of its own."""
    command = [sys.executable, "-m", "tests.benchmarks._tours_child", size, str(seed), planner, str(seconds)]
    empty: Record = {"size": size, "seed": seed, "planner": planner}
    try:
        ended = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=PATIENCE * seconds + PATIENCE_S)
    except subprocess.TimeoutExpired:
        return empty | {"note": f"no answer after {PATIENCE * seconds + PATIENCE_S:.0f} s"}
    if ended.returncode:
        return empty | {"note": (ended.stderr.strip().splitlines() or ["ended without a word"])[-1][:60]}
    record: Record = json.loads(ended.stdout.strip().splitlines()[-1])
    return record


if __name__ == "__main__":
    told = sys.argv[1:]
    print(json.dumps(measured_here(told[0], int(told[1]), told[2], float(told[3]))))
