"""A program of others is let in by OAuth 2 with PKCE (RFC 6749, RFC 7636, RFC 9700): what it gets, and what it does not."""

from __future__ import annotations

import base64
import hashlib
import re
from datetime import timedelta
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from django.test import Client
from django.utils import timezone
from rest_framework.test import APIClient

from golfstats.ground.clubs import accounts
from golfstats.ground.clubs.models import AccessToken, User
from tests.players.conftest import Place, client_of, place

__all__ = ["place"]  # a fixture of theirs that is used here as well
BACK = "https://board.example/back"
# The example of RFC 7636, appendix B.
VERIFIER = "dBjftJeZ4CVP-mB92K27uhbUJU1p1r_wW1gFWFOEjXk"
CHALLENGE = "E9Melhoa2OwvFrEMTJguCHaoeK1t8URWbuGJSstw-cM"
QUESTION = {
    "response_type": "code",
    "client_id": "board",
    "redirect_uri": BACK,
    "scope": "read",
    "state": "seventh tee",
    "code_challenge": CHALLENGE,
    "code_challenge_method": "S256",
}


@pytest.fixture(autouse=True)
def known(settings: Any) -> None:
    settings.OAUTH_CLIENTS = [f"board={BACK}", "other=https://other.example/back"]
    settings.CORS_ALLOWED_ORIGINS = ["https://board.example"]


@pytest.fixture
def coach(place: Place) -> Client:
    client = Client()
    client.force_login(place.coach.user)
    return client


def asked(coach: Client, **changes: str) -> Any:
    return coach.get("/oauth/authorize", QUESTION | changes, secure=True)


def answered(coach: Client, answer: str = "yes", **changes: str) -> dict[str, str]:
    """What the program reads in the address that the browser comes back to."""
    query = QUESTION | changes
    response = coach.post("/oauth/authorize", {answer: "1"}, secure=True, query_params=query)
    assert response.status_code == 302, response.content
    back = urlsplit(response.headers["Location"])
    assert back._replace(query="").geturl() == BACK
    return {name: values[0] for name, values in parse_qs(back.query).items()}


def fetched(code: str, **changes: str) -> Any:
    form = {
        "grant_type": "authorization_code",
        "client_id": "board",
        "redirect_uri": BACK,
        "code": code,
        "code_verifier": VERIFIER,
    }
    return Client().post(
        "/oauth/token", form | changes, secure=True, headers={"Origin": "https://board.example"}
    )


def test_the_challenge_is_that_of_the_standard() -> None:
    digest = hashlib.sha256(VERIFIER.encode()).digest()
    assert base64.urlsafe_b64encode(digest).decode().rstrip("=") == CHALLENGE


def test_a_person_lets_a_program_look(place: Place, coach: Client) -> None:
    page = asked(coach)
    assert page.status_code == 200
    assert "looking" in page.content.decode()
    assert "form-action 'self' https://board.example;" in page.headers["Content-Security-Policy"]
    back = answered(coach)
    assert back["state"] == "seventh tee"
    answer = fetched(back["code"])
    told = answer.json()
    assert (answer.status_code, told["token_type"], told["scope"]) == (200, "Bearer", "read")
    assert told["expires_in"] == 7 * 24 * 3600
    assert answer.headers["Cache-Control"] == "no-store"
    assert answer.headers["Access-Control-Allow-Origin"] == "https://board.example"
    program = APIClient(headers={"Authorization": f"Bearer {told['access_token']}"})
    assert program.get("/api/v1/players").status_code == 200
    assert program.post("/api/v1/tokens").status_code == 401
    refused = program.post("/api/v1/rounds", {}, format="json")
    assert (refused.status_code, refused.json()["type"]) == (403, "/problems/token-scope")
    assert AccessToken.objects.get().name == "board"
    assert "board" in coach.get("/account").content.decode()


def test_posting_rounds_is_asked_for_by_its_name(coach: Client) -> None:
    assert "posting rounds" in asked(coach, scope="rounds").content.decode()
    assert fetched(answered(coach, scope="rounds")["code"]).json()["scope"] == "rounds"


def test_who_says_no_gives_nothing(coach: Client) -> None:
    back = answered(coach, "no")
    assert (back["error"], back["state"]) == ("access_denied", "seventh tee")
    assert "code" not in back


def test_nobody_is_asked_before_they_sign_in() -> None:
    response = Client().get("/oauth/authorize", QUESTION, secure=True)
    assert response.status_code == 302
    assert response.headers["Location"].startswith("/sign-in?next=")


@pytest.mark.parametrize(
    "changes",
    [
        {"client_id": "nobody"},
        {"redirect_uri": "https://board.example/elsewhere"},
        {"redirect_uri": "https://other.example/back"},
        {"redirect_uri": "https://board.example/back\r\nSet-Cookie: a=b"},
        {"redirect_uri": "https://bœrd.example/back"},
        {"response_type": "c\u00f6de\r\n"},
        {"client_id": "b\u00f6ard\0"},
        {"scope": "r\u00e9ad\n"},
        {"code_challenge": "\u00fc" * 43},
        {"code_challenge": "\n" * 43},
        {"response_type": "token"},
        {"scope": "everything"},
        {"code_challenge": ""},
        {"code_challenge_method": "plain"},
    ],
)
def test_a_question_that_is_not_right_leads_nowhere(coach: Client, changes: dict[str, str]) -> None:
    assert asked(coach, **changes).status_code == 400
    response = coach.post("/oauth/authorize", {"yes": "1"}, secure=True, query_params=QUESTION | changes)
    assert response.status_code == 400
    assert "Location" not in response.headers


@pytest.mark.parametrize(
    "changes",
    [
        {"code_verifier": VERIFIER[::-1]},
        {"code_verifier": ""},
        {"client_id": "other"},
        {"redirect_uri": "https://board.example/elsewhere"},
        {"code": "made up"},
        {"grant_type": "password"},
        {"grant_type": "p\u00e4ssword\r\n"},
        {"client_id": "b\u00f6ard\r\n"},
        {"code": "\u00fc\0"},
        {"code_verifier": "\u00fc" * 43},
    ],
)
def test_a_stolen_code_is_worth_nothing(coach: Client, changes: dict[str, str]) -> None:
    assert fetched(**{"code": answered(coach)["code"]} | changes).status_code in (400, 401)
    # What it might have become ends with the minute, and nobody knows its text.
    assert AccessToken.objects.get().token.expiry < timezone.now() + timedelta(seconds=61)


def test_a_code_is_good_once_and_what_it_gave_ends_when_it_comes_again(coach: Client) -> None:
    """RFC 6749, 4.1.2: somebody else may have had it first."""
    code = answered(coach)["code"]
    first = fetched(code)
    assert first.status_code == 200
    program = APIClient(headers={"Authorization": f"Bearer {first.json()['access_token']}"})
    assert program.get("/api/v1/players").status_code == 200
    assert fetched(code, code_verifier=VERIFIER[::-1]).status_code == 400
    assert program.get("/api/v1/players").status_code == 200, "who has not the verifier ends nothing"
    assert fetched(code).status_code == 400
    assert program.get("/api/v1/players").status_code == 401
    assert not AccessToken.objects.exists()


@pytest.mark.parametrize("end", ["every token", "the one", "the password"])
def test_a_code_ends_with_the_tokens(place: Place, coach: Client, end: str) -> None:
    user = place.coach.user
    user.set_password("six words of a long password")
    user.save()
    coach.force_login(user)
    code = answered(coach)["code"]
    (kept,) = AccessToken.objects.all()
    if end == "the password":
        accounts.change_password(user, "six words of a long password", "six other words of another")
    elif end == "the one":
        assert client_of(place.coach).delete(f"/api/v1/tokens/{kept.id}").status_code == 204
    else:
        assert client_of(place.coach).delete("/api/v1/tokens").status_code == 204
    assert fetched(code).status_code == 400
    assert not AccessToken.objects.filter(name="board").exists()


def test_a_code_is_good_for_a_minute(coach: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    code = answered(coach)["code"]
    monkeypatch.setattr("golfstats.doors.pages.programs.CODE_SECONDS", -1)
    assert fetched(code).status_code == 400


def test_another_site_cannot_answer_for_a_person(place: Place) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(User.objects.get(pk=place.coach.user_id))
    response = client.post("/oauth/authorize", {"yes": "1"}, secure=True, query_params=QUESTION)
    assert response.status_code == 403


def test_where_everything_is_can_be_looked_up(db: None) -> None:
    """RFC 8414."""
    told = Client().get("/.well-known/oauth-authorization-server", secure=True).json()
    assert told["issuer"] == "https://testserver"
    assert told["code_challenge_methods_supported"] == ["S256"]
    assert re.fullmatch(r"https://testserver/oauth/\w+", told["token_endpoint"])
