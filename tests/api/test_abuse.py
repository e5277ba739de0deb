"""Who asks too often or guesses passwords: counted exactly, at every door, whatever else is down."""

from __future__ import annotations

import base64
import threading
from typing import Any

import pytest
from django.core.cache.backends.redis import RedisCache
from django.db import connection
from django.test import Client
from rest_framework.test import APIClient

from golfstats.doors.rest.reference import openapi
from golfstats.ground import counts
from golfstats.ground.clubs.models import User
from golfstats.ground.clubs.sign_in import LOCKED_SECONDS, WRONG_FROM_ONE_ADDRESS
from tests.api.test_api_behaviour import is_problem
from tests.databases import committed
from tests.players.conftest import Place, client_of

PASSWORD = "six words of a long password"
CALENDAR = "/calendar/01980000-0000-7000-8000-000000000001/guessed.ics"


@pytest.fixture
def ines() -> User:
    return User.objects.create_user("ines", password=PASSWORD)


def by_password(name: str, password: str, address: str = "192.0.2.1") -> Any:
    basic = base64.b64encode(f"{name}:{password}".encode()).decode()
    client = APIClient(headers={"Authorization": f"Basic {basic}"}, REMOTE_ADDR=address)
    return client.post("/api/v1/tokens")


def on_the_page(name: str, password: str, address: str = "192.0.2.1") -> Any:
    return Client(REMOTE_ADDR=address).post("/sign-in", {"username": name, "password": password})


@pytest.mark.django_db
@pytest.mark.parametrize("sign_in", [by_password, on_the_page])
def test_after_ten_wrong_passwords_the_right_one_has_to_wait(ines: User, sign_in: Any) -> None:
    wrong = {sign_in("ines", "guess").status_code for _ in range(WRONG_FROM_ONE_ADDRESS)}
    assert wrong <= {200, 401}  # the page shows its form again
    locked = sign_in("Ines", PASSWORD)
    assert locked.status_code == 429
    assert 0 < int(locked.headers["Retry-After"]) <= LOCKED_SECONDS + 1
    assert on_the_page("ines", PASSWORD).status_code == 429, "both doors have one lock"
    assert by_password("ines", PASSWORD).status_code == 429
    elsewhere = on_the_page("ines", PASSWORD, address="192.0.2.77")
    assert elsewhere.status_code == 302, "her own machine is not locked out"
    assert by_password("tomas", "guess").status_code == 401, "nor is anybody else"


@pytest.mark.django_db
def test_guessing_from_many_addresses_ends_as_well(ines: User, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("django.contrib.auth.hashers.PBKDF2PasswordHasher.iterations", 1)
    for number in range(101):
        on_the_page("ines", "guess", address=f"198.51.100.{number}")
    assert on_the_page("ines", PASSWORD, address="192.0.2.77").status_code == 429


def by_the_account(client: APIClient, guess: str) -> Any:
    return client.post("/api/v1/account/email", {"present": guess, "email": None}, format="json")


def by_erasure(client: APIClient, guess: str) -> Any:
    given = {"name": "Ines", "password": guess}
    return client.post("/api/v1/clubs/larkmoor/erasure", given, format="json")


def by_a_new_password(client: APIClient, guess: str) -> Any:
    given = {"present": guess, "new": "six other words of a password"}
    return client.post("/api/v1/account/password", given, format="json")


@pytest.mark.django_db
@pytest.mark.parametrize("kept_in", ["process", "database"])
@pytest.mark.parametrize("guess_by", [by_the_account, by_erasure, by_a_new_password])
def test_nor_does_who_has_a_token_find_out_the_password(
    place: Place, settings: Any, monkeypatch: pytest.MonkeyPatch, guess_by: Any, kept_in: str
) -> None:
    """A telephone left lying about is not the password; and its thief locks nobody out of signing in."""
    monkeypatch.setattr("django.contrib.auth.hashers.PBKDF2PasswordHasher.iterations", 1)
    settings.COUNTS_IN = kept_in
    user = place.player_member.user
    user.set_password(PASSWORD)
    user.save()
    client = APIClient(headers={"Authorization": f"Bearer {by_password('ines', PASSWORD).json()['token']}"})
    guesses = [guess_by(client, f"guess {one}").status_code for one in range(WRONG_FROM_ONE_ADDRESS)]
    assert guesses == [422] * WRONG_FROM_ONE_ADDRESS
    for way in (by_the_account, by_erasure, by_a_new_password):
        locked = way(client, PASSWORD)
        assert is_problem(locked, 429, "throttled")["title"].startswith("Too many wrong passwords")
        assert locked.headers["Retry-After"] == str(LOCKED_SECONDS)
    assert on_the_page("ines", PASSWORD).status_code == 302
    browser = Client()
    browser.force_login(user)
    change = {
        "old_password": PASSWORD,
        "new_password1": "six other words",
        "new_password2": "six other words",
    }
    assert browser.post("/account/password", change).status_code == 429
    erasing = {"name": "Ines", "password": PASSWORD}
    assert browser.post("/clubs/larkmoor/record/erase", erasing).status_code == 429


@pytest.mark.django_db
def test_pages_and_endpoints_share_a_person_s_count(place: Place, settings: Any) -> None:
    settings.THROTTLE = "3/min"
    page = Client()
    page.force_login(place.coach.user)
    address = f"/clubs/{place.club.slug}/"
    assert [page.get(address).status_code for _ in range(2)] == [200, 200]
    assert client_of(place.coach).get("/api/v1/club").status_code == 200
    assert page.get(address).status_code == 429
    assert client_of(place.coach).get("/api/v1/club").status_code == 429
    assert (
        client_of(place.coach).post("/graphql", {"query": "{ club { name } }"}, format="json").status_code
        == 429
    )


@pytest.mark.django_db
@pytest.mark.parametrize(
    "path", ["/", "/api/v1/reference", "/api/v1/openapi", "/sign-in", "/problems/throttled", CALENDAR]
)
def test_what_needs_no_sign_in_is_counted_by_address(path: str, settings: Any) -> None:
    settings.THROTTLE = "2/min"
    answered = 404 if path == CALENDAR else 200
    assert [Client().get(path).status_code for _ in range(3)] == [answered, answered, 429]
    assert Client(REMOTE_ADDR="192.0.2.2").get(path).status_code == answered


@pytest.mark.django_db
def test_another_address_of_the_same_ipv6_network_is_the_same(
    ines: User, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A machine has 2**64 of them."""
    monkeypatch.setattr("django.contrib.auth.hashers.PBKDF2PasswordHasher.iterations", 1)
    for number in range(WRONG_FROM_ONE_ADDRESS):
        assert by_password("ines", "guess", address=f"2001:db8::{number}").status_code == 401
    assert by_password("ines", PASSWORD, address="2001:db8::77").status_code == 429
    assert by_password("ines", PASSWORD, address="2001:db8:0:1::77").status_code == 201
    settings.THROTTLE = "2/min"
    asked = [Client(REMOTE_ADDR=f"2001:db8:7::{one}").get("/").status_code for one in range(3)]
    assert asked == [200, 200, 429]
    assert Client(REMOTE_ADDR="::ffff:192.0.2.5").get("/").status_code == 200


@pytest.mark.django_db
def test_the_description_is_made_once_a_process(monkeypatch: pytest.MonkeyPatch) -> None:
    first = Client().get("/api/v1/openapi")

    def again(*_args: object) -> None:
        raise AssertionError("made from the endpoints once more")

    monkeypatch.setattr(openapi, "paths_of", again)
    second = Client().get("/api/v1/openapi")
    assert second.content == first.content
    assert second.json()["openapi"].startswith("3.1")
    assert second.headers["Cache-Control"] == "public, max-age=3600"
    is_problem(Client().get("/api/v1/openapi?version=%00"), 422, "invalid-request")


def let_through(limit: int, threads: int, each: int) -> int:
    """How many of the requests of several threads pass at once."""
    start, passed = threading.Barrier(threads), []

    def ask() -> None:
        start.wait(10)
        passed.extend(one for one in range(each) if counts.allowed("something", limit, 3600))
        connection.close()

    running = [threading.Thread(target=ask) for _ in range(threads)]
    for one in running:
        one.start()
    for one in running:
        one.join(30)
    return len(passed)


@committed
@pytest.mark.parametrize("kept_in", ["process", "database"])
def test_eight_threads_together_get_no_more_than_is_allowed(settings: Any, kept_in: str) -> None:
    settings.COUNTS_IN = kept_in
    passed = let_through(limit=20, threads=8, each=10)
    # A request that is refused counts for a moment, so a few less may pass, never more.
    assert 13 <= passed <= 20


@committed
def test_two_processes_without_a_cache_share_their_counts(settings: Any) -> None:
    settings.COUNTS_IN = "database"
    assert sum(counts.allowed("something", 20, 3600) for _ in range(15)) == 15
    counts.in_process.clear()  # as another process has it
    assert sum(counts.allowed("something", 20, 3600) for _ in range(15)) == 5


def test_a_burst_over_the_end_of_a_window_is_no_two_bursts() -> None:
    window_ends = 60.0 * 100
    before = [counts.allowed("something", 20, 60, now=lambda: window_ends - 1) for _ in range(25)]
    after = [counts.allowed("something", 20, 60, now=lambda: window_ends + 1) for _ in range(25)]
    assert (sum(before), sum(after)) == (20, 0)
    later = [counts.allowed("something", 20, 60, now=lambda: window_ends + 30) for _ in range(25)]
    assert sum(later) == 10


@pytest.mark.django_db
def test_with_redis_down_everything_is_served_and_still_counted(
    place: Place, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    nowhere = RedisCache("redis://127.0.0.1:1/0", {"OPTIONS": {"socket_connect_timeout": 1}})
    monkeypatch.setattr(counts, "cache", nowhere)
    monkeypatch.setattr(counts, "_left_alone_until", 0.0)
    settings.COUNTS_IN, settings.THROTTLE = "cache", "5/min"
    client = client_of(place.coach)
    assert client.get("/api/v1/club").status_code == 200
    assert client.post("/graphql", {"query": "{ club { name } }"}, format="json").json()["data"]
    assert Client().get("/api/v1/openapi").status_code == 200
    assert by_password("nobody", "guess").status_code == 401
    assert [client.get("/api/v1/club").status_code for _ in range(4)] == [200, 200, 200, 429]


@pytest.mark.django_db
@pytest.mark.parametrize(
    "header",
    [
        b"Bearer \xff\xfe",
        b"Bearer \x00",
        b"Basic \xff",
        b"Basic " + base64.b64encode(b"in\x00es:x"),
        b"Bearer a b",
    ],
)
def test_a_header_that_no_client_sends_is_a_refused_sign_in(header: bytes) -> None:
    client = APIClient(headers={"Authorization": header.decode("latin-1")})
    for method, path in [("GET", "/api/v1/clubs"), ("POST", "/api/v1/tokens"), ("POST", "/graphql")]:
        answer = client.generic(method, path, b"{}", content_type="application/json")
        assert answer.status_code == 401, answer.content


@pytest.mark.django_db
def test_no_cache_on_the_way_keeps_anybody_s_golf(place: Place) -> None:
    page = Client()
    page.force_login(place.coach.user)
    for answer in (
        client_of(place.coach).get("/api/v1/club"),
        client_of(place.coach).post("/graphql", {"query": "{ club { name } }"}, format="json"),
        page.get(f"/clubs/{place.club.slug}/"),
    ):
        assert answer.headers["Cache-Control"].startswith("private, no-")
        assert {"Authorization", "Cookie"} <= {one.strip() for one in answer.headers["Vary"].split(",")}
