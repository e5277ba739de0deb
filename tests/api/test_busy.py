"""Whoever asks for what takes long, many times at once, does not take every thread of the service."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import ExitStack
from typing import Any
from uuid import uuid4

import pytest
from django.db import connections
from django.test import Client

from golfstats.ground.clubs.models import Role
from golfstats.ground.seats import AT_ONCE, OF_A_CLUB, seat
from golfstats.ground.walls.scope import club_scope
from tests import factories
from tests.api.calls import FORM, _form
from tests.api.test_abuse import by_password
from tests.api.test_api_behaviour import is_problem
from tests.databases import committed
from tests.players.conftest import Place, client_of


@pytest.fixture
def all_taken() -> Iterator[ExitStack]:
    """As many as may are at it already."""
    with ExitStack() as taken:
        for _ in range(AT_ONCE):
            taken.enter_context(seat())
        yield taken


def long_ones(place: Place) -> Iterator[Any]:
    """An answer to each request that keeps a thread for long."""
    client = client_of(place.player_member)
    yield by_password("ines", "guess")
    change = {"present": "guess", "email": None}
    yield client.post("/api/v1/account/email", change, format="json")
    round_ = factories.round_body() | {"id": str(uuid4())}
    yield client.post("/api/v1/rounds/many", json.dumps(round_), content_type="application/x-ndjson")
    hook = {"url": "https://127.0.0.1/", "happenings": ["round_analysed"]}
    yield client.post("/api/v1/me/webhooks", hook, format="json")
    file = _form({"kind": "scores", "dry_run": "true"}, "course,tee,played_on\r\n")
    yield client.post("/api/v1/imports", file, content_type=FORM)
    yield client.post("/api/v1/imports/guess", _form({}, "course,tee,played_on\r\n"), content_type=FORM)


@pytest.mark.django_db
def test_long_requests_beyond_a_few_are_sent_away_and_others_answered(
    place: Place, all_taken: ExitStack
) -> None:
    for answer in long_ones(place):
        assert is_problem(answer, 503, "busy")["title"].endswith("ask again in a second")
        assert answer.headers["Retry-After"] == "1"
    page = Client().post("/sign-in", {"username": "ines", "password": "guess"})
    assert "ask again in a second" in page.content.decode()
    assert Client().get("/health/ready").status_code == 200
    client = client_of(place.player_member)
    assert client.get("/api/v1/club").status_code == 200
    assert client.post("/api/v1/rounds", factories.round_body(), format="json").status_code == 201
    all_taken.close()
    assert {answer.status_code for answer in long_ones(place)} == {200, 401, 422}


@pytest.mark.django_db
def test_one_club_leaves_room_for_others(place: Place) -> None:
    theirs = {"path": "/api/v1/imports/guess", "data": _form({}, "course,tee,played_on\r\n")}
    with ExitStack() as taken:
        for _ in range(OF_A_CLUB):
            taken.enter_context(seat(place.club.id))
        is_problem(client_of(place.player_member).post(**theirs, content_type=FORM), 503, "busy")
        neighbour = factories.make_club("stonebarrow")
        with club_scope(neighbour.id):
            other = factories.make_member(Role.PLAYER, "neighbour")
        assert client_of(other).post(**theirs, content_type=FORM).status_code == 200
        assert by_password("ines", "guess").status_code == 401
    assert client_of(place.player_member).post(**theirs, content_type=FORM).status_code == 200


@committed
def test_repetitions_of_a_request_under_way_do_not_take_every_thread(place: Place) -> None:
    member = place.player_member
    lock = [f"{member.id}:once"]
    posts = {"path": "/api/v1/rounds/check", "data": factories.round_body(), "format": "json"}
    with ExitStack() as taken, connections["owner"].cursor() as first:
        first.execute("SELECT pg_advisory_lock(hashtextextended(%s, 0))", lock)  # as the first holds it
        try:
            for _ in range(AT_ONCE):
                taken.enter_context(seat())
            answer = client_of(member).post(**posts, headers={"Idempotency-Key": "once"})
            is_problem(answer, 503, "busy")
            other = client_of(member).post(**posts, headers={"Idempotency-Key": "another"})
            assert other.status_code == 200
        finally:
            first.execute("SELECT pg_advisory_unlock(hashtextextended(%s, 0))", lock)
    assert client_of(member).post(**posts, headers={"Idempotency-Key": "once"}).status_code == 200
