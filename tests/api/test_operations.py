"""Every operation does what the table of valid requests says, and answers as the API document says."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from rest_framework.test import APIClient

from golfstats.doors.rest.http.idempotency import SHOWN_ONCE
from golfstats.doors.rest.views import ClubView
from tests.api import examples
from tests.api.calls import CALLS, expected_status
from tests.api.conftest import Worlds
from tests.api.contract import Contract
from tests.api.graphql_calls import call_of, root_fields
from tests.api.requests import check_keys_now, send, undone, valid
from tests.api.routes import operations

OPERATIONS = operations()
GRAPHQL = OPERATIONS.pop("POST graphql")
# The document is public and does not describe itself; a calendar's address is its own key.
OPEN = {
    "POST sign-up",
    "GET openapi",
    "GET api-index",
    "GET api-catalog",
    "GET api-reference",
    "GET calendar",
}


@pytest.mark.parametrize("name", sorted(OPERATIONS))
def test_valid_request(worlds: Worlds, document: dict[str, Any], name: str) -> None:
    route, method = OPERATIONS[name]
    call = CALLS[name]
    with undone():
        answer = send(worlds.own.members[call.role], valid(worlds.own, route, method, call))
        check_keys_now()
    assert answer.status_code == expected_status(name), answer.text
    if name not in OPEN:
        assert Contract(document).faults(route, method, answer) == []
    if examples.RECORDS and route.openapi_path() in document["paths"]:
        operation = Contract(document).operation(route, method)["operationId"]
        body = None if call.body is None else call.body(worlds.own)
        is_json = answer.headers.get("Content-Type", "").startswith("application/json")
        told = answer.json if is_json and answer.text and answer.status_code < 400 else None
        examples.record(operation, body if isinstance(body, dict) else None, answer.status_code, told)


@pytest.mark.parametrize("field", sorted(root_fields()))
def test_valid_document(worlds: Worlds, field: str) -> None:
    call = call_of(field)
    with undone():
        answer = send(worlds.own.members[call.role], valid(worlds.own, *GRAPHQL, call))
        check_keys_now()
    assert answer.status_code == 200
    assert not answer.json.get("errors")
    assert answer.json["data"][field]


@pytest.mark.parametrize("name", sorted(set(OPERATIONS) - OPEN))
def test_nothing_without_a_sign_in(worlds: Worlds, name: str) -> None:
    route, method = OPERATIONS[name]
    values = {one: "0" if one == "key" else str(worlds.own.club.id) for one in route.parameters}
    response = APIClient().generic(method, route.address(values), content_type="application/json")
    assert response.status_code == 401
    assert response.headers["WWW-Authenticate"].split()[0] in ("Bearer", "Basic")
    assert response.json()["type"] == "/problems/not-authenticated"


@pytest.mark.parametrize(
    "name", sorted(name for name in OPERATIONS if name.startswith("GET") and name not in OPEN)
)
def test_unknown_parameters_are_refused(worlds: Worlds, document: dict[str, Any], name: str) -> None:
    """On every list, and wherever there is a parameter at all: a misspelt filter must not show everything."""
    route, method = OPERATIONS[name]
    call = CALLS[name]
    sent = valid(worlds.own, route, method, call)
    joint = "&" if "?" in sent.address else "?"
    sent = replace(sent, address=f"{sent.address}{joint}colour=blue")
    answer = send(worlds.own.members[call.role], sent)
    parameters = document["paths"][route.openapi_path()]["get"].get("parameters", [])
    if not any(one.get("in") == "query" for one in parameters) and not _is_list(answer):
        return
    assert answer.status_code == 422, answer.text[:200]
    assert "/colour" in [fault["pointer"] for fault in answer.json["errors"]]


def _is_list(answer: Any) -> bool:
    return answer.status_code == 200 and "results" in answer.json


@pytest.mark.parametrize("name", sorted(name for name in OPERATIONS if name.startswith("GET")))
def test_every_answer_can_be_browsed(worlds: Worlds, name: str) -> None:
    route, method = OPERATIONS[name]
    call = CALLS[name]
    sent = valid(worlds.own, route, method, call)
    answer = send(worlds.own.members[call.role], replace(sent, headers={"Accept": "text/html"}))
    assert answer.status_code in (200, 406), answer.text[:300]


def test_each_write_honours_its_key(worlds: Worlds) -> None:
    """Any write of a club, sent twice under one key: done once, answered twice with the same words."""
    wrong = []
    for name, (route, method) in OPERATIONS.items():
        if method == "GET" or not issubclass(route.view, ClubView) or name not in CALLS:
            continue
        call = CALLS[name]
        sent = valid(worlds.own, route, method, call)
        sent = replace(sent, headers={"Idempotency-Key": "once"})
        with undone():
            first, second = (send(worlds.own.members[call.role], sent) for _ in range(2))
        if route.name in SHOWN_ONCE and method == "POST":  # a secret is not kept to be told again
            assert (first.status_code, second.status_code) == (201, 409), name
        elif first.status_code < 400 and (first.status_code, first.text) != (second.status_code, second.text):
            wrong.append(name)
    assert wrong == []
