"""Whatever the API document forbids is refused, at every place of every body and in every parameter, rule by rule.

Beside what schemathesis makes up by chance (``test_described.py``): here each place is tried with each way in which
its own schema can be violated: another type, a number out of range, an unknown word, a text that is too long or of
another form, a field that is missing and one that nobody declared.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any
from urllib.parse import parse_qsl, urlencode

import pytest
from jsonschema import Draft202012Validator, FormatChecker

from golfstats.doors.rest.reference import openapi
from tests.api.calls import CALLS
from tests.api.conftest import Worlds
from tests.api.requests import Answer, Sent, send, undone, valid
from tests.api.routes import operations

pytestmark = pytest.mark.slow  # some thousand requests

UNKNOWN = "no_such_field"
WRONG = [
    "no such word",
    "2026-02-30",
    "x" * 100_000,
    "",
    -(10**9),
    10**9,
    1e300,
    0.123456789,
    True,
    None,
    [],
    ["x"] * 2_000,
    [{UNKNOWN: 1}],
    {UNKNOWN: 1},
]
"""Each is wrong somewhere; where it violates what a place says of itself is asked of the schema."""
WRONG_TEXTS = [
    "no such word",
    "2026-02-30",
    "x" * 3000,
    "",
    "-1000000000",
    "1000000000",
    "0.123456789",
    "1e300",
]
REFUSED = {400, 413, 422}
OF_THE_LIBRARY = re.compile(
    r"\b(Input|String|List|Field|Value|Extra|Decimal|Datetime|UUID) (should|error|require|input)"
)
"""How pydantic says it: to programmers, and in English alone."""
TAKEN_LENIENTLY = {"type"}
"""A query string is text: what a number or a day is, is tried by what its text says."""

ROUTES = operations()


def described(name: str) -> dict[str, Any]:
    route, method = ROUTES[name]
    return dict(openapi.document()["paths"].get(route.openapi_path(), {}).get(method.lower(), {}))


def body_schema(name: str) -> dict[str, Any] | None:
    content = described(name).get("requestBody", {}).get("content", {})
    return content.get("application/json", {}).get("schema")


BODIES = sorted(
    name
    for name, call in CALLS.items()
    if call.body is not None and call.content_type == "application/json" and body_schema(name) is not None
)
QUERIES = sorted(name for name in ROUTES if name in CALLS and described(name).get("parameters"))


def validator(schema: dict[str, Any]) -> Draft202012Validator:
    whole = {**schema, "components": openapi.document()["components"]}
    return Draft202012Validator(whole, format_checker=FormatChecker())


def resolved(schema: dict[str, Any]) -> dict[str, Any]:
    """The schema itself, and of several the one with most to say."""
    while "$ref" in schema:
        schema = openapi.document()["components"]["schemas"][schema["$ref"].rpartition("/")[2]]
    choices = [resolved(one) for one in schema.get("anyOf", schema.get("oneOf", []))]
    return max(choices, key=lambda one: len(json.dumps(one)), default=schema)


def violations(schema: dict[str, Any], value: Any) -> Iterator[tuple[str, Any]]:
    """What the schema forbids in the place of this value: one for each rule of each place in it, with both."""
    check, broken = validator(schema), set[str]()
    for wrong in WRONG:
        rules = {
            str(one.validator) for top in check.iter_errors(wrong) for one in [top, *(top.context or [])]
        }
        if rules - broken:
            broken |= rules
            yield f": {', '.join(sorted(rules))}", wrong
    inner = resolved(schema)
    if isinstance(value, dict):
        for wrong in [value | {UNKNOWN: 1}, *(without(value, name) for name in inner.get("required", []))]:
            if not check.is_valid(wrong):
                yield f": {sorted(value.keys() ^ wrong.keys())}", wrong
        for name, own in inner.get("properties", {}).items():
            for place, changed in violations(own, value.get(name)):
                yield f"/{name}{place}", value | {name: changed}
    elif isinstance(value, list) and value:
        for place, changed in violations(inner["items"], value[0]):
            yield f"/0{place}", [changed, *value[1:]]


def without(value: dict[str, Any], name: str) -> dict[str, Any]:
    return {key: inner for key, inner in value.items() if key != name}


def is_refused(answer: Answer) -> bool:
    return answer.status_code in REFUSED and answer.headers["Content-Type"] == "application/problem+json"


def refusal_of(worlds: Worlds, name: str, sent: Sent) -> list[str]:
    """Nothing, or what was answered instead of a refusal."""
    with undone():
        answer = send(worlds.own.members[CALLS[name].role], sent)
    if not is_refused(answer):
        return [f"{answer.status_code} to {sent.words[:300]}"]
    return [said for said in details(answer) if OF_THE_LIBRARY.search(said)]


def details(answer: Answer) -> list[str]:
    """What is said of each fault."""
    return [fault["detail"] for fault in answer.json.get("errors", [])]


@pytest.mark.parametrize("name", BODIES)
def test_what_the_schema_forbids_is_refused(worlds: Worlds, name: str) -> None:
    sent = valid(worlds.own, *ROUTES[name], CALLS[name])
    schema = body_schema(name)
    assert schema is not None
    wrong = list(violations(schema, json.loads(sent.body)))
    assert wrong, "it forbids nothing"
    taken = {
        rule: answer
        for rule, body in wrong
        for answer in refusal_of(worlds, name, replace(sent, body=json.dumps(body)))
    }
    assert taken == {}


def parameters_of(name: str) -> list[dict[str, Any]]:
    resolved_ones = [
        openapi.document()["components"]["parameters"][one["$ref"].rpartition("/")[2]]
        if "$ref" in one
        else one
        for one in described(name)["parameters"]
    ]
    return [one for one in resolved_ones if one["in"] == "query"]


def as_said(schema: dict[str, Any], text: str) -> Any:
    """What a text of the query string says, if it is to be a number."""
    kind = resolved(schema).get("type")
    try:
        return {"integer": int, "number": float}.get(kind, str)(text)
    except ValueError:
        return text


def wrong_texts(schema: dict[str, Any]) -> Iterator[str]:
    """One for each rule of the parameter."""
    check, seen = validator(schema), set()
    for text in WRONG_TEXTS:
        rules = {str(error.validator) for error in check.iter_errors(as_said(schema, text))}
        if rules - seen:
            seen |= rules
            yield text


@pytest.mark.parametrize("name", QUERIES)
def test_so_is_what_it_forbids_in_the_query(worlds: Worlds, name: str) -> None:
    sent = valid(worlds.own, *ROUTES[name], CALLS[name])
    address, _, query = sent.address.partition("?")
    given = dict(parse_qsl(query))
    wrong = [given | {UNKNOWN: "1"}]
    for parameter in parameters_of(name):
        if resolved(parameter["schema"]).get("type") == "array":
            continue
        wrong += [given | {parameter["name"]: text} for text in wrong_texts(parameter["schema"])]
        if parameter.get("required"):
            wrong.append(without(given, parameter["name"]))
    taken = [
        answer
        for one in wrong
        for answer in refusal_of(worlds, name, replace(sent, address=f"{address}?{urlencode(one)}"))
    ]
    assert taken == []
