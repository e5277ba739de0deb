"""The API document: valid and complete."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from openapi_spec_validator import validate
from openapi_spec_validator.validation.exceptions import OpenAPIValidationError

from golfstats.doors.rest.reference.examples import examples, message_name
from golfstats.doors.rest.reference.openapi import UNOFFICIAL
from players.rounds.notation.grammar import (
    FIELD_OF_WORD,
    HEADERS,
    LIE_LETTERS,
    NUMBER_DETAILS,
    PENALTY_LETTERS,
)


def described(document: dict[str, Any]) -> list[tuple[str, str, dict[str, Any]]]:
    return [
        (path, method, operation)
        for path, operations in document["paths"].items()
        for method, operation in operations.items()
    ]


def test_document_is_valid(document: dict[str, Any]) -> None:
    validate(document)


def test_canary_a_broken_document_is_not_valid(document: dict[str, Any]) -> None:
    with pytest.raises(OpenAPIValidationError):
        validate(document | {"paths": {"/": {"get": {"responses": 7}}}})


def test_values_of_closed_sets_say_what_they_mean(document: dict[str, Any]) -> None:
    """Wherever in the document they stand. Numbers mean themselves; of a single value its description tells."""
    sets = list(closed_sets(document))
    assert len(sets) > 100
    silent = [
        f"{place}: {value}"
        for place, schema in sets
        for value in schema.get("enum", [])
        if f"- `{value}`: " not in schema.get("description", "") and isinstance(value, str)
    ]
    silent += [
        place
        for place, schema in sets
        if isinstance(schema.get("const"), str) and not schema.get("description")
    ]
    assert silent == []


def closed_sets(part: Any, place: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every schema that allows only certain values, with where it stands."""
    if isinstance(part, dict):
        if "enum" in part or "const" in part:
            yield place, part
        for name, inner in part.items():
            if name not in ("example", "examples"):
                yield from closed_sets(inner, f"{place}/{name}")
    elif isinstance(part, list):
        for number, inner in enumerate(part):
            yield from closed_sets(inner, f"{place}/{number}")


def test_every_parameter_and_every_field_that_is_sent_says_what_it_means(document: dict[str, Any]) -> None:
    silent = [
        f"{method} {path}: {parameter['name']}"
        for path, method, operation in described(document)
        for parameter in operation.get("parameters", [])
        if "$ref" not in parameter and not parameter.get("description")
    ]
    schemas = document["components"]["schemas"]
    sent = {one for _, _, operation in described(document) for one in named_in(operation.get("requestBody"))}
    while more := {one for name in sent for one in named_in(schemas[name])} - sent:
        sent |= more
    assert len(sent) > 40
    silent += [
        f"{name}.{field}"
        for name in sent
        for field, schema in schemas[name].get("properties", {}).items()
        if not schema.get("description")
    ]
    assert silent == []


def named_in(schema: Any) -> set[str]:
    """The components that a schema refers to."""
    return set(re.findall(r'"#/components/schemas/(\w+)"', json.dumps(schema)))


def test_a_list_is_called_results(document: dict[str, Any]) -> None:
    """Alone or with a word or two beside it. Files to take along are lists as they are, as libraries read them."""
    schemas, other = document["components"]["schemas"], []
    for path, method, operation in described(document):
        content = operation["responses"].get("200", {}).get("content", {})
        told = content.get("application/json", {}).get("schema", {})
        told = schemas.get(told.get("$ref", "").rpartition("/")[2], told)
        parts = told.get("properties", {})
        lists = [name for name, part in parts.items() if part.get("type") == "array"]
        plain = [name for name, part in parts.items() if "$ref" not in json.dumps(part)]
        is_list = (
            len(lists) == 1 and "id" not in parts and {*plain, *lists} == set(parts) and lists[0] not in plain
        )
        if method == "get" and ((is_list and lists != ["results"]) or told.get("type") == "array"):
            other.append(f"{path}: {', '.join(lists)}")
    files = [f"/api/v1/export/{name}.json: " for name in ("figures", "rounds", "shots")]
    assert sorted(other) == files


def test_a_player_is_told_by_id_and_name_everywhere(document: dict[str, Any]) -> None:
    """In answers and messages; lines of tables and a round in the words of a post have the name."""
    flat = {"FigureLine", "RoundAsPosted", "ShotLine"}
    schemas = document["components"]["schemas"]
    sent = {one for _, _, operation in described(document) for one in named_in(operation.get("requestBody"))}
    other = [
        name
        for name, schema in schemas.items()
        if name not in sent | flat
        and "Named" not in json.dumps(schema.get("properties", {}).get("player", "Named"))
    ]
    assert other == []


def test_every_operation_is_named_and_summed_up(document: dict[str, Any]) -> None:
    operations = described(document)
    assert [path for path, _, operation in operations if not operation.get("summary")] == []
    names = [operation["operationId"] for _, _, operation in operations]
    assert len(names) == len(set(names)) > 50


def test_every_operation_is_in_one_room(document: dict[str, Any]) -> None:
    rooms = {room["name"]: room["description"] for room in document["tags"]}
    assert all(rooms.values())
    used = [operation["tags"] for _, _, operation in described(document)]
    assert all(len(tags) == 1 for tags in used)
    assert {tag for (tag,) in used} == rooms.keys()


def test_every_operation_tells_of_problems(document: dict[str, Any]) -> None:
    reference = {"$ref": "#/components/responses/Problem"}
    assert all(operation["responses"]["default"] == reference for _, _, operation in described(document))
    assert "application/problem+json" in document["components"]["responses"]["Problem"]["content"]


def test_operations_of_a_club_take_its_header(document: dict[str, Any]) -> None:
    club = {"$ref": "#/components/parameters/Club"}
    without = {
        operation["operationId"]
        for _, _, operation in described(document)
        if club not in operation.get("parameters", [])
    }
    account = {
        "accept_invitation",
        "change_email",
        "change_password",
        "erase_myself",
        "leave_club",
        "list_clubs",
        "list_sign_ins",
        "prefer_club",
    }
    tokens = {"end_all_tokens", "end_one_token", "end_token", "list_tokens", "make_token"}
    assert without == account | tokens | {"sign_up"}


def test_handicap_figures_are_called_unofficial(document: dict[str, Any]) -> None:
    handicaps = [operation for path, _, operation in described(document) if "handicap" in path]
    assert len(handicaps) >= 3
    assert all(UNOFFICIAL in operation["description"] for operation in handicaps)


def test_notation_is_described_where_rounds_are_posted(document: dict[str, Any]) -> None:
    """Every lie, penalty and detail that the parser takes has its line in the grammar."""
    grammar = document["paths"]["/api/v1/rounds"]["post"]["description"].split("```")[1]
    words = [*FIELD_OF_WORD, *HEADERS, *LIE_LETTERS, *NUMBER_DETAILS, *PENALTY_LETTERS]
    assert [word for word in words if word not in grammar] == []


def test_every_answer_has_an_example_that_its_schema_allows(document: dict[str, Any]) -> None:
    """Recorded, not written: ``tests/api/examples.py`` says how."""
    missing, wrong = [], []
    for path, method, operation in described(document):
        body = operation.get("requestBody", {})
        bodies = [body.get("content", {})] if body.get("required") else []
        answers = [one.get("content", {}) for status, one in operation["responses"].items() if status < "300"]
        for contents in (bodies, answers):
            told = [one["application/json"] for one in contents if "application/json" in one]
            shown = [one for one in told if "example" in one]
            if told and not shown:
                missing.append(f"{method} {path}")
            for one in shown:
                schema = one["schema"] | {"components": document["components"]}
                faults = Draft202012Validator(schema).iter_errors(one["example"])
                wrong += [f"{operation['operationId']}: {fault.message}" for fault in faults]
    # In the tables somebody accepts who is a member already, and a course is merged that is the club's own: refused.
    refused = ["post /api/v1/courses/{course_id}/merged", "post /api/v1/invitations/accept"]
    assert (sorted(missing), wrong) == (refused, [])
    messages = {message_name(happening) for happening in document["webhooks"]}
    assert set(examples()) <= messages | {operation["operationId"] for _, _, operation in described(document)}


def test_every_field_of_an_answer_says_what_it_means(document: dict[str, Any]) -> None:
    schemas = document["components"]["schemas"]
    lacking = [
        f"{name}.{field}"
        for name, schema in schemas.items()
        for field, told in schema.get("properties", {}).items()
        if not told.get("description")
    ]
    assert lacking == []
