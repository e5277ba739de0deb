"""A part of the service that is down: every door says so, and when to ask again."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.test import Client
from rest_framework.test import APIClient

from golfstats.ground.clubs.models import User
from tests.api.test_api_behaviour import is_problem
from tests.databases import committed, connected_otherwise


@pytest.fixture
def database_down() -> Iterator[None]:
    with connected_otherwise(HOST="127.0.0.1", PORT=1, EMBEDDED_IN=None):
        yield


@committed
@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("GET", "/api/v1/clubs"),
        ("GET", "/api/v1/rounds"),
        ("POST", "/api/v1/rounds"),
        ("POST", "/api/v1/tokens"),
        ("POST", "/graphql"),
    ],
)
def test_programs_are_answered_503_while_the_database_is_down(
    database_down: None, method: str, path: str
) -> None:
    client = APIClient(raise_request_exception=False, headers={"Authorization": "Bearer 0123456789abcdef"})
    if path.endswith("tokens"):
        client.credentials(HTTP_AUTHORIZATION="Basic aW5lczpndWVzcw==")
    answer = client.generic(method, path, b"{}", content_type="application/json")
    is_problem(answer, 503, "unavailable")
    assert answer.headers["Retry-After"] == "5"


@committed
def test_people_are_shown_a_page_while_the_database_is_down(database_down: None) -> None:
    client = Client(raise_request_exception=False)
    client.cookies["sessionid"] = "0123456789abcdef0123456789abcdef"
    answer = client.get("/")
    assert (answer.status_code, answer.headers["Retry-After"]) == (503, "5")
    assert "try again" in answer.content.decode()


@committed
def test_afterwards_everything_goes_on() -> None:
    user = User.objects.create_user("ines", password="a long password")
    client = APIClient(raise_request_exception=False)
    client.force_authenticate(user)
    with connected_otherwise(HOST="127.0.0.1", PORT=1, EMBEDDED_IN=None):
        assert client.get("/api/v1/clubs").status_code == 503
    assert client.get("/api/v1/clubs").status_code == 200
