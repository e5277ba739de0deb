"""The API document: valid, complete, and the one in the repository is the one that is served."""

from __future__ import annotations

import contextlib
import io
import json
import os
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from drf_spectacular.drainage import GENERATOR_STATS
from drf_spectacular.validation import validate_schema
from jsonschema import ValidationError

from golfstats.api.openapi import UNOFFICIAL
from players.notation import FIELD_OF_WORD, HEADERS, LIE_LETTERS, NUMBER_DETAILS, PENALTY_LETTERS

FILE = Path(__file__).parents[2] / "golfstats" / "openapi.json"


def described(document: dict[str, Any]) -> list[tuple[str, str, dict[str, Any]]]:
    return [
        (path, method, operation)
        for path, operations in document["paths"].items()
        for method, operation in operations.items()
    ]


def test_document_in_the_repository_is_current(document: dict[str, Any]) -> None:
    """``UPDATE_OPENAPI=1`` writes it again; what changed for clients is then seen in review."""
    text = json.dumps(document, indent=1, ensure_ascii=False, default=str) + "\n"
    if os.environ.get("UPDATE_OPENAPI") == "1":
        FILE.write_text(text, encoding="utf-8")
    assert FILE.read_text(encoding="utf-8") == text, "run this test with UPDATE_OPENAPI=1"


def test_document_is_valid_and_made_without_a_warning() -> None:
    GENERATOR_STATS.reset()
    with contextlib.redirect_stderr(io.StringIO()) as complaints:
        call_command("spectacular", "--validate", "--fail-on-warn", stdout=io.StringIO())
    assert complaints.getvalue() == ""


def test_canary_a_broken_document_is_not_valid(document: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        validate_schema(document | {"paths": {"/": {"get": {"responses": 7}}}})


def test_every_operation_is_named_and_summed_up(document: dict[str, Any]) -> None:
    operations = described(document)
    assert [path for path, _, operation in operations if not operation.get("summary")] == []
    names = [operation["operationId"] for _, _, operation in operations]
    assert len(names) == len(set(names)) > 50


def test_every_operation_has_an_example(document: dict[str, Any]) -> None:
    """Of an answer, and of the body if it takes one. An answer without a body needs none."""
    missing = []
    for path, method, operation in described(document):
        wanted = list((operation.get("requestBody") or {}).get("content", {}).items())
        for status, response in operation["responses"].items():
            if status != "default":
                wanted += response.get("content", {}).items()
        media_types = [media_type for media_type, content in wanted if not content.get("examples")]
        if wanted and len(media_types) == len(wanted):
            missing.append(f"{method} {path}")
    assert missing == []


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
    assert without == {"make_token", "end_token", "list_clubs"}


def test_handicap_figures_are_called_unofficial(document: dict[str, Any]) -> None:
    handicaps = [operation for path, _, operation in described(document) if "handicap" in path]
    assert len(handicaps) >= 3
    assert all(UNOFFICIAL in operation["description"] for operation in handicaps)


def test_notation_is_described_where_rounds_are_posted(document: dict[str, Any]) -> None:
    """Every lie, penalty and detail that the parser takes has its line in the grammar."""
    grammar = document["paths"]["/api/v1/rounds"]["post"]["description"].split("```")[1]
    words = [*FIELD_OF_WORD, *HEADERS, *LIE_LETTERS, *NUMBER_DETAILS, *PENALTY_LETTERS]
    assert [word for word in words if word not in grammar] == []
