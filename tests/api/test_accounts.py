"""One's own sign-in: tokens that can do no more than they were made for, and the password."""

from __future__ import annotations

import base64
import re
from datetime import timedelta
from typing import Any

import pytest
from django.core import mail
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone
from knox.models import AuthToken
from rest_framework.test import APIClient

from golfstats.doors.graphql.view import GraphQLEndpoint
from golfstats.ground.clubs.models import AccessToken, Member, Role, User
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from tests import factories
from tests.api.test_api_behaviour import is_problem
from tests.players.conftest import Place

pytestmark = pytest.mark.django_db
OLD, NEW = "the old words one remembers", "the new words one remembers"


@pytest.fixture
def ines(place: Place) -> User:
    user = place.player_member.user
    user.set_password(OLD)
    user.email = "ines@example.org"
    user.save()
    return user


def by_password(password: str = OLD, **body: Any) -> Any:
    basic = base64.b64encode(f"ines:{password}".encode()).decode()
    client = APIClient(headers={"Authorization": f"Basic {basic}"})
    return client.post("/api/v1/tokens", body, format="json") if body else client.post("/api/v1/tokens")


def bearer(token: str) -> APIClient:
    return APIClient(headers={"Authorization": f"Bearer {token}"})


def test_a_token_has_a_name_a_scope_and_an_end(ines: User) -> None:
    made = by_password(name="my phone", scope="rounds", days=30).json()
    (listed,) = bearer(made["token"]).get("/api/v1/tokens").json()["results"]
    assert (listed["name"], listed["scope"], listed["id"]) == ("my phone", "rounds", made["id"])
    assert listed["last_used_at"] is not None
    assert "token" not in listed
    token = AuthToken.objects.get()
    assert token.expiry - timezone.now() > timedelta(days=29, hours=23)
    AuthToken.objects.update(expiry=timezone.now() - timedelta(seconds=1))
    is_problem(bearer(made["token"]).get("/api/v1/club"), 401, "authentication-failed")
    for wrong in ({"scope": "all"}, {"days": 0}, {"days": 4000}, {"nonsense": 1}):
        is_problem(by_password(**wrong), 422, "invalid-request")


def test_a_token_is_known_by_all_of_its_letters(ines: User) -> None:
    token = by_password().json()["token"]
    other_end = "0" if token[-1] != "0" else "1"
    for wrong in (token[:-1], f"{token}0", token[:-1] + other_end, token.upper() + "A", "0"):
        is_problem(bearer(wrong).get("/api/v1/clubs"), 401, "authentication-failed")
    ines.is_active = False
    ines.save()
    is_problem(bearer(token).get("/api/v1/clubs"), 401, "authentication-failed")


def test_many_tokens_cost_a_request_no_more_than_one(ines: User) -> None:
    token = by_password().json()["token"]
    client = bearer(token)
    client.get("/api/v1/club")
    for _ in range(5):
        AuthToken.objects.create(user=ines, expiry=timedelta(seconds=-1))
    with CaptureQueriesContext(connection) as captured:
        assert client.get("/api/v1/club").status_code == 200
    assert len([query for query in captured if "knox_authtoken" in query["sql"]]) == 1


def test_a_token_does_no_more_than_it_was_made_for(ines: User) -> None:
    reading, rounds, everything = (
        bearer(by_password(name=scope, scope=scope).json()["token"])
        for scope in ("read", "rounds", "everything")
    )
    body = factories.round_body()
    query = {"query": "{ club { name } }"}
    change = {"query": 'mutation { deleteNote(id: "01980000-0000-7000-8000-000000000001") }'}
    note = {"text": "practised", "practised_on": "2026-06-01"}
    for client in (reading, rounds, everything):
        assert client.get("/api/v1/rounds").status_code == 200
        assert "errors" not in client.post("/graphql", query, format="json").json()
    is_problem(reading.post("/api/v1/rounds", body, format="json"), 403, "token-scope")
    assert rounds.post("/api/v1/rounds", body, format="json").status_code == 201
    for client in (reading, rounds):
        is_problem(client.post("/graphql", change, format="json"), 403, "token-scope")
        is_problem(client.post("/api/v1/imports", note, format="json"), 403, "token-scope")
        is_problem(
            client.post("/api/v1/account/password", {"present": OLD, "new": NEW}, format="json"),
            403,
            "token-scope",
        )
        is_problem(client.delete("/api/v1/clubs/larkmoor/membership"), 403, "token-scope")
    change_email = {"present": OLD, "email": "rosa@example.org"}
    is_problem(rounds.post("/api/v1/account/email", change_email, format="json"), 403, "token-scope")
    assert everything.post("/graphql", change, format="json").status_code == 200
    assert reading.delete("/api/v1/tokens/present").status_code == 204


@pytest.mark.parametrize(
    "body",
    [
        r'{"query": "\u006dutation { addSquad(given: {name: \"Taken\"}) { id } }"}',
        r'{"query": "mut\u0061tion($n: String!) { addSquad(given: {name: $n}) { id } }", "variables": {"n": "x"}}',
    ],
)
def test_a_token_for_looking_changes_nothing_however_its_request_is_written(
    place: Place, ines: User, body: str
) -> None:
    """JSON may write any letter as a number."""
    with club_scope(place.club.id):
        Member.objects.filter(user=ines).update(role=Role.MANAGER)
    reading, everything = (
        bearer(by_password(name=scope, scope=scope).json()["token"]) for scope in ("read", "everything")
    )
    answer = reading.post("/graphql", body.encode(), content_type="application/json")
    is_problem(answer, 403, "token-scope")
    allowed = everything.post("/graphql", body.encode(), content_type="application/json")
    assert "errors" not in allowed.json(), allowed.content


def test_nor_does_what_was_let_in_as_reading(
    place: Place, ines: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever the look at the body may miss, what is executed is a query."""
    monkeypatch.setattr(GraphQLEndpoint, "only_reads", lambda *_: True)
    reading = bearer(by_password(name="read", scope="read").json()["token"])
    change = {"query": 'mutation { deleteNote(id: "01980000-0000-7000-8000-000000000001") }'}
    is_problem(reading.post("/graphql", change, format="json"), 400, "no-such-operation")


def test_where_the_link_for_a_new_password_goes_is_one_s_own_to_say(ines: User) -> None:
    client = bearer(by_password().json()["token"])
    change = {"present": OLD, "email": "ines.anew@example.org"}
    wrong = client.post("/api/v1/account/email", change | {"present": "guess"}, format="json")
    assert is_problem(wrong, 422, "invalid-request")["errors"][0]["pointer"] == "/present"
    nowhere = client.post("/api/v1/account/email", change | {"email": "x"}, format="json")
    is_problem(nowhere, 422, "invalid-request")
    ines.refresh_from_db()
    assert ines.email == "ines@example.org"
    assert client.post("/api/v1/account/email", change, format="json").status_code == 204
    browser = Client()
    browser.post("/sign-in", {"username": "ines", "password": OLD})
    assert "sent to ines.anew@example.org" in browser.get("/account").content.decode()
    given = {"change-email": "yes", "email": "", "present": "guess"}
    assert "not your present password" in browser.post("/account", given, follow=True).content.decode()
    browser.post("/account", given | {"present": OLD})
    assert "no address is known" in browser.get("/account").content.decode()


def test_tokens_are_ended_one_or_all(ines: User, place: Place) -> None:
    first, second = by_password().json(), by_password().json()
    client = bearer(second["token"])
    foreign, _ = AuthToken.objects.create(user=place.coach.user)
    other = AccessToken.objects.create(token=foreign, name="the coach's", scope="read")
    is_problem(client.delete(f"/api/v1/tokens/{other.id}"), 404, "not-found")
    assert client.delete(f"/api/v1/tokens/{first['id']}").status_code == 204
    is_problem(bearer(first["token"]).get("/api/v1/clubs"), 401, "authentication-failed")
    assert client.delete("/api/v1/tokens").status_code == 204
    is_problem(client.get("/api/v1/clubs"), 401, "authentication-failed")
    assert AuthToken.objects.get() == foreign


def test_a_changed_password_ends_tokens_and_other_sessions(ines: User) -> None:
    browser = Client()
    browser.post("/sign-in", {"username": "ines", "password": OLD})
    token = by_password().json()["token"]
    client = bearer(token)
    wrong = client.post("/api/v1/account/password", {"present": "guess", "new": NEW}, format="json")
    assert is_problem(wrong, 422, "invalid-request")["errors"][0]["pointer"] == "/present"
    weak = client.post("/api/v1/account/password", {"present": OLD, "new": "short"}, format="json")
    assert is_problem(weak, 422, "invalid-request")["errors"][0]["pointer"] == "/new"
    changed = client.post("/api/v1/account/password", {"present": OLD, "new": NEW}, format="json")
    assert changed.status_code == 204
    is_problem(client.get("/api/v1/clubs"), 401, "authentication-failed")
    assert browser.get("/account").status_code == 302, "the other session has ended"
    assert by_password(OLD).status_code == 401
    assert by_password(NEW).status_code == 201


def test_a_forgotten_password_is_replaced_by_mail(ines: User) -> None:
    token = by_password().json()["token"]
    browser = Client()
    known = browser.post("/password/forgotten", {"email": "ines@example.org"}, follow=True)
    unknown = browser.post("/password/forgotten", {"email": "nobody@example.org"}, follow=True)
    assert "a link is on its way" in known.content.decode()
    assert "a link is on its way" in unknown.content.decode()
    worker.drain()
    (message,) = mail.outbox
    (address,) = re.findall(r"http://testserver(/password/\S+)", message.body)
    page = browser.get(address, follow=True)
    form = page.redirect_chain[-1][0]
    answer = browser.post(form, {"new_password1": NEW, "new_password2": NEW}, follow=True)
    assert "sign in with it" in answer.content.decode()
    assert by_password(NEW).status_code == 201
    is_problem(bearer(token).get("/api/v1/clubs"), 401, "authentication-failed")
    assert "too old" in Client().get(address, follow=True).content.decode(), "the link works once"


def test_the_password_s_uses_are_shown(ines: User) -> None:
    browser = Client(REMOTE_ADDR="192.0.2.9")
    browser.post("/sign-in", {"username": "ines", "password": OLD})
    token = by_password().json()["token"]
    found = bearer(token).get("/api/v1/account/sign-ins").json()["results"]
    assert [one["address"] for one in found] == ["127.0.0.1", "192.0.2.9"]
    assert "192.0.2.9" in browser.get("/account").content.decode()
    changed = {"old_password": OLD, "new_password1": NEW, "new_password2": NEW}
    assert browser.post("/account/password", changed).status_code == 302
    assert browser.get("/account").status_code == 200, "this session goes on"
