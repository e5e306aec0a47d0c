"""What /api/ takes and gives, as OpenAPI describes it."""

from __future__ import annotations

from functools import cache
from typing import Any

from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core.core_schema import WithDefaultSchema

from gearchest.cli.files.lathe_tables import LatheFile
from gearchest.cli.files.offers import OfferTable
from gearchest.cli.files.wants import WantTable
from gearchest.cli.page.requests import ASKED, TAKES

_DOES = {
    "plan": "Which gears to add, step by step.",
    "reach": "Whether pitches can be cut, and with which gears.",
    "setup": "Everything needed to cut one thread.",
    "compare": "What one lathe can do that the other cannot.",
    "blanks": "How to make gears.",
    "chart": "Which gears hang where for each thread, with the fewest changes of gears.",
    "threads": "The thread catalogs; or which thread a measured one can be.",
    "check": "What is wrong with a lathe, wants and offers, or missing.",
}


@cache
def openapi(version: str) -> dict[str, Any]:
    """The description of the interface."""
    paths = {f"/api/{command}": {"post": _operation(command)} for command in ASKED}
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "gearchest",
            "version": version or "0",
            "description": "The documents of the commands, from JSON with the keys of the files. "
            "Nothing is kept of a request. Send the key of the address that was printed: "
            "Authorization: Bearer KEY.",
        },
        "security": [{"key": []}],
        "paths": paths,
        "components": {
            "securitySchemes": {"key": {"type": "http", "scheme": "bearer"}},
            "schemas": {
                "Lathe": _schema(LatheFile),
                "Want": _schema(WantTable),
                "Offer": _schema(OfferTable),
                "Faults": _FAULTS,
            },
        },
    }


def _operation(command: str) -> dict[str, Any]:
    named = {"type": "string", "description": "the name of a bundled lathe"}
    lathe = {"anyOf": [{"$ref": "#/components/schemas/Lathe"}, named]}
    kinds = {
        "lathe": lathe,
        "also": lathe,
        "lathes": {"type": "array", "items": lathe, "minItems": 2, "maxItems": 2},
        "wants": {"type": "array", "items": {"$ref": "#/components/schemas/Want"}},
        "offers": {"type": "array", "items": {"$ref": "#/components/schemas/Offer"}},
    }
    properties = {key: kinds[key] for key in TAKES[command]}
    request = {
        "type": "object",
        "properties": {**properties, "options": _schema(ASKED[command])},
        "additionalProperties": False,
    }
    faults = {"application/json": {"schema": {"$ref": "#/components/schemas/Faults"}}}
    return {
        "summary": _DOES[command],
        "operationId": command,
        "requestBody": {"required": True, "content": {"application/json": {"schema": request}}},
        "responses": {
            "200": {
                "description": "The document.",
                "content": {"application/json": {"schema": _document(command)}},
            },
            "422": {"description": "Something in the request is wrong.", "content": faults},
            "503": {"description": "Too many wait, or it took too much memory: ask again."},
            "504": {"description": "It took too long: ask for less."},
        },
    }


def _document(command: str) -> dict[str, Any]:
    kind = {"type": "string", "examples": [command]}
    return {
        "type": "object",
        "properties": {"kind": kind, "version": {"const": 1}},
        "required": ["kind", "version"],
    }


_FAULTS = {
    "type": "object",
    "properties": {
        "kind": {"const": "faults"},
        "faults": {
            "type": "array",
            "items": {
                "type": "object",
                "properties": {
                    name: {"type": "string"}
                    for name in ("where", "value", "why", "allowed", "cure")
                },
            },
        },
    },
}


def _schema(model: Any) -> dict[str, Any]:
    """Keys, and which of them are needed. Values are told by what is refused: they may be numbers
    or text in the notations of the trade, which no schema says."""
    found: dict[str, Any] = _plain(model.model_json_schema(schema_generator=_WithoutDefaults))
    return found


class _WithoutDefaults(GenerateJsonSchema):
    """What is taken where a key is left out is told in the guide; much of it is no JSON."""

    def default_schema(self, schema: WithDefaultSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])


def _plain(schema: dict[str, Any]) -> dict[str, Any]:
    """A schema with the tables it points at in their places, without titles."""
    tables = schema.get("$defs", {})

    def inlined(part: Any) -> Any:
        if isinstance(part, list):
            return [inlined(each) for each in part]
        if not isinstance(part, dict):
            return part
        if "$ref" in part:
            return inlined(tables[part["$ref"].rpartition("/")[2]])
        names = part.get("properties")
        kept = {k: inlined(v) for k, v in part.items() if k not in ("$defs", "title")}
        if isinstance(names, dict):  # a key of a file may itself be called so
            kept["properties"] = {name: inlined(value) for name, value in names.items()}
        return kept

    found: dict[str, Any] = inlined(schema)
    return found
