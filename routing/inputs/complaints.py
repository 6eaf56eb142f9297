"""What a reader of JSON documents complains of, in our words: where, what was found, what is allowed."""

from collections.abc import Mapping
from typing import Any

from routing.inputs.faults import Fault, shown

# What the rules of a column allow, by the kind of complaint.
ALLOWED = {
    "greater_than": "more than {gt:g}",
    "greater_than_equal": "{ge:g} or more",
    "less_than": "less than {lt:g}",
    "less_than_equal": "{le:g} or less",
    "string_too_short": "at least {min_length} characters",
    "string_too_long": "at most {max_length} characters",
    "too_short": "at least {min_length}",
    "too_long": "at most {max_length}",
    "literal_error": "{expected}",
    "missing": "a value",
    "extra_forbidden": "no such field",
    "float_type": "a number",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "bool_type": "true or false",
    "string_type": "text",
    "tuple_type": "a list",
    "model_type": "an object in braces",
    "finite_number": "a number that is not infinite",
    "date_from_datetime_parsing": "a date such as 2027-04-14",
    "date_type": "a date such as 2027-04-14",
    "union_tag_invalid": "a {discriminator} among {expected_tags}",
    "union_tag_not_found": "a field {discriminator}, which says what it is",
}


def complaint_fault(file_name: str, error: Mapping[str, Any]) -> Fault:
    """Return one complaint of a document's reader as a fault in our words."""
    if error["type"] == "json_invalid":
        return Fault(
            file=file_name, found=f"text that is not JSON: {error['ctx']['error']}", allowed="one JSON object"
        )
    path = ""
    for part in error["loc"]:
        path += f"[{part}]" if isinstance(part, int) else f".{part}" if path else str(part)
    allowed = ALLOWED.get(error["type"], _message(error)).format(**error.get("ctx", {}))
    found = "nothing" if error["type"] == "missing" else shown(error["input"])
    if error["type"] in ("too_short", "too_long"):
        found = f"{error['ctx']['actual_length']}"
    return Fault(file=file_name, path=path, found=found, allowed=allowed)


def _message(error: Mapping[str, Any]) -> str:
    """Return the reader's own words, with braces that are no places to fill in."""
    return str(error["msg"]).removeprefix("Input should be ").replace("{", "{{").replace("}", "}}")
