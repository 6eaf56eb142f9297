"""How the bodies that are read as whole documents stand in the OpenAPI description.

Documents are checked as JSON text, strictly (a date is a string there, ``false`` is no number), which the
framework's own body parameters do not do; so their schemas and examples are put into the description here,
when it is asked for: the server starts without them.
"""

import json
import re
from collections.abc import Iterable
from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import models_json_schema

_GIVEN = "-Input"
"""Ends the name of a schema of what is sent; the same record is answered with all its values filled in."""


def operation_body() -> dict[str, Any]:
    """Return the OpenAPI request body of an operation: a JSON document, or a form with files."""
    file = {"type": "string", "format": "binary"}
    form = {
        "type": "object",
        "required": ["operation"],
        "properties": {
            "operation": file | {"description": "the operation: workbook (.xlsx) or JSON document (.json)"},
            "maps": {"type": "array", "items": file, "description": "land: GeoJSON, GeoPackage, KML, zipped shapefile"},
            "distances": file | {"description": "miles and minutes between places (.csv)"},
            "weather": {"type": "array", "items": file, "description": "temperatures by the hour or by the day (.csv)"},
        },
    }
    body = document_body("Operation")
    body["content"]["multipart/form-data"] = {"schema": form}
    return body


def document_body(name: str) -> dict[str, Any]:
    """Return the OpenAPI request body of one JSON document of the record ``name``."""
    return {"required": True, "content": {"application/json": {"schema": _reference(name)}}}


def add_documents(description: dict[str, Any], answered: Iterable[type[BaseModel]]) -> None:
    """Add to ``description`` the documents that are sent, with examples, and the records ``answered``."""
    schemas = description["components"]["schemas"]
    schemas |= _schemas_given() | _schemas_answered(answered)
    examples = {name: {"tiny": {"summary": "invented", "value": one}} for name, one in _examples().items()}
    for operations in description["paths"].values():
        for operation in operations.values():
            content = operation.get("requestBody", {}).get("content", {}).get("application/json")
            if content:
                content["examples"] = examples[content["schema"]["$ref"]]


def _reference(name: str) -> dict[str, str]:
    return {"$ref": f"#/components/schemas/{name}{_GIVEN}"}


def _examples() -> dict[str, Any]:
    from fixtures.tiny import tiny_operation
    from routing.loads.typed import load_example

    operation = tiny_operation().model_dump(mode="json", exclude_defaults=True)
    replan = {"next_night": "2027-04-24", "changes": [{"kind": "bloom", "contract": "Late blueberries", "days": -2}]}
    found = {"Operation": operation, "LoadDocument": json.loads(load_example()), "Replan": replan}
    return {_reference(name)["$ref"]: example for name, example in found.items()}


def _schemas_given() -> dict[str, Any]:
    from routing.changes.replan import Replan
    from routing.inputs.schema import operation_schema
    from routing.loads.document import LoadDocument

    of_load, of_replan = LoadDocument.model_json_schema(), Replan.model_json_schema()
    every = {"LoadDocument": of_load, "Replan": of_replan, "Operation": operation_schema()}
    return {part: schema for name, one in every.items() for part, schema in _as_components(name, one).items()}


def _as_components(name: str, schema: dict[str, Any]) -> dict[str, Any]:
    # A JSON Schema keeps its parts under $defs, an OpenAPI description under components.
    text = re.sub(r"#/\$defs/([\w.-]+)", rf"#/components/schemas/\1{_GIVEN}", json.dumps(schema))
    whole = json.loads(text)
    parts = whole.pop("$defs", {})
    whole.pop("$schema", None)
    return {part + _GIVEN: schema for part, schema in (parts | {name: whole}).items()}


def _schemas_answered(records: Iterable[type[BaseModel]]) -> dict[str, Any]:
    template = "#/components/schemas/{model}"
    _, document = models_json_schema([(record, "serialization") for record in records], ref_template=template)
    return dict(document["$defs"])
