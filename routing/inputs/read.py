"""A JSON document in, an operation out: the way in without files, for programs and for the JSON API."""

import json
from collections.abc import Iterator
from typing import NoReturn

from routing.errors import OperationError
from routing.inputs.cells import allowed
from routing.inputs.faults import Fault, Origin, nearest, shown, with_nearest
from routing.inputs.operation import Operation
from routing.inputs.rows import MOST_ROWS, Draft, Row, operation_from_draft
from routing.inputs.tables import Table, table, tables

MOST_BYTES = 20_000_000
A_DOCUMENT = "one JSON object with the fields of an operation"


def operation_from_json(text: str | bytes, file_name: str = "operation.json") -> Operation:
    """Return the operation that a JSON document describes.

    Parameters
    ----------
    text
        The document; bytes are UTF-8, with or without a byte order mark.
    file_name
        What the faults call it.

    Returns
    -------
    Operation
        Checked within rows and across them.

    Raises
    ------
    OperationError
        With every fault at once.
    """
    return operation_from_draft(draft_from_json(text, file_name))


def draft_from_json(text: str | bytes, file_name: str) -> Draft:
    """Return the rows of a JSON document; raise ``OperationError`` when it is not JSON at all."""
    document = _parsed(text, file_name)
    known = [column.name for column in tables()[0].columns] + [one.name for one in tables()[1:]]
    faults = list(_unknown(document, known, Origin(file=file_name)))
    _twice(document, "", file_name, faults)
    rows: dict[str, tuple[Row, ...]] = {"operation": (_own_row(document, file_name, faults),)}
    for one in tables()[1:]:
        rows[one.name] = tuple(_rows(one, document.get(one.name, []), file_name, faults))
    return Draft(file_name, rows, tuple(faults))


class _Pairs(dict[str, object]):
    """A JSON object that remembers which fields it held more than once."""

    twice: tuple[str, ...] = ()


class _NotFinite(str):
    """NaN or Infinity, which Python's reader takes and JSON does not know."""

    __slots__ = ()


def _pairs(items: list[tuple[str, object]]) -> _Pairs:
    found = _Pairs(items)
    if len(found) < len(items):
        names = [name for name, _ in items]
        found.twice = tuple(name for name in found if names.count(name) > 1)
    return found


def _refuse(file_name: str, found: str, *, path: str = "", allowed: str = A_DOCUMENT) -> NoReturn:
    raise OperationError((Fault(file=file_name, path=path, found=found, allowed=allowed),)) from None


def _parsed(text: str | bytes, file_name: str) -> _Pairs:
    if len(text) > MOST_BYTES:
        _refuse(file_name, f"{len(text):,} bytes", allowed=f"at most {MOST_BYTES:,}")
    decoded = _decoded(text, file_name) if isinstance(text, bytes) else text
    try:
        document = json.loads(
            decoded.removeprefix("\ufeff"), object_pairs_hook=_pairs, parse_constant=_NotFinite
        )
    except json.JSONDecodeError as error:
        path = f"line {error.lineno}, character {error.colno}"
        _refuse(file_name, _stumbled(error), path=path)
    except RecursionError:
        _refuse(file_name, "lists within lists without end")
    except ValueError:
        _refuse(file_name, "a number of thousands of digits")
    if not isinstance(document, _Pairs):
        _refuse(file_name, shown(document))
    return document


def _decoded(text: bytes, file_name: str) -> str:
    try:
        return text.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        _refuse(file_name, f"a byte that is not UTF-8 at position {error.start + 1}", allowed="text in UTF-8")


def _stumbled(error: json.JSONDecodeError) -> str:
    if error.pos >= len(error.doc.rstrip()):
        return "the end of the text" if error.doc.strip() else "an empty text"
    if error.msg == "Extra data":
        return f"{shown(error.doc[error.pos : error.pos + 20])} after the end of the document"
    return f"{shown(error.doc[error.pos : error.pos + 20])}, which is not JSON"


def _twice(value: object, path: str, file_name: str, faults: list[Fault]) -> None:
    """Tell every field that stands twice, as deep as a well-formed operation goes."""
    if isinstance(value, _Pairs):
        for name in value.twice:
            where = f"{path}.{name}" if path else name
            faults.append(
                Fault(file=file_name, path=where, found="the field more than once", allowed="each field once")
            )
        for name, inner in value.items() if not path else ():
            for index, item in enumerate(inner if isinstance(inner, list) else ()):
                _twice(item, f"{name}[{index}]", file_name, faults)


def _own_row(document: _Pairs, file_name: str, faults: list[Fault]) -> Row:
    names = {column.name for column in tables()[0].columns}
    values = {name: value for name, value in document.items() if name in names}
    return _row(table("operation"), values, Origin(file=file_name), faults)


def _rows(one: Table, value: object, file_name: str, faults: list[Fault]) -> Iterator[Row]:
    if not isinstance(value, list) or len(value) > MOST_ROWS:
        found = f"{len(value):,} rows" if isinstance(value, list) else shown(value)
        faults.append(
            Fault(
                file=file_name,
                path=one.name,
                found=found,
                allowed=f"a list of {MOST_ROWS:,} objects or fewer",
            )
        )
        return
    for index, item in enumerate(value):
        origin = Origin(file=file_name, path=f"{one.name}[{index}]")
        if isinstance(item, _Pairs):
            faults += _unknown(item, [column.name for column in one.columns], origin)
            yield _row(one, item, origin, faults)
        else:
            faults.append(origin.fault("", "", found=shown(item), allowed="a JSON object"))
            yield Row({}, origin, loose=False, told=frozenset(column.name for column in one.columns))


def _row(one: Table, values: dict[str, object], origin: Origin, faults: list[Fault]) -> Row:
    """Return the row; null where a value must be, and numbers that are none, are told here."""
    told = set()
    for column in one.columns:
        value = values.get(column.name)
        null = value is None and column.name in values and not column.optional
        if null or isinstance(value, _NotFinite):
            told.add(column.name)
            found = "null" if null else str(value)
            faults.append(
                origin.fault(column.name, column.label, found=found, allowed=allowed(column, loose=False))
            )
    return Row(values, origin, loose=False, told=frozenset(told))


def _unknown(values: dict[str, object], known: list[str], origin: Origin) -> Iterator[Fault]:
    for name in values:
        if name not in known:
            near = nearest(name, known)
            words = (
                with_nearest("one of the fields of this object", name, known)
                if near
                else ("one of the fields: " + ", ".join(known))
            )
            path = "".join(letter if letter.isprintable() else "?" for letter in name[:60])
            yield origin.fault(path, "", found="an unknown field", allowed=words)
