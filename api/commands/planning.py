"""Plan an operation in front of a person: progress on standard error, Ctrl-C keeps the best plan so far."""

import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from types import FrameType
from typing import TYPE_CHECKING

from api.commands.codes import INTERRUPTED
from api.commands.exits import say
from routing.inputs.operation import Operation
from routing.plan_record import Plan

if TYPE_CHECKING:
    from routing.plan import Progress

_SHOW_EVERY_S = 1.0


@dataclass(frozen=True)
class Budget:
    """How long to search, from which seed, for how many steps at most (None: time decides)."""

    seconds: float
    seed: int
    steps: int | None


@dataclass
class _Search:
    """What the searching thread tells the one that shows it."""

    stop: threading.Event = field(default_factory=threading.Event)
    latest: "Progress | None" = None
    plan: Plan | None = None
    error: BaseException | None = None


def plan_in_view(operation: Operation, budget: Budget) -> tuple[Plan, bool]:
    """Return the plan and whether Ctrl-C cut the search short; raise what the planner raises."""
    search = _Search()
    # The search runs beside the main thread, which alone receives Ctrl-C and must never wait for a solver.
    thread = threading.Thread(target=_run_search, args=(search, operation, budget), daemon=True)
    with _stopping_at_ctrl_c(search.stop), _shown() as show:
        thread.start()
        begun = shown = time.monotonic()
        while thread.is_alive():
            thread.join(0.1)
            if time.monotonic() - shown >= _SHOW_EVERY_S:
                shown = time.monotonic()
                show(progress_line(search.latest, shown - begun))
    if search.error is not None:
        raise search.error
    assert search.plan is not None
    return search.plan, search.stop.is_set()


def _run_search(search: _Search, operation: Operation, budget: Budget) -> None:
    from routing.plan import make_plan

    def note(progress: "Progress") -> None:
        search.latest = progress

    try:
        search.plan = make_plan(
            operation,
            seed=budget.seed,
            seconds=budget.seconds,
            steps=budget.steps,
            progress=note,
            stop=search.stop.is_set,
        )
    except BaseException as error:
        search.error = error


def progress_line(latest: "Progress | None", elapsed_s: float) -> str:
    """Return how far the search is, in one line."""
    if latest is None:
        return f"{elapsed_s:.0f} s: reading the operation"
    cost, bound, gap = _figure(latest.cost_usd, "${:,.0f}"), "-", "-"
    if latest.lower_bound_usd > 0.0 or latest.cost_usd <= 0.0:
        bound, gap = _figure(latest.lower_bound_usd, "${:,.0f}"), _figure(latest.gap, "{:.1%}")
    unkept = latest.unkept_colonies
    kept = "every promise kept" if unkept == 0 else f"{unkept} colonies not kept"
    note = f" ({latest.note})" if latest.note else ""
    return f"{elapsed_s:.0f} s: cost {cost}, bound {bound}, gap {gap}, {kept}{note}"


def _figure(value: float | None, form: str) -> str:
    return "-" if value is None or value != value or abs(value) == float("inf") else form.format(value)


@contextmanager
def _stopping_at_ctrl_c(stop: threading.Event) -> Iterator[None]:
    def on_ctrl_c(number: int, frame: FrameType | None) -> None:
        if stop.is_set():
            # The searching thread may be deep in a solver; only ending the process ends it now.
            os.write(2, b"Stopped at once; nothing was written.\n")
            os._exit(INTERRUPTED)
        stop.set()
        os.write(2, b"\nStopping with the best plan so far. Ctrl-C again stops at once, without a plan.\n")

    before = signal.signal(signal.SIGINT, on_ctrl_c)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


@contextmanager
def _shown() -> Iterator[Callable[[str], None]]:
    if not sys.stderr.isatty():
        yield say
        return
    from rich.console import Console
    from rich.text import Text

    with Console(stderr=True).status(Text("planning")) as status:
        yield lambda line: status.update(Text(line))
