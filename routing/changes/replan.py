"""What is asked when a plan is to be made anew, as one document."""

import datetime as dt

from pydantic import Field, ValidationError

from routing.changes.change import Change
from routing.errors import OperationError
from routing.inputs.complaints import complaint_fault
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
        raise OperationError(tuple(complaint_fault(file_name, one) for one in error.errors(include_url=False))) from error
