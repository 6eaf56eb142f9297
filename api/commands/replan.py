"""Make a plan anew after something changed: what is done stays, what was told is kept where it is worth it."""

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from api.commands.exits import faults_told, writing
from api.commands.planning import Budget, plan_in_view
from api.commands.printed import print_lines
from api.commands.work import keep_plan
from api.plannable import plannable
from routing.changes.after import after
from routing.changes.change import BloomShift, Change, ColoniesLost, ColoniesWanted, DriverAway, NoMoves, TruckAway
from routing.changes.changed import changed_operation
from routing.errors import OperationError
from routing.inputs.faults import Fault, shown


@dataclass(frozen=True)
class Asked:
    """What the command line says has changed, as it was typed: ``NAME=VALUE``."""

    bloom: tuple[str, ...] = ()
    truck_away: tuple[str, ...] = ()
    driver_away: tuple[str, ...] = ()
    no_moves: tuple[str, ...] = ()
    lost: tuple[str, ...] = ()
    wanted: tuple[str, ...] = ()


def replan(file: Path, out: Path, *, next_night: dt.date, asked: Asked, budget: Budget) -> int:
    """Plan anew from a night on and write the plan, every sheet and what changed; return the exit code."""
    from api.commands.plan_file import plan_from_file
    from routing.changes.compare import compare
    from routing.sheets.changes import change_lines

    with faults_told(file):
        before = plan_from_file(file)
        operation = plannable(changed_operation(after(before, next_night), tuple(changes(asked))), file.name)
    with writing(out):
        out.mkdir(parents=True, exist_ok=True)
    plan, interrupted = plan_in_view(operation, budget)
    code = keep_plan(plan, out, interrupted=interrupted, unkept_is_well=False)
    lines = change_lines(compare(before, plan))
    with writing(out):
        (out / "changes.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")
    print_lines(("", *lines))
    return code


def changes(asked: Asked) -> Iterator[Change]:
    """Yield the changes that were typed.

    Raises
    ------
    OperationError
        With one sentence for the first that cannot be read.
    """
    for form in FORMS:
        for text in getattr(asked, form.field):
            yield _read(form, text)


@dataclass(frozen=True)
class _Form:
    """How one kind of change is typed."""

    field: str
    form: str
    make: Callable[[str, str], Change]

    @property
    def option(self) -> str:
        return f"--{self.field.replace('_', '-')}"


DATES = "dates such as 2027-04-14"
FORMS = (
    _Form("bloom", "CONTRACT=DAYS with -60 to 60 whole days, such as 'Lower pears=-3'",
          lambda name, value: BloomShift(kind="bloom", contract=name, days=int(value))),
    _Form("truck_away", f"TRUCK=DATE or TRUCK=DATE,DATE, {DATES}",
          lambda name, value: TruckAway(kind="truck away", truck=name, nights=_nights(value))),
    _Form("driver_away", f"DRIVER=DATE or DRIVER=DATE,DATE, {DATES}",
          lambda name, value: DriverAway(kind="driver away", driver=name, nights=_nights(value))),
    _Form("no_moves", f"DATE or DATE,DATE, {DATES}", lambda _, value: NoMoves(kind="no moves", nights=_nights(value))),
    _Form("lost", "GROUP=HIVES with 1 to 5000 hives, such as 'H1=4'",
          lambda name, value: ColoniesLost(kind="colonies lost", group=name, hives=int(value))),
    _Form("wanted", "CONTRACT=COLONIES with 1 to 5000 colonies, such as 'Lower pears=30'",
          lambda name, value: ColoniesWanted(kind="colonies wanted", contract=name, colonies=int(value))),
)  # fmt: skip


def _read(form: _Form, text: str) -> Change:
    name, sign, value = text.rpartition("=")
    fault = Fault(file="command line", column=form.option, found=shown(text), allowed=form.form)
    if form.field != "no_moves" and not (sign and name.strip() and value.strip()):
        raise OperationError((fault,))
    try:
        return form.make(name.strip(), value.strip())
    except ValueError as error:
        raise OperationError((fault,)) from error


def _nights(text: str) -> tuple[dt.date, ...]:
    return tuple(dt.date.fromisoformat(part.strip()) for part in text.split(","))
