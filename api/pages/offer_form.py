"""The form of a new contract to be priced: what was typed, and the operation with that contract in it."""

import json
import math
from collections.abc import Mapping
from typing import Any

from routing.inputs.contract import Contract, Gate
from routing.inputs.operation import Operation
from routing.inputs.read import operation_from_json

ASKED = (
    "name", "grower", "crop", "colonies", "min_average_frames", "min_colony_frames", "access", "loading", "in_from", "in_until",
    "out_from", "out_until", "fee_usd_per_colony", "late_nights_allowed", "late_usd_per_colony_night", "short_usd_per_colony",
)  # fmt: skip
"""Columns of a contract that the form asks for; the others keep their defaults, or stay empty."""
PLACE = ("latitude_deg", "longitude_deg")
_GATE = "gate"
LONGEST_TEXT = 300


class OfferForm:
    """What was typed into the fields, by field."""

    def __init__(self, fields: Mapping[str, object] | None = None) -> None:
        self.typed = {name: text.strip()[:LONGEST_TEXT] for name, text in (fields or {}).items() if isinstance(text, str)}

    def __getitem__(self, name: str) -> str:
        """Return what was typed into a field; empty when nothing was."""
        return self.typed.get(name, "")

    @property
    def contract(self) -> str:
        """Name of the contract to be priced: one that is chosen, else the new one."""
        return self["chosen"] or self["name"]

    def operation(self, operation: Operation) -> Operation:
        """Return the operation with the new contract in it; as it is, when one of its own is chosen.

        Raises
        ------
        OperationError
            With every fault of the form, in the words of the workbook's door.
        """
        if self["chosen"]:
            return operation
        document = operation.model_dump(mode="json")
        new = {name: _value(Contract, name, self[name]) for name in ASKED if self[name]}
        document["contracts"].append(new | {"signed": False})
        gate = {name: _value(Gate, name, self[name]) for name in PLACE if self[name]}
        document["gates"].append({"contract": self["name"], "name": _GATE} | gate)
        return operation_from_json(json.dumps(document), "form")


def _value(record: type[Contract] | type[Gate], name: str, text: str) -> Any:
    """Return a number where the column holds one and the text is one; else the text, for the door to refuse."""
    kind = record.model_fields[name].annotation
    if kind not in (int, float):
        return text
    try:
        number = float(text)
    except ValueError:
        return text
    if not math.isfinite(number):
        return text
    return int(number) if kind is int and number.is_integer() else number
