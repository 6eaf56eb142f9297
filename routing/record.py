"""The base of every value that passes between rooms: frozen, strict, no unknown fields."""

from typing import Any

from pydantic import BaseModel, ConfigDict, Field


class Record(BaseModel):
    """A frozen value. Unknown fields, and values of another type, are refused."""

    model_config = ConfigDict(frozen=True, strict=True, extra="forbid", use_attribute_docstrings=False)


def column(meaning: str, *, unit: str = "", example: Any = None, default: Any = ..., **rules: Any) -> Any:
    """Declare one input column once: meaning, unit, example and rule.

    The reader, the error text, the JSON Schema and the workbook template all read it from here.

    Parameters
    ----------
    meaning
        One sentence that a beekeeper understands.
    unit
        Unit of the value as printed in headings, empty when it has none.
    example
        Value in the template's worked example row.
    default
        Value when the cell is empty; left out, the cell must be filled.
    **rules
        Any constraint that ``pydantic.Field`` takes (``ge``, ``le``, ``min_length`` and so on).

    Returns
    -------
    Any
        The ``pydantic`` field.
    """
    extra: dict[str, Any] = {"unit": unit} if unit else {}
    examples = None if example is None else [example]
    return Field(default, description=meaning, examples=examples, json_schema_extra=extra, **rules)
