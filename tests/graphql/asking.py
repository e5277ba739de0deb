"""Asking GraphQL as a member of a club."""

from __future__ import annotations

from typing import Any

from rest_framework.response import Response

from golfstats.ground.clubs.models import Member
from tests.players.conftest import client_of

ADDRESS = "/graphql"


def ask(member: Member, query: str, **variables: Any) -> dict[str, Any]:
    """The answer, with whatever errors there are."""
    response = post(member, {"query": query, "variables": variables})
    assert response.status_code == 200, response.content
    answer: dict[str, Any] = response.json()
    return answer


def data(member: Member, query: str, **variables: Any) -> dict[str, Any]:
    """The data of an answer without errors."""
    answer = ask(member, query, **variables)
    assert "errors" not in answer, answer["errors"]
    found: dict[str, Any] = answer["data"]
    return found


def refusal(member: Member, query: str, **variables: Any) -> dict[str, Any]:
    """The first error of an answer."""
    answer = ask(member, query, **variables)
    error: dict[str, Any] = answer["errors"][0]
    return error


def post(member: Member, body: Any) -> Response:
    response: Response = client_of(member).post(ADDRESS, body, format="json")
    return response
