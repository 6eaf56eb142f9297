"""The engine: two threads, one proving how low the cost can be, one finding plans; the better ends first.

The solvers work outside Python's lock, so both threads use a core each. The finding thread never looks at the
bound, except to stop when nothing is left to gain: the plan is the same for the same seed and number of steps,
however fast the machine, as long as the bound does not close the gap first.
"""

import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace

from routing.nights.blends import Blended, blend, tell_apart
from routing.nights.bound import Season, lower_bounds
from routing.nights.draft import DraftNight, bill, done_usd
from routing.nights.found import Found
from routing.nights.problem import Problem
from routing.nights.quick import Effort, quickly
from routing.nights.relaxation import columns_of, relax
from routing.nights.search import improve

MOST_COLUMNS = 200_000
LOOK_S = 0.05
PRICE_ROUNDS = 14
SECONDS_A_SEGMENT, LEAST_S, SHARE_A_SEGMENT = 4.0, 0.5, 0.08
PATIENCE_S, SLOW = 10.0, 4e-3
"""The bound is left as it is once so long has raised it by less than such a share."""
ENOUGH = 5e-4
"""A gap below this share of the cost is closed: the solvers' own tolerances are near it."""


@dataclass
class Proof:
    """What the proving thread has reached; the finding thread only reads it."""

    bound_usd: float = 0.0
    error: BaseException | None = None
    stop: threading.Event = field(default_factory=threading.Event)

    def raise_to(self, usd: float) -> None:
        """Take a bound that was proven."""
        self.bound_usd = max(self.bound_usd, usd)


@dataclass(frozen=True)
class Reached:
    """Best plan so far, its cost and the bound so far."""

    nights: tuple[DraftNight, ...]
    cost_usd: float
    bound_usd: float
    steps: int
    note: str


def prove(problem: Problem, proof: Proof, seconds_each: float = SECONDS_A_SEGMENT) -> None:
    """Raise the proven bound until told to stop, asked after each segment; put everything found into ``proof``."""
    try:
        hopeful, paid = blend(problem, hopeful=True).problem, done_usd(problem)
        if columns_of(hopeful) > MOST_COLUMNS:
            # Too large to be worked out in any time that is asked for: nothing is claimed.
            return
        season = Season(relax(hopeful))
        priced = season.price(
            rounds=PRICE_ROUNDS, stop=proof.stop.is_set, tell=lambda usd: proof.raise_to(usd + paid)
        )
        last, since = 0.0, time.monotonic()
        for bound in lower_bounds(season, priced, seconds_each=seconds_each):
            proof.raise_to(bound.usd + paid)
            if proof.stop.is_set():
                break
            if time.monotonic() - since > PATIENCE_S:
                # Little is left to prove: the core is worth more to the search.
                if proof.bound_usd < last * (1.0 + SLOW):
                    break
                last, since = proof.bound_usd, time.monotonic()
    except BaseException as error:
        proof.error = error


def run(
    problem: Problem, *, seed: int, stop: Callable[[], bool], steps: int | None = None, seconds: float = 60.0
) -> Iterator[Reached]:
    """Yield what was reached after every step; the last is the answer.

    Parameters
    ----------
    problem
        The operation in numbers.
    seed
        Seed of every random choice.
    stop
        Asked between steps; True ends the search.
    steps
        Search steps; with them time decides nothing.
    seconds
        Time that the caller will give, for the shares of the parts of the search. [s] > 0.

    Raises
    ------
    SolverError
        If the proving thread met an answer that should not be.
    """
    proof = Proof()
    each = SECONDS_A_SEGMENT if steps else min(SECONDS_A_SEGMENT, max(LEAST_S, SHARE_A_SEGMENT * seconds))
    prover = threading.Thread(target=prove, args=(problem, proof, each), daemon=True)
    prover.start()
    try:
        best: Found | None = None
        for found in _plans(problem, seed=seed, stop=stop, effort=Effort(seconds, steps)):
            if best is None or found.cost_usd < best.cost_usd - 1e-9:
                best = found
            yield Reached(best.nights, best.cost_usd, min(proof.bound_usd, best.cost_usd), found.steps, found.note)
            if best.cost_usd - proof.bound_usd <= ENOUGH * best.cost_usd:
                break
        # Where nothing can be moved the search is over at once: what that costs at least is still worth knowing.
        while best is not None and not proof.bound_usd and prover.is_alive() and not stop():
            prover.join(LOOK_S)
        if best is not None:
            yield Reached(best.nights, best.cost_usd, min(proof.bound_usd, best.cost_usd), best.steps, "")
    finally:
        proof.stop.set()
        # A solver must not be left running when the process ends.
        prover.join()
    if proof.error is not None:
        raise proof.error


def _plans(
    problem: Problem, *, seed: int, stop: Callable[[], bool], effort: Effort
) -> Iterator[Found]:
    """Search with like kinds blended; yield plans of the kinds themselves, which never cost more."""
    blended = blend(problem)
    quick, apart = Found((), 0.0, 0, ""), Found((), 0.0, 0, "")
    told: tuple[DraftNight, ...] | None = None
    for quick in quickly(blended.problem, seed=seed, stop=stop, effort=effort):
        apart = _apart(problem, blended, quick) if quick.nights != told else replace(apart, steps=quick.steps, note=quick.note)
        told = quick.nights
        yield apart
    for found in improve(blended.problem, quick, seed=seed, stop=stop, steps=effort.steps):
        yield _apart(problem, blended, found)


def _apart(problem: Problem, blended: Blended, found: Found) -> Found:
    nights = tell_apart(blended, found.nights)
    return replace(found, nights=nights, cost_usd=bill(problem, nights).total)
