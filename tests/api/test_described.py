"""What schemathesis makes of the API document and of the GraphQL schema, asked of the service as a server runs it.

Every operation is asked with what the document allows and with what it forbids, by a manager, a coach and a
player with an access token. Nothing may break, nothing forbidden is taken, and every answer is described.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from django.core.signals import request_finished, request_started
from django.db import close_old_connections, transaction
from hypothesis import HealthCheck, given
from hypothesis import settings as effort
from hypothesis.stateful import run_state_machine_as_test
from schemathesis import Case, GenerationMode
from schemathesis.core.failures import FailureGroup

from golfstats.doors.operations import OPERATIONS
from golfstats.doors.rest.reference import openapi
from golfstats.ground.clubs import accounts
from golfstats.ground.clubs.models import Role, Scope
from tests.api.conftest import Worlds
from tests.api.described import CHECKS, about_rows_of, asked_of_the_service, checks_of, of_graphql, of_rest
from tests.api.graphql_calls import root_fields
from tests.api.requests import undone, value_of
from tests.api.routes import operations

pytestmark = pytest.mark.slow  # some thousand requests

ROLES = (Role.MANAGER, Role.COACH, Role.PLAYER)
EXAMPLES = 3
"""Of each operation for each role, as many of what is allowed as of what is forbidden."""
BY_ID = {one.id: one for one in OPERATIONS if one.path}
ROUTES = {(route.openapi_path(), method): route for route, method in operations().values()}
MANY = {"suppress_health_check": list(HealthCheck), "database": None}


@pytest.fixture(scope="module")
def rest(worlds: Worlds) -> Any:
    return of_rest(worlds.own)


@pytest.fixture(scope="module")
def graphql() -> Any:
    return of_graphql()


@pytest.fixture(scope="module")
def signed_in(worlds: Worlds) -> dict[Role, dict[str, str]]:
    """The headers with which each asks."""
    found = {}
    for role in ROLES:
        _, text = accounts.make_token(worlds.own.members[role].user, role, Scope.EVERYTHING, 1)
        found[role] = {
            "Authorization": f"Bearer {text}",
            "Club": worlds.own.club.slug,
            "If-Match": "*",
            "Accept-Encoding": "identity",  # schemathesis asks for packed answers of a WSGI service and cannot unpack
        }
    return found


@pytest.fixture(autouse=True)
def as_much_as_one_likes(settings: Any) -> None:
    settings.THROTTLE = "1000000/min"
    settings.GRAPHQL = settings.GRAPHQL | {"CLUB_SECONDS": 10**6, "INTROSPECTION": True}


@pytest.fixture(autouse=True, scope="module")
def one_connection() -> Iterator[None]:
    """A server closes a connection that a request leaves within a transaction. Here all of them are within one."""
    for signal in (request_started, request_finished):
        signal.disconnect(close_old_connections)
    yield
    for signal in (request_started, request_finished):
        signal.connect(close_old_connections)


@pytest.mark.parametrize("mode", [GenerationMode.POSITIVE, GenerationMode.NEGATIVE])
@pytest.mark.parametrize("name", sorted(BY_ID))
def test_any_request(
    worlds: Worlds, rest: Any, signed_in: dict[Role, dict[str, str]], name: str, mode: GenerationMode
) -> None:
    path, method = place_of(name)
    route = ROUTES[path, method]
    places = {one: value_of(route, worlds.own, one) for one in route.parameters}
    requests = rest[path][method].as_strategy(generation_mode=mode, path_parameters=places)
    for headers in signed_in.values():

        def ask(case: Case, headers: dict[str, str] = headers) -> None:
            with undone():
                response = case.call(headers=headers)
            case.validate_response(response, checks=checks_of(name))
            assert response.status_code >= 400 or response.status_code in successes(name)

        try_some(requests, ask)


def try_some(requests: Any, ask: Callable[[Case], None]) -> None:
    @effort(max_examples=EXAMPLES, **MANY)
    @given(requests)
    def one(case: Case) -> None:
        ask(case)

    one()


def place_of(name: str) -> tuple[str, str]:
    found = [
        (path, method.upper())
        for path, methods in openapi.document()["paths"].items()
        for method, operation in methods.items()
        if operation["operationId"] == name
    ]
    return found[0]


def successes(name: str) -> set[int]:
    """Those that the document names: what is left, "default", is a problem."""
    path, method = place_of(name)
    told = openapi.document()["paths"][path][method.lower()]["responses"]
    return {int(status) for status in told if status != "default"}


def test_one_request_after_the_other(
    worlds: Worlds, rest: Any, signed_in: dict[Role, dict[str, str]]
) -> None:
    """A manager makes things, and reads, changes and deletes what the answers name."""
    some = rest.include(path_regex="/(squads|courses|webhooks|players|invitations|rounds)")

    class Afternoon(some.as_state_machine()):
        def setup(self) -> None:
            self.within = transaction.atomic()
            self.within.__enter__()

        def teardown(self) -> None:
            transaction.set_rollback(True)
            self.within.__exit__(None, None, None)

        def get_call_kwargs(self, case: Case) -> dict[str, Any]:
            return {"headers": signed_in[Role.MANAGER]}

        def validate_response(self, response: Any, case: Case, **rest: Any) -> None:
            case.validate_response(response, checks=CHECKS)

    run_state_machine_as_test(Afternoon, settings=effort(max_examples=15, stateful_step_count=10, **MANY))


@pytest.mark.parametrize("field", sorted(root_fields()))
def test_any_document(
    worlds: Worlds, graphql: Any, signed_in: dict[Role, dict[str, str]], field: str
) -> None:
    kind = "Query" if field in graphql["Query"] else "Mutation"
    for headers in signed_in.values():

        def ask(case: Case, headers: dict[str, str] = headers) -> None:
            case.body = about_rows_of(worlds.own, field, case.body)
            with undone():
                response = case.call(headers=headers)
            assert response.status_code == 200, response.text
            # A refusal says of which type it is. Whatever fails in another way while it is answered does not
            # fit the schema; what is wrong with the document has no path.
            errors = response.json().get("errors", [])
            assert [one for one in errors if "path" in one and not is_refusal(one)] == []

        try_some(graphql[kind][field].as_strategy(), ask)


def is_refusal(error: dict[str, Any]) -> bool:
    return int(error.get("extensions", {}).get("status", 500)) < 500


def test_canary_an_answer_that_is_not_described_is_found(signed_in: dict[Role, dict[str, str]]) -> None:
    told = copy.deepcopy(openapi.document())
    told["components"]["schemas"]["Club"]["properties"]["name"] = {"type": "integer"}
    case = asked_of_the_service(told)["/api/v1/club"]["GET"].Case()
    response = case.call(headers=signed_in[Role.MANAGER])
    with pytest.raises(FailureGroup):
        case.validate_response(response, checks=CHECKS)
