"""How the judge speaks: a rule names itself once, tells every fault, then how many checks held.

Law 1: a check that could not be made is told as unknown.
Law 2: each family of checks ends with one line that says how many of them were made and held.
"""

from collections.abc import Iterable

from routing.finding import Finding, Force, not_checked
from routing.record import Record

CENT_USD = 0.005
"""Two sums of money are the same when they differ by less than half a cent."""
ROUNDING = 1e-6
"""Room for the rounding of floating-point sums."""


class Rule(Record):
    """One family of checks. Each check returns its fault, or None when it holds."""

    check: str
    unit: str = ""
    force: Force
    source: str
    tolerance: float = ROUNDING
    """Room for rounding, in ``unit``."""

    def at_most(self, subject: str, *, measured: float, limit: float, note: str = "") -> Finding | None:
        """Return the fault of ``measured <= limit``; None when it holds."""
        if measured <= limit + self.tolerance:
            return None
        return self._broken(subject, (measured, limit, limit - measured), note)

    def at_least(self, subject: str, *, measured: float, limit: float, note: str = "") -> Finding | None:
        """Return the fault of ``measured >= limit``; None when it holds."""
        if measured >= limit - self.tolerance:
            return None
        return self._broken(subject, (measured, limit, measured - limit), note)

    def equal(self, subject: str, *, measured: float, limit: float, note: str = "") -> Finding | None:
        """Return the fault of ``measured == limit``; its margin is minus the difference."""
        if abs(measured - limit) <= self.tolerance:
            return None
        return self._broken(subject, (measured, limit, -abs(measured - limit)), note)

    def holds(self, subject: str, truth: bool, *, note: str) -> Finding | None:
        """Return the fault of a rule without a figure; ``note`` says what is wrong."""
        if truth:
            return None
        return Finding(
            check=self.check, subject=subject, status="broken", unit=self.unit, force=self.force,
            source=self.source, note=note,
        )  # fmt: skip

    def unknown(self, subject: str, *, note: str) -> Finding:
        """Return the finding that the check could not be made."""
        return not_checked(self.check, subject, force=self.force, source=self.source, note=note)

    def tell(self, outcomes: Iterable[Finding | None]) -> tuple[Finding, ...]:
        """Return the faults, then one line with the number of checks that held."""
        made = tuple(outcomes)
        faults = tuple(outcome for outcome in made if outcome is not None)
        held = len(made) - len(faults)
        return (*faults, self._held(held, len(made)))

    def _held(self, held: int, made: int) -> Finding:
        note = f"{held} of {made} checks held" if made else "nothing to check"
        return Finding(
            check=self.check, subject="plan", status="ok", measured=float(held), unit="checks",
            force=self.force, source=self.source, note=note,
        )  # fmt: skip

    def _broken(self, subject: str, figures: tuple[float, float, float], note: str) -> Finding:
        measured, bound, margin = (float(figure) for figure in figures)
        return Finding(
            check=self.check, subject=subject, status="broken", measured=measured, limit=bound, margin=margin,
            unit=self.unit, force=self.force, source=self.source, note=note,
        )  # fmt: skip
