"""The hub's own API as an OpenAPI 3.1 document, made from the same table as its routes. Pure."""

from collections.abc import Sequence
from typing import Any

import msgspec

from assistant.hub.protocol import Refused
from assistant.hub.web import COOKIE, Endpoint, Who

_REFUSALS = {
    "400": "The body is not the message that is wanted, or names what is not there.",
    "401": "Not paired, or not logged in.",
    "403": "A wrong code, or another bench's line.",
    "404": "There is no such bench.",
    "408": "The body did not come in time.",
    "409": "It does not fit what the hub knows now.",
    "413": "The body is too long.",
    "415": "The body is not application/json.",
    "429": "Five wrong codes were tried: wait.",
    "503": "The board's disk refuses, or too many pages are open.",
}
_SECURITY: dict[Who, list[dict[str, list[str]]]] = {
    Who.ANYBODY: [],
    Who.BENCH: [{"bench": []}],
    Who.SUPERVISOR: [{"supervisor": []}],
}


def description(endpoints: Sequence[Endpoint]) -> dict[str, Any]:
    """The whole document, ready to be written as JSON."""
    named = [kind for one in endpoints for kind in (one.takes, one.gives)]
    messages = {kind for kind in named if isinstance(kind, type)}
    kinds = sorted(messages | {Refused}, key=lambda kind: kind.__name__)
    _, schemas = msgspec.json.schema_components(kinds, ref_template="#/components/schemas/{name}")
    paths: dict[str, dict[str, Any]] = {}
    for endpoint in endpoints:
        paths.setdefault(endpoint.path, {})[endpoint.method.lower()] = _operation(endpoint)
    return {
        "openapi": "3.1.0",
        "info": {"title": "The hub of a dispensing board", "version": "1"},
        "paths": paths,
        "components": {
            "schemas": schemas,
            "securitySchemes": {
                "bench": {"type": "http", "scheme": "bearer"},
                "supervisor": {"type": "apiKey", "in": "cookie", "name": COOKIE},
            },
        },
    }


def _operation(endpoint: Endpoint) -> dict[str, Any]:
    refusal = {"application/json": {"schema": _ref(Refused)}}
    responses: dict[str, Any] = {
        status: {"description": why, "content": refusal} for status, why in _REFUSALS.items()
    }
    responses["200"] = {"description": "Done.", "content": _content(endpoint.gives)}
    operation = {
        "summary": endpoint.does,
        "security": _SECURITY[endpoint.who],
        "responses": dict(sorted(responses.items())),
    }
    if endpoint.takes is not None:
        body = {"application/json": {"schema": _ref(endpoint.takes)}}
        operation["requestBody"] = {
            "required": True,
            "content": body,
            "description": f"At most {endpoint.most_bytes} bytes.",
        }
    return operation


def _content(gives: type[msgspec.Struct] | str) -> dict[str, Any]:
    if isinstance(gives, str):
        return {gives: {}}
    return {"application/json": {"schema": _ref(gives)}}


def _ref(kind: type[msgspec.Struct]) -> dict[str, str]:
    return {"$ref": f"#/components/schemas/{kind.__name__}"}
