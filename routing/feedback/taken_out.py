"""What is said of loads that no deck plan carries, where a promise is not kept because of them."""

from collections.abc import Sequence
from dataclasses import dataclass

from routing.keepable.words import MAY_HELP, counted, day, listed
from routing.loads.load import Load
from routing.loads.solve import BETTER
from routing.loads.verdict import broken_as_loaded
from routing.nights.draft import DraftNight, delivered, missing, taken
from routing.nights.problem import Problem
from routing.plan_record import Unkept

MOST_NAMED = 3


@dataclass(frozen=True)
class TakenOut:
    """One truck-night that is no longer in the plan as it was."""

    loads: tuple[Load, ...]
    """Those that no deck plan carries."""
    places: frozenset[str]
    """Orchards that it was to serve or to empty."""


def taken_out(problem: Problem, night: DraftNight, loads: tuple[Load, ...]) -> TakenOut:
    """Return a truck-night as taken out."""
    return TakenOut(loads, frozenset(stop.place for stop in night.stops if stop.place in problem.promises))


def told_why(rows: Sequence[Unkept], out: Sequence[TakenOut], lost: frozenset[str]) -> tuple[Unkept, ...]:
    """Return promises not kept, each with the loads for it that no deck plan carries.

    Parameters
    ----------
    rows
        Promises not kept, as the draft stands.
    out
        The truck-nights taken out or planned otherwise.
    lost
        Contracts that lost hives by it, also those whose hives were to come on from there.
    """
    return tuple(_told(row, out, lost) for row in rows)


def _told(row: Unkept, out: Sequence[TakenOut], lost: frozenset[str]) -> Unkept:
    if row.proven or row.contract not in lost:
        return row
    own = [one for one in out if row.contract in one.places]
    said = [_sentence(load) for one in own or out for load in one.loads]
    first = "" if own else "Its hives hang on a truck-night that could not go as planned. "
    trucks = sorted({load.truck for one in own or out for load in one.loads})
    helps = f"{MAY_HELP}: another truck or trailer than {listed(trucks)}, or hives weighed on a scale where a weight is the limit"
    reason = f"{row.reason} {first}{' '.join(dict.fromkeys(said))}"
    return row.model_copy(update={"reason": reason, "remedies": (*row.remedies, helps)})


def _sentence(load: Load) -> str:
    broken = [one for one in broken_as_loaded(load.findings) if one.check != BETTER]
    names = [f"{one.check}{_figures(one.measured, one.limit, one.unit)}" for one in broken]
    named = listed(names[:MOST_NAMED]) + (f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else "")
    proof = next((one.note for one in load.findings if one.check == BETTER and one.note.startswith("proven")), "")
    return (
        f"No deck plan was found that carries {counted(load.hives, 'hive')} on {load.truck} on the night of {day(load.night)} as "
        f"planned: {named}{f' ({proof})' if proof else ''}."
    )


def _figures(measured: float | None, limit: float | None, unit: str) -> str:
    if measured is None or limit is None:
        return ""
    return f" ({measured:,.6g} for {limit:,.6g}{f' {unit}' if unit else ''})"


def lost_hives(problem: Problem, before: tuple[DraftNight, ...], after: tuple[DraftNight, ...]) -> frozenset[str]:
    """Return the contracts that miss more hives than before, or have more left in their orchards."""
    return frozenset(
        name for name in problem.promises
        if missing(problem, name, after) > missing(problem, name, before)
        or _left_in(problem, name, after) > _left_in(problem, name, before)
    )  # fmt: skip


def _left_in(problem: Problem, name: str, nights: tuple[DraftNight, ...]) -> int:
    left = delivered(nights, name) - taken(nights, name)
    return sum(problem.kinds[kind].hives * units for kind, units in left.items())
