"""One value of one cell: from what a document or a spreadsheet program holds to what the record wants.

A JSON document is taken at its word: false is not 0 and "12" is not 12. A spreadsheet program writes whole
numbers as floats, and people type numbers and dates as text: what has one clear meaning is accepted.
"""

import datetime as dt
import math
import re
from collections.abc import Callable

from routing.inputs.tables import Column

FIRST_YEAR, LAST_YEAR = 2000, 2100
LONGEST_TEXT = 30000

_DATE = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_TIME = re.compile(r"\d{2}:\d{2}(:\d{2}(\.\d{1,6})?)?", re.ASCII)
_NUMBER = re.compile(r"[+-]?(\d{1,18}(\.\d{0,20})?|\.\d{1,20})(e[+-]?\d{1,3})?", re.ASCII | re.IGNORECASE)
_DECIMAL_COMMA = re.compile(r"[+-]?(\d{1,18},(\d{1,2}|\d{4,12})|0,\d{1,12})", re.ASCII)
# Control characters, broken surrogates and non-characters: none can be printed, sent and stored everywhere.
_UNWRITABLE = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")
_YES_NO = {"yes": True, "true": True, "no": False, "false": False}


class CellError(ValueError):
    """The value is not of the column's kind."""


def is_empty(value: object) -> bool:
    """Return whether a cell holds nothing: null, or text of blanks only."""
    return value is None or (isinstance(value, str) and not value.strip())


def from_json(column: Column, value: object) -> object:
    """Return the value of a JSON document as the record takes it; raise ``CellError`` when it cannot."""
    if column.kind in ("date", "time") and not isinstance(value, str):
        raise CellError
    if column.kind == "one of a list":
        return _choice(column, value)
    return _FROM_JSON[column.kind](value)


def from_cell(column: Column, value: object) -> object:
    """Return the value of a spreadsheet's cell as the record takes it; raise ``CellError`` when it cannot.

    Notes
    -----
    ``12,5`` is read as 12.5; ``1,200`` could be either of two numbers a thousand apart and is refused.
    """
    if column.kind == "one of a list":
        return _choice(column, _choice_from_cell(column, value))
    return _FROM_CELL[column.kind](value)


def allowed(column: Column, *, loose: bool) -> str:
    """Return what a column may hold, in words that end a sentence; ``loose`` as in a spreadsheet."""
    text = _kind_in_words(column, loose=loose) + _limits_in_words(column)
    if column.unit and column.kind in ("whole number", "number"):
        text += f" [{column.unit}]"
    return text if column.required else f"{text}, or nothing"


def _kind_in_words(column: Column, *, loose: bool) -> str:
    if column.kind == "yes or no":
        return "yes or no" if loose else "true or false"
    if column.kind == "one of a list":
        return "one of: " + ", ".join(str(choice) for choice in column.choices)
    return _IN_WORDS[column.kind]


_IN_WORDS = {
    "whole number": "a whole number",
    "number": "a number",
    "date": f"a date such as 2027-04-14, from {FIRST_YEAR} to {LAST_YEAR}",
    "time": "an hour such as 20:30",
    "text": "text",
}


def _limits_in_words(column: Column) -> str:
    rules = column.rules
    if column.kind == "text":
        least, most = rules.get("min_length", 0), rules.get("max_length", 0)
        return f" of {'1 to' if least else 'at most'} {most:.0f} letters" if most else ""
    parts = [f"{words} {rules[key]:g}" for key, words in _LIMITS if key in rules]
    return " " + " and ".join(parts) if parts else ""


_LIMITS = (("ge", "of at least"), ("gt", "more than"), ("le", "at most"), ("lt", "less than"))


def _choice(column: Column, value: object) -> object:
    whole = int(value) if isinstance(value, float) and value.is_integer() else value
    for choice in column.choices:
        if type(choice) is type(whole) and choice == whole:
            return choice
    raise CellError


def _choice_from_cell(column: Column, value: object) -> object:
    """Return the choice whatever its capitals; a number typed as text as a number."""
    if not isinstance(value, str):
        return value
    by_folded = {str(choice).casefold(): choice for choice in column.choices}
    return by_folded.get(" ".join(value.split()).casefold(), value)


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise CellError
    text = value.replace("\r\n", "\n").replace("\r", "\n").strip()
    if len(text) > LONGEST_TEXT or _UNWRITABLE.search(text):
        raise CellError
    return text


def _text_from_cell(value: object) -> str:
    if isinstance(value, bool):
        raise CellError
    if isinstance(value, dt.datetime):
        value = _date_from_cell(value)
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, int | float):
        return format(_number(value), ".15g")
    return _text(value)


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise CellError
    if isinstance(value, int) and value.bit_length() > 100:
        raise CellError
    if not math.isfinite(value):
        raise CellError
    return float(value)


def _number_from_cell(value: object) -> float:
    if not isinstance(value, str):
        return _number(value)
    text = value.strip()
    if _NUMBER.fullmatch(text):
        return float(text)
    if _DECIMAL_COMMA.fullmatch(text):
        return float(text.replace(",", "."))
    raise CellError


def _whole(number: float) -> int:
    if not number.is_integer():
        raise CellError
    return int(number)


def _whole_from_json(value: object) -> int:
    return _whole(_number(value))


def _whole_from_cell(value: object) -> int:
    return _whole(_number_from_cell(value))


def _yes_no(value: object) -> bool:
    if not isinstance(value, bool):
        raise CellError
    return value


def _yes_no_from_cell(value: object) -> bool:
    if isinstance(value, str) and value.strip().casefold() in _YES_NO:
        return _YES_NO[value.strip().casefold()]
    return _yes_no(value)


def _date(value: object) -> dt.date:
    text = str(value).strip()
    if not _DATE.fullmatch(text):
        raise CellError
    try:
        return _sane(dt.date.fromisoformat(text))
    except ValueError as error:
        raise CellError from error


def _date_from_cell(value: object) -> dt.date:
    if isinstance(value, dt.datetime):
        if value.time() != dt.time():
            raise CellError
        return _sane(value.date())
    if isinstance(value, dt.date):
        return _sane(value)
    if isinstance(value, str):
        return _date(value.strip().removesuffix(" 00:00:00").removesuffix("T00:00:00"))
    raise CellError


def _sane(date: dt.date) -> dt.date:
    if not FIRST_YEAR <= date.year <= LAST_YEAR:
        raise CellError
    return date


def _time(value: object) -> dt.time:
    text = str(value).strip()
    if not _TIME.fullmatch(text):
        raise CellError
    try:
        return dt.time.fromisoformat(text)
    except ValueError as error:
        raise CellError from error


def _time_from_cell(value: object) -> dt.time:
    if isinstance(value, dt.time):
        return value.replace(tzinfo=None)
    if isinstance(value, dt.timedelta) and dt.timedelta() <= value < dt.timedelta(days=1):
        return (dt.datetime.min + value).time()
    if isinstance(value, str):
        text = value.strip()
        return _time(f"0{text}" if text[1:2] == ":" else text)
    raise CellError


_FROM_JSON: dict[str, Callable[[object], object]] = {
    "whole number": _whole_from_json,
    "number": _number,
    "yes or no": _yes_no,
    "date": _date,
    "time": _time,
    "text": _text,
}
_FROM_CELL: dict[str, Callable[[object], object]] = {
    "whole number": _whole_from_cell,
    "number": _number_from_cell,
    "yes or no": _yes_no_from_cell,
    "date": _date_from_cell,
    "time": _time_from_cell,
    "text": _text_from_cell,
}
