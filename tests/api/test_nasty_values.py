"""Values at the edge of what their type allows, in every parameter and every field of every body: never a 5xx."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from dataclasses import replace
from typing import Any
from urllib.parse import quote

import pytest

from golfstats.ground.clubs.models import Member, Role
from tests.api.calls import CALLS
from tests.api.conftest import Worlds
from tests.api.forms import address, forms_of, submitted
from tests.api.requests import Sent, check_keys_now, send, undone, valid
from tests.api.routes import operations, pages

pytestmark = pytest.mark.slow  # some thousand requests

OPERATIONS = operations()
JSON_BODIES = sorted(
    name for name, call in CALLS.items() if call.body is not None and call.content_type == "application/json"
)
PAGES = {
    name: route for name, route in pages().items() if "slug" in route.parameters and "GET" in route.methods
}
READS = sorted(name for name in OPERATIONS if name.startswith("GET"))
IN_QUERY = ["", "\0", "-1", "9" * 30, "0001-01-01", "9999-12-31", "1e400", "\ufffd"]
IN_BODY = [
    None,
    "",
    "\0",
    -1,
    10**30,
    1e308,
    "0001-01-01",
    "9999-12-31",
    "9999-12-31T23:59:59-14:00",
    [],
    {},
    "x" * 70_000,
]


def places(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Every place in a body; of a list only the first element."""
    if isinstance(value, dict):
        for name, inner in value.items():
            yield (*path, name)
            yield from places(inner, (*path, name))
    elif isinstance(value, list) and value:
        yield (*path, 0)
        yield from places(value[0], (*path, 0))


def put(body: Any, path: tuple[Any, ...], value: Any) -> Any:
    changed = copy.deepcopy(body)
    inner = changed
    for step in path[:-1]:
        inner = inner[step]
    inner[path[-1]] = value
    return changed


def breaks(worlds: Worlds, name: str, sent: Sent) -> list[str]:
    return broken_by(worlds.own.members[CALLS[name].role], sent)


def broken_by(member: Member, sent: Sent) -> list[str]:
    with undone():
        try:
            answer = send(member, sent)
            if answer.status_code < 400:
                check_keys_now()
        except Exception as error:  # noqa: BLE001 - any of them is a 500
            return [f"{sent.words[:300]}: {error!r}"[:500]]
    return [f"{sent.words[:300]}: {answer.status_code}"] if answer.status_code >= 500 else []


@pytest.mark.parametrize("name", READS)
def test_in_the_query(worlds: Worlds, document: dict[str, Any], name: str) -> None:
    route, method = OPERATIONS[name]
    sent = valid(worlds.own, route, method, CALLS[name])
    parameters = document["paths"].get(route.openapi_path(), {}).get("get", {}).get("parameters", [])
    start, _, rest = sent.address.partition("?")
    given = dict(part.split("=") for part in rest.split("&") if part)
    found = []
    for parameter in parameters:
        if parameter.get("in") != "query":
            continue
        for value in IN_QUERY:
            query = "&".join(
                f"{key}={one}" for key, one in (given | {parameter["name"]: quote(value)}).items()
            )
            found += breaks(worlds, name, replace(sent, address=f"{start}?{query}"))
    assert found == []


@pytest.mark.parametrize("name", JSON_BODIES)
def test_in_the_body(worlds: Worlds, name: str) -> None:
    sent = valid(worlds.own, *OPERATIONS[name], CALLS[name])
    body = json.loads(sent.body)
    found = []
    for path in places(body):
        for value in IN_BODY:
            found += breaks(worlds, name, replace(sent, body=json.dumps(put(body, path, value))))
    assert found == []


@pytest.mark.parametrize("name", sorted(PAGES))
def test_in_the_forms_of_a_page(worlds: Worlds, name: str) -> None:
    """What a browser would not send: any value in any field."""
    manager, here = worlds.own.members[Role.MANAGER], address(PAGES[name], worlds.own)
    found = []
    for form in forms_of(send(manager, Sent("GET", here)).text):
        target = form.action or here
        for field in form.fields:
            for value in [*IN_QUERY, "x" * 5000]:
                sent = submitted(form, target, form.first_values() | {field: value})
                found += broken_by(manager, sent)
    assert found == []
