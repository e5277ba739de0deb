"""What a repetition under an ``Idempotency-Key`` is answered, whatever was sent."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest

from golfstats.doors.rest.http.bodies import with_length
from golfstats.ground.walls.scope import club_scope
from players.rounds.models import Round
from tests import factories
from tests.api.test_api_behaviour import is_problem
from tests.players.conftest import Place, client_of

ROUNDS = "/api/v1/rounds"
KEY = {"Idempotency-Key": "the fourth of June"}
TEXT = "course: Long course\ntee: White\ndate: 2026-06-14\nsection: front\n" + "\n".join(
    f"{hole} ={score}" for hole, score in enumerate((4, 4, 4, 4, 4, 4, 4, 4, 4), start=1)
)
NAMES = ["player", "course", "tee", "played_on", "section", *(f"score_{hole}" for hole in range(1, 10))]
ROUND = ["Ines Aldana", "Long course", "White", "2026-06-14", "front", *"444444444"]
FORM = (
    '--part\r\nContent-Disposition: form-data; name="kind"\r\n\r\nscores\r\n'
    '--part\r\nContent-Disposition: form-data; name="file"; filename="a.csv"\r\n\r\n'
    f"{','.join(NAMES)}\r\n{','.join(ROUND)}\r\n--part--\r\n"
)
BODIES: dict[str, tuple[str, str, str]] = {
    "JSON": (ROUNDS, "application/json", json.dumps(factories.round_body())),
    "text": (ROUNDS, "text/plain", TEXT),
    "text with a charset": (ROUNDS, "text/plain; charset=utf-8", TEXT),
    "a form": ("/api/v1/imports", "multipart/form-data; boundary=part", FORM),
}


def others(text: str) -> str:
    return text.replace("2026-06-14", "2026-06-13", 1)


@pytest.mark.parametrize("kind", BODIES)
def test_the_same_again_is_answered_again_and_says_so(place: Place, kind: str) -> None:
    address, content_type, body = BODIES[kind]
    client = client_of(place.manager if kind == "a form" else place.player_member)
    first, again = (
        client.generic("POST", address, body, content_type=content_type, headers=KEY) for _ in range(2)
    )
    assert first.status_code in (201, 202), first.content
    assert "Idempotency-Replayed" not in first.headers
    assert (again.status_code, again.content) == (first.status_code, first.content)
    assert again.headers["Idempotency-Replayed"] == "true"


@pytest.mark.parametrize("kind", BODIES)
def test_something_else_under_the_key_is_refused(place: Place, kind: str) -> None:
    address, content_type, body = BODIES[kind]
    client = client_of(place.manager if kind == "a form" else place.player_member)
    assert client.generic("POST", address, body, content_type=content_type, headers=KEY).status_code < 300
    other = others(body)
    assert other != body
    is_problem(
        client.generic("POST", address, other, content_type=content_type, headers=KEY),
        422,
        "idempotency-key-reused",
    )


def in_chunks(place: Place, text: str) -> Any:
    """Posted as gunicorn hands on a body that came in chunks: without its length, but with an end."""
    client = client_of(place.player_member)
    answer = client.handler
    with_its_length = with_length(lambda environ, _: answer(environ))
    client.handler = lambda environ: with_its_length(environ, None)
    body = {"wsgi.input": io.BytesIO(text.encode()), "wsgi.input_terminated": True, "CONTENT_LENGTH": ""}
    return client.generic("POST", ROUNDS, content_type="text/plain", headers=KEY, **body)


def test_a_body_in_chunks_is_one_as_well(place: Place) -> None:
    first, again, other = (in_chunks(place, text) for text in (TEXT, TEXT, others(TEXT)))
    assert first.status_code == 201, first.content
    assert first.json()["score"] == 36
    assert again.content == first.content
    is_problem(other, 422, "idempotency-key-reused")


def test_a_key_does_not_lead_to_what_was_deleted(place: Place) -> None:
    client = client_of(place.player_member)

    def post() -> Any:
        return client.post(ROUNDS, factories.round_body(), format="json", headers=KEY)

    address = post().headers["Location"]
    assert client.delete(address, headers={"If-Match": "*"}).status_code == 204
    is_problem(post(), 410, "gone")
    with club_scope(place.club.id):
        assert not Round.objects.exists()


def test_a_key_does_not_tell_again_of_whom_one_looks_after_no_more(place: Place) -> None:
    coach = client_of(place.coach)
    body = factories.round_body(place.player)
    address = coach.post(ROUNDS, body, format="json").headers["Location"]

    def correct() -> Any:
        return coach.put(address, body, format="json", headers=KEY | {"If-Match": "*"})

    assert [correct().status_code for _ in range(2)] == [200, 200]
    squad = f"/api/v1/squads/{place.squad.id}"
    assert client_of(place.manager).patch(squad, {"players": []}, format="json").status_code == 200
    is_problem(correct(), 404, "not-found")


@pytest.mark.parametrize("door", ["graphql", "rest"])
def test_what_names_no_row_is_told_again_while_all_then_in_sight_still_are(place: Place, door: str) -> None:
    coach = client_of(place.coach)
    address = coach.post(ROUNDS, factories.round_body(place.player), format="json").headers["Location"]
    mutation = f"""mutation {{ analyseRoundAgain(id: "{address.rpartition("/")[2]}") {{ score player {{ name }} }} }}"""

    def analyse() -> Any:
        if door == "graphql":
            return coach.post("/graphql", {"query": mutation}, format="json", headers=KEY)
        return coach.post(f"{address}/analyse", headers=KEY)

    first, again = analyse(), analyse()
    assert b"Ines Aldana" in first.content
    assert again.content == first.content
    squad = f"/api/v1/squads/{place.squad.id}"
    assert client_of(place.manager).patch(squad, {"players": []}, format="json").status_code == 200
    is_problem(analyse(), 410, "gone")


def test_what_graphql_reads_under_a_key_is_read_anew(place: Place) -> None:
    coach = client_of(place.coach)
    asked = {"query": f'{{ player(id: "{place.player.id}") {{ name }} }}'}

    def read() -> Any:
        return coach.post("/graphql", asked, format="json", headers=KEY).json()["data"]["player"]

    assert read() == {"name": "Ines Aldana"}
    squad = f"/api/v1/squads/{place.squad.id}"
    assert client_of(place.manager).patch(squad, {"players": []}, format="json").status_code == 200
    assert read() is None
