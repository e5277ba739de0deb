"""What every operation of the OpenAPI document has in common, written once and referred to."""

from __future__ import annotations

from typing import Any

from rest_framework.request import Request

from golfstats.api.views import CLUB_HEADER, ClubView

UNOFFICIAL = "Unofficial: only an authorised association issues a Handicap Index."

_PROBLEM_SCHEMA = {
    "type": "object",
    "description": "Problem details (RFC 9457). Programs go by `type`, people by the rest.",
    "required": ["type", "title", "status", "instance"],
    "properties": {
        "type": {"type": "string", "format": "uri-reference"},
        "title": {"type": "string"},
        "status": {"type": "integer"},
        "detail": {"type": "string"},
        "instance": {"type": "string", "format": "uri-reference"},
        "request_id": {"type": "string", "format": "uuid", "description": "With a 500: name it to us."},
        "errors": {
            "type": "array",
            "description": "Every fault found, never only the first.",
            "items": {
                "type": "object",
                "required": ["pointer", "code", "detail"],
                "properties": {
                    "pointer": {
                        "type": "string",
                        "description": "JSON pointer (RFC 6901) into the body, or /name of a parameter.",
                    },
                    "code": {"type": "string"},
                    "detail": {"type": "string"},
                    "hole": {"type": "integer"},
                    "shot": {"type": "integer"},
                    "line": {"type": "integer", "description": "Of the compact notation."},
                    "column": {"type": "integer", "description": "Of the compact notation."},
                },
            },
        },
    },
}
_PROBLEM_EXAMPLE = {
    "type": "/problems/invalid-request",
    "title": "The round cannot be saved",
    "status": 422,
    "detail": "1 fault; see errors.",
    "errors": [
        {
            "pointer": "/holes/6/shots/2/distance",
            "code": "impossible_distance",
            "detail": "no putt is 300 feet long",
            "hole": 7,
            "shot": 3,
        }
    ],
    "instance": "/api/v1/rounds",
}
_PROBLEM_RESPONSE = {
    "description": "Problem details (RFC 9457): 401 without a sign-in, 404 for what is not there or not yours, "
    "422 with every fault, 429 with Retry-After, and so on.",
    "content": {
        "application/problem+json": {
            "schema": {"$ref": "#/components/schemas/Problem"},
            "examples": {"Faults": {"value": _PROBLEM_EXAMPLE}},
        }
    },
}
_PARAMETERS = {
    "Club": {
        "name": CLUB_HEADER,
        "in": "header",
        "description": "Slug of the club that the request is about; a person of one club may leave it out.",
        "schema": {"type": "string"},
    },
    "Idempotency-Key": {
        "name": "Idempotency-Key",
        "in": "header",
        "description": "A write sent again under the same key is not done again: it gets the first answer.",
        "schema": {"type": "string", "minLength": 1, "maxLength": 200},
    },
}
_WRITES = {"post", "put", "patch", "delete"}


def complete(result: dict[str, Any], generator: Any, request: Request | None, public: bool) -> Any:  # noqa: ARG001, FBT001
    """Hook of drf-spectacular: problems, the club's header and idempotency for every operation."""
    components = result.setdefault("components", {})
    components.setdefault("schemas", {})["Problem"] = _PROBLEM_SCHEMA
    components.setdefault("responses", {})["Problem"] = _PROBLEM_RESPONSE
    components.setdefault("parameters", {}).update(_PARAMETERS)
    of_a_club = {
        (path, method.lower())
        for path, _, method, callback in generator.endpoints
        if issubclass(callback.cls, ClubView)
    }
    for path, operations in result["paths"].items():
        for method, operation in operations.items():
            operation["responses"]["default"] = {"$ref": "#/components/responses/Problem"}
            if (path, method) in of_a_club:
                _name_the_club(method, operation)
            if "handicap" in path:
                _say_unofficial(operation)
    return result


def _name_the_club(method: str, operation: dict[str, Any]) -> None:
    shared = ["Club", "Idempotency-Key"] if method in _WRITES else ["Club"]
    own = [one for one in operation.get("parameters", []) if one["name"] not in shared]
    operation["parameters"] = own + [{"$ref": f"#/components/parameters/{name}"} for name in shared]


def _say_unofficial(operation: dict[str, Any]) -> None:
    if UNOFFICIAL not in operation.get("description", ""):
        operation["description"] = f"{operation.get('description', '')}\n\n{UNOFFICIAL}".strip()
