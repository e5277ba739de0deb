"""The API document as a whole: the operations, and what all of them have in common, written once and referred to."""

from __future__ import annotations

from functools import cache
from typing import Any

from golfstats.doors.operations import OPERATIONS, ROOMS
from golfstats.doors.rest.http.sent import JSON
from golfstats.doors.rest.reference.document import paths_of, webhooks
from golfstats.doors.rest.reference.examples import Example, examples, message_name
from golfstats.doors.rest.views import CLUB_HEADER
from golfstats.ground.answered.services import KEPT
from golfstats.ground.standing import Standing

UNOFFICIAL = "Unofficial: only an authorised association issues a Handicap Index."

_INFO = {
    "title": "golfstats",
    "version": "1.0.0",
    "description": (
        "Strokes gained, handicap figures and the effect of green work for the members of a golf club. "
        "Handicap figures are unofficial: only an authorised association issues a Handicap Index."
    ),
}
_SIGN_INS = {
    "token": {"type": "http", "scheme": "bearer"},
    "session": {"type": "apiKey", "in": "cookie", "name": "sessionid"},
    "password": {"type": "http", "scheme": "basic"},
}
_PROBLEM_SCHEMA = {
    "type": "object",
    "description": "Problem details (RFC 9457). Programs go by `type`, people by the rest.",
    "required": ["type", "title", "status", "instance", "request_id"],
    "properties": {
        "type": {
            "type": "string",
            "format": "uri-reference",
            "description": "Stable name of the kind of problem; its address tells more.",
        },
        "title": {"type": "string", "description": "What kind of problem it is, in words."},
        "status": {"type": "integer", "description": "The same as the answer's status code."},
        "detail": {"type": "string", "description": "What is wrong this time, in words."},
        "instance": {
            "type": "string",
            "format": "uri-reference",
            "description": "The address that was asked.",
        },
        "request_id": {
            "type": "string",
            "format": "uuid",
            "description": "Also in X-Request-Id, and in the log: name it to us.",
        },
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
    "request_id": "0192f0c1-7a3e-7b44-9d51-3c2f8e6a9b10",
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
        "description": (
            "A write sent again under the same key is not done again: it gets the first answer, with the header "
            "`Idempotency-Replayed: true`. Another body under the key is refused (422), and so is a repetition whose "
            "result has been deleted since (410) or is no longer yours to see (404; 410 where it may have told of "
            "players whom you may no longer see). What only reads is answered anew. "
            f"Keys are kept for {KEPT.days} days."
        ),
        "schema": {"type": "string", "minLength": 1, "maxLength": 200},
    },
}
_WRITES = {"post", "put", "patch", "delete"}


@cache
def document() -> dict[str, Any]:
    """OpenAPI 3.1. Made once a process: it takes a second, and changes never."""
    paths, schemas = paths_of(OPERATIONS)
    of_members = {one.id for one in OPERATIONS if one.standing is Standing.MEMBER}
    room_of = {one.id: room.name for room in ROOMS for one in room.operations}
    for path, methods in paths.items():
        for method, operation in methods.items():
            operation["tags"] = [room_of[operation["operationId"]]]
            operation["responses"]["default"] = {"$ref": "#/components/responses/Problem"}
            if operation["operationId"] in of_members:
                _name_the_club(method, operation)
            if "handicap" in path:
                _say_unofficial(operation)
            _show(operation, examples().get(operation["operationId"], {}))
    return {
        "openapi": "3.1.0",
        "info": _INFO,
        "servers": [{"url": "/", "description": "The service that this document comes from."}],
        "tags": [{"name": room.name, "description": room.what} for room in ROOMS],
        "security": [{"token": []}, {"session": []}],
        "paths": paths,
        "webhooks": _told_to_programs(),
        "components": {
            "schemas": schemas | {"Problem": _PROBLEM_SCHEMA},
            "responses": {"Problem": _PROBLEM_RESPONSE},
            "parameters": _PARAMETERS,
            "securitySchemes": _SIGN_INS,
        },
    }


def _told_to_programs() -> dict[str, Any]:
    """Every message, with the example that the tests recorded."""
    messages = webhooks()
    for happening, message in messages.items():
        post = message["post"]
        post["tags"] = ["webhooks"]
        example = examples().get(message_name(happening), {})
        if "body" in example:
            post["requestBody"]["content"][JSON]["example"] = example["body"]
    return messages


def _name_the_club(method: str, operation: dict[str, Any]) -> None:
    shared = ["Club", "Idempotency-Key"] if method in _WRITES else ["Club"]
    own = [one for one in operation.get("parameters", []) if one["name"] not in shared]
    operation["parameters"] = own + [{"$ref": f"#/components/parameters/{name}"} for name in shared]


def _say_unofficial(operation: dict[str, Any]) -> None:
    if UNOFFICIAL not in operation.get("description", ""):
        operation["description"] = f"{operation.get('description', '')}\n\n{UNOFFICIAL}".strip()


def _show(operation: dict[str, Any], example: Example) -> None:
    """Put the example beside the schemas of the body and of the answer."""
    body = operation.get("requestBody", {}).get("content", {}).get(JSON)
    if body is not None and "body" in example:
        body["example"] = example["body"]
    if "answer" in example:
        operation["responses"][str(example["status"])]["content"][JSON]["example"] = example["answer"]
