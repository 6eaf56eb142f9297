"""How the bodies that are read as whole documents stand in the OpenAPI description.

Documents are checked as JSON text, strictly (a date is a string there, ``false`` is no number), which the
framework's own body parameters do not do; so their schemas are put into the description here.
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
    from fixtures.tiny import tiny_operation

    example = tiny_operation().model_dump(mode="json", exclude_defaults=True)
    file = {"type": "string", "format": "binary"}
    form = {
        "type": "object",
        "required": ["operation"],
        "properties": {
            "operation": file | {"description": "the operation: workbook (.xlsx) or JSON document (.json)"},
            "maps": {"type": "array", "items": file, "description": "orchard blocks: GeoJSON or GeoPackage"},
            "distances": file | {"description": "miles and minutes between places (.csv)"},
        },
    }
    return {
        "required": True,
        "content": {
            "application/json": {
                "schema": _reference("Operation"),
                "examples": {"tiny": {"summary": "Tiny Bees", "value": example}},
            },
            "multipart/form-data": {"schema": form},
        },
    }


def load_example_document() -> dict[str, Any]:
    """Return the worked example of a load typed in by hand."""
    from routing.loads.typed import load_example

    example: dict[str, Any] = json.loads(load_example())
    return example


def document_body(name: str, *, example: dict[str, Any]) -> dict[str, Any]:
    """Return the OpenAPI request body of one JSON document of the record ``name``."""
    examples = {"tiny": {"summary": "of Tiny Bees", "value": example}}
    content = {"schema": _reference(name), "examples": examples}
    return {"required": True, "content": {"application/json": content}}


def schemas_given() -> dict[str, Any]:
    """Return the schemas of the documents that are sent, by the names that the request bodies refer to."""
    from routing.inputs.schema import operation_schema
    from routing.loads.document import LoadDocument

    of_load = LoadDocument.model_json_schema()
    return _as_components("LoadDocument", of_load) | _as_components("Operation", operation_schema())


def _as_components(name: str, schema: dict[str, Any]) -> dict[str, Any]:
    # A JSON Schema keeps its parts under $defs, an OpenAPI description under components.
    text = re.sub(r"#/\$defs/([\w.-]+)", rf"#/components/schemas/\1{_GIVEN}", json.dumps(schema))
    whole = json.loads(text)
    parts = whole.pop("$defs", {})
    whole.pop("$schema", None)
    return {part + _GIVEN: schema for part, schema in (parts | {name: whole}).items()}


def schemas_answered(records: Iterable[type[BaseModel]]) -> dict[str, Any]:
    """Return the schemas of ``records`` as they are answered, by their own names."""
    template = "#/components/schemas/{model}"
    _, document = models_json_schema([(record, "serialization") for record in records], ref_template=template)
    return dict(document["$defs"])


def _reference(name: str) -> dict[str, str]:
    return {"$ref": f"#/components/schemas/{name}{_GIVEN}"}
