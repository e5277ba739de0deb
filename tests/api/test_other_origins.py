"""Pages of other origins: those that are named may ask by a token, and read what programs need (the Fetch standard)."""

from __future__ import annotations

from typing import Any

import pytest
from rest_framework.test import APIClient

from tests.api.routes import operations
from tests.players.conftest import Place, client_of

BOARD = "https://board.example"
OPERATIONS = {
    name: (route, method)
    for name, (route, method) in operations().items()
    if route.path.startswith(("api/", "graphql"))
}


@pytest.fixture(autouse=True)
def board(settings: Any) -> None:
    settings.CORS_ALLOWED_ORIGINS = [BOARD]


def preflight(name: str, origin: str) -> Any:
    route, method = OPERATIONS[name]
    address = route.address(dict.fromkeys(route.parameters, "0192f0c1-7a3e-7b44-9d51-3c2f8e6a9b10"))
    wanted = "authorization, club, content-type, idempotency-key, if-match, if-none-match, prefer"
    headers = {
        "Origin": origin,
        "Access-Control-Request-Method": method,
        "Access-Control-Request-Headers": wanted,
    }
    return APIClient().options(address, headers=headers)


@pytest.mark.parametrize("name", sorted(OPERATIONS))
def test_a_browser_may_ask_before_it_asks(name: str) -> None:
    """Without a sign-in: a browser sends none along."""
    headers = preflight(name, BOARD).headers
    assert headers["Access-Control-Allow-Origin"] == BOARD
    assert OPERATIONS[name][1] in headers["Access-Control-Allow-Methods"]
    allowed = headers["Access-Control-Allow-Headers"].lower().split(", ")
    assert {"authorization", "club", "idempotency-key", "if-match", "if-none-match", "prefer"} <= set(allowed)
    assert "Access-Control-Allow-Credentials" not in headers


def test_another_origin_is_told_nothing() -> None:
    assert "Access-Control-Allow-Origin" not in preflight("GET rounds", "https://other.example").headers


def test_what_programs_need_can_be_read(place: Place) -> None:
    answer = client_of(place.coach).get("/api/v1/players", headers={"Origin": BOARD})
    assert answer.headers["Access-Control-Allow-Origin"] == BOARD
    shown = set(answer.headers["Access-Control-Expose-Headers"].split(", "))
    assert {"ETag", "Location", "Link", "Retry-After", "RateLimit", "X-Request-Id"} <= shown


def test_refusals_can_be_read_too(db: None) -> None:
    answer = APIClient().get("/api/v1/players", headers={"Origin": BOARD})
    assert (answer.status_code, answer.headers["Access-Control-Allow-Origin"]) == (401, BOARD)


def test_pages_of_ours_are_not_for_others(db: None) -> None:
    assert "Access-Control-Allow-Origin" not in APIClient().get("/sign-in", headers={"Origin": BOARD}).headers
