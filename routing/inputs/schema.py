"""The JSON Schema of an operation, read off its records."""

from typing import Any

from routing.inputs.cells import FIRST_YEAR, LAST_YEAR
from routing.inputs.example import example_operation
from routing.inputs.operation import Operation
from routing.inputs.rows import MOST_ROWS
from routing.inputs.tables import PLACES, REFERENCES, table

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def operation_schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of an operation, with titles, meanings, units and a worked example.

    Notes
    -----
    Every document that a schema reader refuses the door refuses too. The door also checks what spans rows:
    names that must lead somewhere, dates that follow one another, weights under ratings.
    """
    schema: dict[str, Any] = Operation.model_json_schema()
    schema["title"] = "Operation"
    for name, record in [("operation", schema), *schema.get("$defs", {}).items()]:
        for field, part in record.get("properties", {}).items():
            _mend(part, field)
            if name == "operation" and part.get("type") == "array":
                part["maxItems"] = MOST_ROWS
                part["title"] = table(field).sheet
                part["description"] = table(field).meaning
                _references(field, schema["$defs"][table(field).record.__name__])
    schema["examples"] = [example_operation().model_dump(mode="json", exclude_none=True)]
    return {"$schema": DIALECT, **schema}


def _mend(part: dict[str, Any], field: str) -> None:
    part["title"] = field.replace("_", " ")
    if "unit" in part and "description" in part:
        part["description"] = f"{part['description']} [{part['unit']}]"
    for inner in (part, *part.get("anyOf", ())):
        if inner.get("format") == "time":
            # RFC 3339's full-time has an offset; an hour of the clock at the place has none.
            del inner["format"]
            inner["pattern"] = r"^([01]\d|2[0-3]):[0-5]\d(:[0-5]\d(\.\d{1,6})?)?$"
    if "format" in part or any("format" in inner for inner in part.get("anyOf", ())):
        part["description"] = f"{part['description']}; from {FIRST_YEAR} to {LAST_YEAR}"


def _references(name: str, record: dict[str, Any]) -> None:
    for (table_name, column), targets in REFERENCES.items():
        if table_name == name:
            where = "yards or contracts" if targets == PLACES else table(targets[0]).sheet
            part = record["properties"][column]
            part["description"] = f"{part['description']} (a name in {where})"
