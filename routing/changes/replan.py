"""What is asked when a plan is to be made anew, as one document."""

import datetime as dt

from pydantic import Field, ValidationError

from routing.changes.change import Change
from routing.errors import OperationError
from routing.inputs.faults import Fault, shown
from routing.record import Record


class Replan(Record):
    """From which night on a plan is made anew, and what has changed."""

    next_night: dt.date
    """First night still to be planned (date of the evening); nights before it are done."""
    changes: tuple[Change, ...] = Field(default=(), max_length=200)


def replan_from_json(text: str, file_name: str) -> Replan:
    """Return the document; raise ``OperationError`` with a sentence for each thing wrong with it."""
    try:
        return Replan.model_validate_json(text)
    except ValidationError as error:
        found = tuple(
            Fault(file=file_name, path=_path(one["loc"]), found=shown(one["input"]), allowed=_allowed(one["type"], one["msg"]))
            for one in error.errors(include_url=False)
        )
        raise OperationError(found) from error


def _allowed(kind: str, message: str) -> str:
    if kind.startswith("union_tag"):
        return "a kind among 'bloom', 'truck away', 'driver away', 'no moves', 'colonies lost', 'colonies wanted'"
    return message.removeprefix("Input should be ")


def _path(steps: tuple[int | str, ...]) -> str:
    return "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in steps).lstrip(".") or "the whole document"
