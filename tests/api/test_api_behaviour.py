"""What holds for the whole API: sign-in, unknown parameters, problems, limits, versions, pages."""

from __future__ import annotations

import base64
import datetime as dt
import itertools
import logging
import re
from typing import Any
from unittest import mock

import pytest
from django.core import signing
from django.urls import reverse
from rest_framework.test import APIClient

from golfstats.ground.clubs.models import Role, User
from golfstats.ground.walls.scope import club_scope
from players.rounds import answers, services
from players.rounds.models import Round
from tests import factories
from tests.players.conftest import Place, client_of

ROUNDS = "/api/v1/rounds"


def is_problem(response: Any, status: int, kind: str) -> dict[str, Any]:
    """Holds the answer to RFC 9457 and gives its body."""
    assert response.status_code == status, response.content
    assert response.headers["Content-Type"] == "application/problem+json"
    body: dict[str, Any] = response.json()
    assert (body["status"], body["type"]) == (status, f"/problems/{kind}")
    assert body["title"]
    assert body["instance"].startswith("/")
    return body


@pytest.mark.django_db
def test_wrong_token_and_wrong_password() -> None:
    wrong_token = APIClient(headers={"Authorization": "Bearer wrong"}).get("/api/v1/clubs")
    is_problem(wrong_token, 401, "authentication-failed")
    basic = base64.b64encode(b"ines:guess").decode()
    answer = APIClient(headers={"Authorization": f"Basic {basic}"}).post("/api/v1/tokens")
    is_problem(answer, 401, "authentication-failed")


@pytest.mark.django_db
def test_a_token_signs_in_until_it_is_ended() -> None:
    User.objects.create_user("ines", password="a long password")
    basic = base64.b64encode(b"ines:a long password").decode()
    token = APIClient(headers={"Authorization": f"Basic {basic}"}).post("/api/v1/tokens").json()["token"]
    client = APIClient(headers={"Authorization": f"Bearer {token}"})
    assert client.get("/api/v1/clubs").json() == {"results": []}
    assert client.delete("/api/v1/tokens/present").status_code == 204
    is_problem(client.get("/api/v1/clubs"), 401, "authentication-failed")


@pytest.mark.django_db
def test_nothing_sent_as_a_form_is_as_good_as_nothing_sent() -> None:
    """As ``urllib`` of Python's standard library and ``curl -d ""`` send it."""
    User.objects.create_user("ines", password="a long password")
    basic = base64.b64encode(b"ines:a long password").decode()
    client = APIClient(headers={"Authorization": f"Basic {basic}"})
    assert client.post("/api/v1/tokens", CONTENT_TYPE="application/x-www-form-urlencoded").status_code == 201


@pytest.mark.django_db
def test_404_for_an_address_that_is_none() -> None:
    is_problem(APIClient().get("/api/v1/nothing"), 404, "not-found")
    is_problem(APIClient().get("/api/v1/rounds/not-an-id"), 404, "not-found")


def test_405_names_what_is_allowed(place: Place) -> None:
    response = client_of(place.manager).delete("/api/v1/players")
    is_problem(response, 405, "method-not-allowed")
    assert {"GET", "POST"} <= set(response.headers["Allow"].split(", "))


def test_406_for_a_form_that_is_not_spoken(place: Place) -> None:
    client = client_of(place.manager)
    is_problem(client.get("/api/v1/players", headers={"Accept": "image/png"}), 406, "not-acceptable")


def test_403_is_a_problem(place: Place) -> None:
    is_problem(client_of(place.player_member).post("/api/v1/squads", {"name": "Mine"}), 403, "not-allowed")


def test_413_whether_the_size_is_told_or_not(place: Place) -> None:
    client = client_of(place.player_member)
    response = client.generic("POST", ROUNDS, b" " * (6 * 1024 * 1024), content_type="application/json")
    is_problem(response, 413, "too-large")


def test_415_for_a_body_that_is_no_round(place: Place) -> None:
    response = client_of(place.player_member).generic("POST", ROUNDS, b"x", content_type="image/png")
    is_problem(response, 415, "unsupported-media-type")


@pytest.mark.parametrize("text", ["\\u0000", "a\\u0000b"])
@pytest.mark.parametrize("field", ["player", "course", "note", "x"])
def test_422_for_text_that_cannot_be_stored(place: Place, field: str, text: str) -> None:
    body = '{"' + field + '": "' + text + '"}'
    response = client_of(place.manager).generic("POST", ROUNDS, body, content_type="application/json")
    errors = is_problem(response, 422, "invalid-request")["errors"]
    assert {"pointer": f"/{field}", "code": "not_text", "detail": "text has no NUL character"} in errors


@pytest.mark.parametrize(("opened", "closed"), [("[", "]"), ('{"a":', "}")])
@pytest.mark.parametrize("depth", [900, 1500, 20_000])
def test_bodies_deeper_than_anything(place: Place, opened: str, closed: str, depth: int) -> None:
    for wrapper in ("%s", '{"note": %s}'):
        body = wrapper % (opened * depth + "1" + closed * depth)
        response = client_of(place.manager).generic("POST", ROUNDS, body, content_type="application/json")
        assert response.status_code in (400, 422)


def test_422_for_a_nul_in_the_notation(place: Place) -> None:
    text = "course: Long course\ntee: White\ndate: 2026-06-14\nnote: a\0b\n1 =4"
    response = client_of(place.manager).generic("POST", ROUNDS, text, content_type="text/plain")
    assert is_problem(response, 422, "invalid-request")["errors"][0]["pointer"] == "/note"


def test_a_browser_gets_a_page_and_not_a_problem_to_download(place: Place) -> None:
    client = client_of(place.manager)
    for address, status in (("/api/v1/players", 200), ("/api/v1/players?colour=blue", 422)):
        response = client.get(address, headers={"Accept": "text/html"})
        assert (response.status_code, response.headers["Content-Type"]) == (
            status,
            "text/html; charset=utf-8",
        )


class TestServerErrors:
    def test_500_tells_a_request_id_and_nothing_else(
        self, place: Place, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
    ) -> None:
        def fail(*args: object) -> None:
            raise RuntimeError("the secret of the machine room")

        monkeypatch.setattr(answers, "visible_rounds", fail)
        client = client_of(place.manager)
        client.raise_request_exception = False
        with caplog.at_level(logging.ERROR):
            response = client.get(f"{ROUNDS}?sort=played_on")
        body = is_problem(response, 500, "internal-error")
        assert "secret" not in response.content.decode()
        assert "Traceback" not in response.content.decode()
        (record,) = [one for one in caplog.records if body["request_id"] in one.getMessage()]
        assert record.exc_info
        assert "secret of the machine room" in str(record.exc_info[1])

    def test_a_broken_write_leaves_nothing(self, place: Place, monkeypatch: pytest.MonkeyPatch) -> None:
        def fail(*args: object) -> None:
            raise RuntimeError

        monkeypatch.setattr(services, "_ask_for_analysis", fail)
        client = client_of(place.player_member)
        client.raise_request_exception = False
        assert client.post(ROUNDS, factories.round_body(), format="json").status_code == 500
        with club_scope(place.club.id):
            assert not Round.objects.exists()


class TestThrottle:
    def test_429_says_when_to_come_back(self, place: Place, settings: Any) -> None:
        settings.THROTTLE = "2/min"
        codes = [client_of(place.coach).get("/api/v1/club").status_code for _ in range(2)]
        response = client_of(place.coach).get("/api/v1/club")
        other = client_of(place.manager).get("/api/v1/club")
        assert codes == [200, 200]
        is_problem(response, 429, "throttled")
        assert 1 <= int(response.headers["Retry-After"]) <= 61
        assert other.status_code == 200

    @pytest.mark.django_db
    def test_passwords_are_not_guessed_for_long(self) -> None:
        def guess(name: str) -> Any:
            basic = base64.b64encode(f"{name}:guess".encode()).decode()
            return APIClient(headers={"Authorization": f"Basic {basic}"}).post("/api/v1/tokens")

        with mock.patch("django.contrib.auth.backends.ModelBackend.authenticate", return_value=None):
            codes = [guess(f"ines{number}").status_code for number in range(32)]
            last = guess("ines")
        assert codes == [401] * 30 + [429] * 2
        is_problem(last, 429, "throttled")
        assert "Retry-After" in last.headers


class TestVersions:
    @pytest.fixture
    def address(self, place: Place) -> str:
        with club_scope(place.club.id):
            round_ = factories.make_round(place.player_member, place.player)
        return reverse("round", args=[round_.id])

    def test_a_change_of_what_was_changed_meanwhile_is_refused(self, place: Place, address: str) -> None:
        client = client_of(place.player_member)
        tag = client.get(address).headers["ETag"]
        first = client.patch(address, {"ball": "soft"}, format="json", headers={"If-Match": tag})
        assert first.status_code == 200
        for method in ("patch", "put", "delete"):
            response = getattr(client, method)(address, {}, format="json", headers={"If-Match": tag})
            is_problem(response, 412, "changed-meanwhile")
            assert response.headers["ETag"] == first.headers["ETag"] != tag
        assert client.get(address).json()["round"]["ball"] == "soft"

    @pytest.mark.parametrize("given", ["*", '"7", "1"', '"1"'])
    def test_forms_of_if_match(self, place: Place, address: str, given: str) -> None:
        """RFC 9110, 13.1.1: any version, or one of several."""
        response = client_of(place.player_member).delete(address, headers={"If-Match": given})
        assert response.status_code == 204

    @pytest.mark.parametrize("given", ['W/"1"', "1", '"7"', "nonsense"])
    def test_what_matches_nothing(self, place: Place, address: str, given: str) -> None:
        """RFC 9110, 13.1.1: a weak tag never matches."""
        response = client_of(place.player_member).delete(address, headers={"If-Match": given})
        is_problem(response, 412, "changed-meanwhile")


class TestPages:
    @pytest.fixture
    def five_rounds(self, place: Place) -> list[str]:
        """Newest first; three of them on one day, which a cursor has to tell apart."""
        days = [dt.date(2026, 6, day) for day in (1, 2, 2, 2, 3)]
        with club_scope(place.club.id):
            rounds = [factories.make_round(place.player_member, place.player, day) for day in days]
        return [str(round_.id) for round_ in reversed(rounds)]

    def walk(self, place: Place, address: str | None, link: str = "next", between: Any = None) -> list[str]:
        client, found = client_of(place.player_member), []
        while address:
            page = client.get(address).json()
            rows = [row["id"] for row in page["results"]]
            found += rows if link == "next" else rows[::-1]
            address = page[link]
            if between is not None:
                between()
        return found

    @pytest.mark.parametrize("size", [1, 2, 3, 5])
    def test_pages_are_the_list(self, place: Place, five_rounds: list[str], size: int) -> None:
        assert self.walk(place, f"{ROUNDS}?page_size={size}") == five_rounds

    def test_pages_backwards(self, place: Place, five_rounds: list[str]) -> None:
        client = client_of(place.player_member)
        address: str = f"{ROUNDS}?page_size=2"
        while following := client.get(address).json()["next"]:
            address = following
        assert self.walk(place, address, "previous") == five_rounds[::-1]

    @pytest.mark.parametrize("day", [1, 2, 3])
    def test_rounds_added_meanwhile_neither_repeat_nor_hide_one(
        self, place: Place, five_rounds: list[str], day: int
    ) -> None:
        def add() -> None:
            with club_scope(place.club.id):
                factories.make_round(place.player_member, place.player, dt.date(2026, 6, day))

        found = self.walk(place, f"{ROUNDS}?page_size=1&played_to=2026-06-02", between=self.once(add))
        wanted = [one for one in five_rounds if one != five_rounds[0]]
        assert [one for one in found if one in five_rounds] == wanted
        assert len(set(found)) == len(found)

    def once(self, do: Any) -> Any:
        """Only after the first two pages, so that the walk ends."""
        left = iter([do, do])

        def between() -> None:
            for one in itertools.islice(left, 1):
                one()

        return between

    def test_a_deleted_round_does_not_lose_the_place(self, place: Place, five_rounds: list[str]) -> None:
        client = client_of(place.player_member)
        page = client.get(f"{ROUNDS}?page_size=2").json()
        client.delete(reverse("round", args=[five_rounds[1]]), headers={"If-Match": "*"})
        assert self.walk(place, page["next"]) == five_rounds[2:]

    @pytest.mark.parametrize(
        "cursor",
        [
            pytest.param("", id="empty"),
            pytest.param("nonsense", id="nonsense"),
            pytest.param("%00", id="nul"),
            pytest.param(base64.b64encode(b"p=yesterday").decode(), id="no date"),
            pytest.param(base64.b64encode(b"o=-1&p=2026-06-02").decode(), id="offset"),
            pytest.param(signing.dumps(["next", ["2026-06-02", "0"]]), id="signed for something else"),
            pytest.param(signing.dumps(["next", ["x"]], salt="players.Player:name,id"), id="another list"),
        ],
    )
    def test_made_up_cursors_are_refused(self, place: Place, cursor: str) -> None:
        response = client_of(place.player_member).get(f"{ROUNDS}?cursor={cursor}")
        assert is_problem(response, 422, "invalid-request")["errors"][0]["pointer"] == "/cursor"

    def test_a_changed_cursor_is_refused(self, place: Place, five_rounds: list[str]) -> None:
        client = client_of(place.player_member)
        page = client.get(f"{ROUNDS}?page_size=2").json()
        assert [row["id"] for row in page["results"]] == five_rounds[:2]
        address: str = page["next"]
        (cursor,) = re.findall(r"cursor=([^&]+)", address)
        for place_ in range(0, len(cursor), 7):
            other = "A" if cursor[place_] != "A" else "B"
            changed = address.replace(cursor, cursor[:place_] + other + cursor[place_ + 1 :])
            is_problem(client.get(changed), 422, "invalid-request")

    @pytest.mark.parametrize("size", ["0", "-1", "201", "ten", "1e2", "99999999999999999999", "\u00b2"])
    def test_sizes_that_are_none(self, place: Place, size: str) -> None:
        response = client_of(place.player_member).get(f"{ROUNDS}?page_size={size}")
        assert is_problem(response, 422, "invalid-request")["errors"][0]["pointer"] == "/page_size"


@pytest.mark.parametrize("key", ["", "x" * 201, "a\tb", "schlüssel"])
def test_idempotency_keys_that_are_none(place: Place, key: str) -> None:
    headers = {"Idempotency-Key": key.encode().decode("latin-1")}
    response = client_of(place.player_member).post(
        ROUNDS, factories.round_body(), format="json", headers=headers
    )
    is_problem(response, 400, "bad-idempotency-key")


def test_a_key_used_for_another_request_is_refused(place: Place) -> None:
    client = client_of(place.player_member)
    headers = {"Idempotency-Key": "today"}
    assert client.post(ROUNDS, factories.round_body(), format="json", headers=headers).status_code == 201
    other = client.post(ROUNDS, factories.round_body(ball="soft"), format="json", headers=headers)
    is_problem(other, 422, "idempotency-key-reused")


def test_a_key_belongs_to_its_member(place: Place) -> None:
    headers = {"Idempotency-Key": "today"}
    for member in (place.player_member, place.other_member):
        response = client_of(member).post(ROUNDS, factories.round_body(), format="json", headers=headers)
        assert response.status_code == 201
    assert place.other_member.role == Role.PLAYER
