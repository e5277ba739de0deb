"""Requests that used to break something, or that were taken though they should not have been."""

from __future__ import annotations

import datetime as dt
import json
import os
import subprocess
import sys
from datetime import timedelta
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from django.urls import reverse
from django.utils import timezone
from pydantic import ValidationError

from golfstats.ground.answered.models import AnsweredRequest
from golfstats.ground.answered.services import KEPT
from golfstats.ground.clubs.models import Member
from golfstats.ground.operations import Query
from golfstats.ground.outbox import worker
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.walls.scope import club_scope
from players.rounds.models import Round
from tests import factories
from tests.api.test_api_behaviour import is_problem
from tests.outbox.test_lease import pass_time
from tests.players.conftest import Place, client_of

ROOT = Path(__file__).parent.parent.parent
PRODUCTION = {
    "DATABASE_URL": "postgresql://golfstats_app@127.0.0.1:1/golfstats",
    "OWNER_DATABASE_URL": "postgresql://golfstats_owner@127.0.0.1:1/golfstats",
    "BEHIND_TLS": "true",
    "SECRET_KEY": "k3VqP0w9-Zr7LmX2tYbN8sUeJ4hGcDf6aQi1oRxW5vTzKlMy-AbCd",
}


@pytest.mark.django_db
@pytest.mark.parametrize("number", ["9" * 20, "9" * 200, "2147483647"])
def test_a_number_beyond_every_size_is_a_graphql_error(place: Place, number: str) -> None:
    query = f"{{ rounds(first: {number}) {{ edges {{ node {{ id holes {{ number }} }} }} }} }}"
    answer = client_of(place.coach).post("/graphql", {"query": query}, format="json")
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "application/json"
    assert answer.json()["errors"]


@pytest.mark.django_db
def test_a_method_that_is_not_there_is_named(place: Place) -> None:
    problem = is_problem(client_of(place.coach).put("/api/v1/rounds", {}), 405, "method-not-allowed")
    assert problem["title"] == 'Method "PUT" not allowed'


@pytest.mark.django_db
def test_a_cost_beyond_64_bits_is_told_as_a_graphql_error(place: Place) -> None:
    """JSON knows no largest number; what writes it does."""
    doubling = " ".join(f"fragment f{n} on Me {{ ...f{n + 1} ...f{n + 1} }}" for n in range(70))
    query = f"{{ me {{ ...f0 }} }} {doubling} fragment f70 on Me {{ name }}"
    answer = client_of(place.coach).post("/graphql", {"query": query}, format="json")
    assert answer.headers["Content-Type"] == "application/json"
    (error,) = answer.json()["errors"]
    assert error["extensions"]["maximum_cost"] < error["extensions"]["requested_cost"]
    assert "The document costs" in error["message"]


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("path", "title"),
    [
        ("imports", "Send multipart/form-data or application/zip"),
        ("imports/guess", "Send multipart/form-data"),
        ("rounds", "Send application/json or text/plain"),
        ("squads", "Send application/json"),
    ],
)
def test_who_sends_what_is_not_taken_is_told_what_is(place: Place, path: str, title: str) -> None:
    client = client_of(place.manager)
    answer = client.generic("POST", f"/api/v1/{path}", b"hole,lie", content_type="text/csv")
    assert is_problem(answer, 415, "unsupported-media-type")["title"] == title


@pytest.mark.django_db
@pytest.mark.parametrize("day", ["0", "1750000000", "2026-6-1", "tomorrow"])
def test_a_day_is_written_as_a_day(place: Place, day: str) -> None:
    with club_scope(place.club.id):
        course = factories.make_course("Heath")
    answer = client_of(place.coach).get(f"/api/v1/courses/{course.id}/condition?on={day}")
    is_problem(answer, 422, "invalid-request")


class Since(Query):
    since: dt.date | None = None
    last: int | None = None


@pytest.mark.parametrize("day", ["0", "1750000000", "2026-6-1"])
def test_so_is_a_day_of_a_declared_query(day: str) -> None:
    assert Since.model_validate({"since": "2026-06-01", "last": "5"}).since == dt.date(2026, 6, 1)
    with pytest.raises(ValidationError, match="a day is written as"):
        Since.model_validate({"since": day})


@pytest.fixture
def address(place: Place) -> str:
    with club_scope(place.club.id):
        return reverse("round", args=[factories.make_round(place.player_member, place.player).id])


@pytest.mark.parametrize("method", ["put", "patch", "delete"])
def test_a_round_is_not_changed_without_saying_which_version(place: Place, address: str, method: str) -> None:
    client = client_of(place.player_member)
    answer = getattr(client, method)(address, factories.round_body(), format="json")
    is_problem(answer, 428, "version-needed")
    tag = answer.headers["ETag"]
    for expected in (200, 412):
        changed = client.patch(address, {"ball": "soft"}, format="json", headers={"If-Match": tag})
        assert changed.status_code == expected


def post_with_key(member: Member, path: str, body: dict[str, Any]) -> Any:
    headers = {"Idempotency-Key": "the same"}
    return client_of(member).post(f"/api/v1/{path}", body, format="json", headers=headers)


def test_a_demoted_manager_is_not_answered_as_one(place: Place) -> None:
    body = {"name": "Ole Winther", "rating_gender": "men"}
    assert post_with_key(place.manager, "players", body).status_code == 201
    with club_scope(place.club.id):
        Member.objects.filter(id=place.manager.id).update(role="player")
    is_problem(post_with_key(place.manager, "players", body), 403, "role-changed")


@pytest.mark.parametrize(
    ("path", "body", "name"),
    [
        ("invitations", {"name": "Rosa Linares", "role": "player"}, "invitation"),
        ("webhooks", {"url": "https://1.1.1.1/golf", "happenings": ["round_analysed"]}, "secret"),
    ],
)
def test_a_secret_is_shown_once_and_kept_nowhere(place: Place, path: str, body: Any, name: str) -> None:
    secret = post_with_key(place.manager, path, body).json()[name]
    with club_scope(place.club.id):
        kept = AnsweredRequest.objects.get()
    assert secret not in bytes(kept.body).decode() + json.dumps(kept.headers)
    is_problem(post_with_key(place.manager, path, body), 409, "shown-once")


def test_the_secret_of_a_calendar_address_is_kept_nowhere_either(place: Place) -> None:
    with club_scope(place.club.id):
        path = f"courses/{factories.make_course('Heath').id}/calendar-feeds"
    secret = urlsplit(post_with_key(place.manager, path, {}).json()["address"]).path.split("/")[-1]
    with club_scope(place.club.id):
        kept = AnsweredRequest.objects.get()
    assert len(secret) > 20
    assert secret.removesuffix(".ics") not in bytes(kept.body).decode() + json.dumps(kept.headers)
    is_problem(post_with_key(place.manager, path, {}), 409, "shown-once")


def test_answers_are_forgotten_after_two_days(place: Place) -> None:
    body = factories.round_body()
    first = post_with_key(place.player_member, "rounds", body)
    assert post_with_key(place.player_member, "rounds", body).content == first.content
    worker.drain()
    with club_scope(place.club.id):
        AnsweredRequest.objects.update(answered_at=timezone.now() - KEPT)
    pass_time(KEPT + timedelta(minutes=1))
    worker.drain()
    with club_scope(place.club.id):
        assert not AnsweredRequest.objects.exists()
        assert Round.objects.count() == 1
    assert not OutstandingWork.objects.filter(kind="forget_answers").exists()


@pytest.mark.django_db
def test_one_club_s_graphql_does_not_take_another_s_time(place: Place, settings: Any) -> None:
    settings.GRAPHQL = settings.GRAPHQL | {"CLUB_SECONDS": 0.02}
    neighbour = factories.make_club("stonebarrow")
    with club_scope(neighbour.id):
        other = factories.make_member("coach", "neighbour")
    query = {"query": "{ club { name } rounds(first: 50) { edges { node { id } } } }"}
    answers = [client_of(place.coach).post("/graphql", query, format="json") for _ in range(30)]
    assert answers[0].status_code == 200
    is_problem(answers[-1], 429, "club-budget")
    assert 1 <= int(answers[-1].headers["Retry-After"]) <= 61
    assert client_of(other).post("/graphql", query, format="json").status_code == 200
    assert client_of(place.coach).get("/api/v1/club").status_code == 200


def in_production(*program: str, **changes: str) -> subprocess.CompletedProcess[str]:
    kept = {name: os.environ[name] for name in ("PATH", "HOME") if name in os.environ}
    return subprocess.run(
        [sys.executable, "manage.py", *program],
        cwd=ROOT,
        env=kept | PRODUCTION | changes,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize("weak", ["", "short", "a" * 60, "changeme"])
def test_a_weak_key_is_refused(weak: str) -> None:
    done = in_production("check", SECRET_KEY=weak)
    assert done.returncode != 0
    assert "SECRET_KEY" in done.stderr


def test_the_deployment_check_finds_nothing_behind_tls() -> None:
    done = in_production("check", "--deploy", "--fail-level", "INFO")
    assert done.returncode == 0, done.stderr
    assert "no issues" in done.stdout + done.stderr
