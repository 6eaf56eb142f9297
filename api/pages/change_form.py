"""The form of changes: what was typed, and the changes that it says. What is left empty is no change."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

from api.pages.say import say
from routing.changes.change import BloomShift, Change, ColoniesLost, ColoniesWanted, DriverAway, NoMoves, TruckAway
from routing.errors import OperationError
from routing.inputs.faults import Fault, shown
from routing.inputs.operation import Operation

MOST_NIGHTS = 400
LONGEST_TEXT = 200


@dataclass(frozen=True)
class ChangeForm:
    """What was typed into the fields, by field."""

    typed: Mapping[str, str] = field(default_factory=dict)

    def __getitem__(self, name: str) -> str:
        """Return what was typed into a field; empty when nothing was."""
        return self.typed.get(name, "")

    def changes(self) -> tuple[Change, ...]:
        """Return every change that the fields say.

        Raises
        ------
        OperationError
            With one fault for each field that cannot be read, or when nothing was filled in.
        """
        faults: list[Fault] = []
        found: list[Change] = []
        for read in (_bloom, _truck_away, _driver_away, _no_moves, _lost, _wanted):
            try:
                change = read(self)
            except _FieldError as error:
                faults.append(error.fault)
            else:
                found += [change] if change else []
        if not found and not faults:
            faults = [_fault("", found="", allowed=say("change.something"))]
        if faults:
            raise OperationError(tuple(faults))
        return tuple(found)

    def next_night(self, operation: Operation) -> dt.date:
        """Return the first night still to be planned; the operation's first when the field is empty."""
        if not self["next_night"]:
            return operation.first_night
        try:
            night = _date(self, "next_night")
        except _FieldError as error:
            raise OperationError((error.fault,)) from error
        return min(max(night, operation.first_night), operation.last_night)


class _FieldError(Exception):
    """A field that cannot be read."""

    def __init__(self, fault: Fault) -> None:
        super().__init__(str(fault))
        self.fault = fault


def form_of(fields: Mapping[str, object]) -> ChangeForm:
    """Return the form that a browser sent; what is no text, or longer than any field takes, is cut off."""
    return ChangeForm({name: value.strip()[:LONGEST_TEXT] for name, value in fields.items() if isinstance(value, str)})


def _bloom(form: ChangeForm) -> Change | None:
    days = _whole(form, "bloom_days", least=-60, most=60)
    return BloomShift(kind="bloom", contract=_name(form, "bloom_contract"), days=days) if days else None


def _truck_away(form: ChangeForm) -> Change | None:
    nights = _nights(form, "truck")
    return TruckAway(kind="truck away", truck=_name(form, "truck"), nights=nights) if nights else None


def _driver_away(form: ChangeForm) -> Change | None:
    nights = _nights(form, "driver")
    return DriverAway(kind="driver away", driver=_name(form, "driver"), nights=nights) if nights else None


def _no_moves(form: ChangeForm) -> Change | None:
    nights = _nights(form, "still")
    return NoMoves(kind="no moves", nights=nights) if nights else None


def _lost(form: ChangeForm) -> Change | None:
    hives = _whole(form, "lost_hives", least=1, most=5000)
    return ColoniesLost(kind="colonies lost", group=_name(form, "lost_group"), hives=hives) if hives else None


def _wanted(form: ChangeForm) -> Change | None:
    colonies = _whole(form, "wanted_colonies", least=1, most=5000)
    if colonies is None:
        return None
    return ColoniesWanted(kind="colonies wanted", contract=_name(form, "wanted_contract"), colonies=colonies)


def _name(form: ChangeForm, name: str) -> str:
    if not form[name]:
        raise _FieldError(_fault(name, found="", allowed=say("change.a_name")))
    return form[name]


def _whole(form: ChangeForm, name: str, *, least: int, most: int) -> int | None:
    text = form[name]
    if not text:
        return None
    digits = text.removeprefix("-").removeprefix("+")
    if digits.isascii() and digits.isdigit() and len(digits) <= 6 and least <= int(text) <= most:
        return int(text)
    raise _FieldError(_fault(name, found=text, allowed=say("change.whole", least=least, most=most)))


def _date(form: ChangeForm, name: str) -> dt.date:
    try:
        return dt.date.fromisoformat(form[name])
    except ValueError:
        raise _FieldError(_fault(name, found=form[name], allowed=say("change.a_date"))) from None


def _nights(form: ChangeForm, stem: str) -> tuple[dt.date, ...]:
    """Return each night from one field to the other; the second may be empty."""
    first, last = f"{stem}_from", f"{stem}_until"
    if not form[first]:
        if form[last]:
            raise _FieldError(_fault(first, found="", allowed=say("change.a_date")))
        return ()
    begin = _date(form, first)
    end = _date(form, last) if form[last] else begin
    if not 0 <= (end - begin).days < MOST_NIGHTS:
        raise _FieldError(_fault(last, found=form[last], allowed=say("change.after_first", most=MOST_NIGHTS)))
    return tuple(begin + dt.timedelta(days=count) for count in range((end - begin).days + 1))


def _fault(name: str, *, found: str, allowed: str) -> Fault:
    label = say(f"change.{name}") if name else ""
    return Fault(file=say("change.form"), column=label, path=label, found=shown(found), allowed=allowed)


