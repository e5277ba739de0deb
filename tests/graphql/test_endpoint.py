"""The endpoint: who may ask, what it makes of other requests, masked errors, stored documents, pages."""

from __future__ import annotations

import base64
import datetime as dt
import json
from typing import Any

import pytest
from django.test import Client
from graphql import build_schema
from knox.models import AuthToken
from rest_framework.test import APIClient

from golfstats.doors.graphql.documents import document_id, documents
from golfstats.ground.clubs.models import Role
from golfstats.ground.walls.scope import club_scope
from players.people.models import Player, Squad, SquadPlayer
from tests import factories
from tests.graphql.asking import ADDRESS, ask, data, post, refusal
from tests.graphql.dashboards import fill_squad
from tests.players.conftest import Place, client_of
from tests.web.pages import Page

ME = "{ me { name role player { name } } }"


def test_nobody_asks_without_signing_in(place: Place) -> None:
    response = APIClient().post(ADDRESS, {"query": ME}, format="json")
    assert response.status_code == 401
    assert response.json()["type"] == "/problems/not-authenticated"


def test_an_access_token_of_rest_is_good_here(place: Place) -> None:
    _, token = AuthToken.objects.create(user=place.player_member.user)
    headers = {"Authorization": f"Bearer {token}"}
    answer = APIClient().post(ADDRESS, {"query": ME}, format="json", headers=headers).json()
    assert answer["data"]["me"] == {"name": "ines", "role": "player", "player": {"name": "Ines Aldana"}}


def test_a_session_needs_its_token_against_forgery(place: Place) -> None:
    client = APIClient(enforce_csrf_checks=True)
    client.force_login(place.coach.user)
    assert client.post(ADDRESS, {"query": ME}, format="json").status_code == 403


def test_the_club_is_named_as_in_rest(place: Place) -> None:
    other = factories.make_club("second-club")
    with club_scope(other.id):
        factories.Member.objects.create(club=other, user=place.coach.user, role=Role.MANAGER, name="coach")
    client = APIClient()
    client.force_authenticate(place.coach.user)
    unnamed = client.post(ADDRESS, {"query": ME}, format="json")
    assert (unnamed.status_code, unnamed.json()["type"]) == (400, "/problems/club-not-chosen")
    unknown = client.post(ADDRESS, {"query": ME}, format="json", headers={"Club": "elsewhere"})
    assert unknown.status_code == 404
    named = client.post(ADDRESS, {"query": ME}, format="json", headers={"Club": "second-club"})
    assert named.json()["data"]["me"]["role"] == "manager"


@pytest.mark.parametrize(
    ("body", "kind"),
    [
        ({}, "no-document"),
        ({"query": ""}, "no-document"),
        ({"query": ME, "operationName": "Missing"}, "no-such-operation"),
        ({"documentId": "sha256:0"}, "unknown-document"),
        ({"query": ME, "surprise": 1}, "invalid-request"),
        ([{"query": ME}], "invalid-request"),
    ],
)
def test_what_is_no_question_is_a_problem_of_rest(place: Place, body: Any, kind: str) -> None:
    response = post(place.coach, body)
    assert response.status_code in {400, 422}
    assert response.json()["type"] == f"/problems/{kind}"


def test_a_get_changes_nothing_and_shows_no_explorer(place: Place) -> None:
    response = client_of(place.coach).get(ADDRESS, {"query": ME}, headers={"Accept": "application/json"})
    assert response.status_code == 405


def test_what_was_not_foreseen_is_masked_and_logged_under_its_id(
    place: Place, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def fail(*_: object) -> None:
        raise RuntimeError("password in the clear")

    monkeypatch.setattr("players.club.answers.club_of", fail)
    response = post(place.coach, {"query": "{ me { name } club { name } }"})
    (error,) = response.json()["errors"]
    assert "password" not in response.content.decode()
    request_id = error["extensions"]["request_id"]
    assert request_id in error["message"]
    assert response.headers["X-Request-Id"] == request_id
    assert request_id in caplog.text
    assert "password in the clear" in caplog.text


def test_faults_of_the_document_and_its_variables_are_told_as_they_are(place: Place) -> None:
    """The trap: masking everything hides what a client can put right."""
    assert "Syntax Error" in refusal(place.coach, "{ me { name ")["message"]
    query = "query Q($id: UUID!) { player(id: $id) { name } }"
    assert "$id" in refusal(place.coach, query)["message"]
    assert "$id" in refusal(place.coach, query, id="not an id")["message"]
    assert "logged" not in refusal(place.coach, '{ player(id: "not an id") { name } }')["message"]


def test_a_stored_document_is_answered_by_its_id(place: Place, settings: Any) -> None:
    settings.GRAPHQL = settings.GRAPHQL | {"PERSISTED_ONLY": True}
    (dashboard,) = [text for text in documents().values() if "CoachDashboard" in text]
    body = {"documentId": document_id(dashboard), "variables": {"squad": str(place.squad.id)}}
    answer = post(place.coach, body).json()
    assert answer["data"]["squad"]["players"]["edges"][0]["node"]["name"] == "Ines Aldana"
    refused = post(place.coach, {"query": ME})
    assert refused.json()["type"] == "/problems/persisted-only"


def test_pages_follow_one_another_without_loss_while_rows_are_added(place: Place) -> None:
    with club_scope(place.club.id):
        for day in range(1, 6):
            factories.make_round(place.coach, place.player, dt.date(2026, 6, day))
        factories.make_round(place.coach, place.player, dt.date(2026, 6, 3))  # two on one day
    query = """query Q($id: UUID!, $after: String) { player(id: $id) {
      rounds(first: 2, after: $after) { pageInfo { hasNextPage hasPreviousPage endCursor } edges { node { id playedOn } } }
    } }"""
    seen: list[dict[str, str]] = []
    after = None
    while True:
        found = data(place.coach, query, id=str(place.player.id), after=after)["player"]["rounds"]
        assert found["pageInfo"]["hasPreviousPage"] is (after is not None)
        seen += [edge["node"] for edge in found["edges"]]
        after = found["pageInfo"]["endCursor"]
        if not found["pageInfo"]["hasNextPage"]:
            break
        with club_scope(place.club.id):
            factories.make_round(place.coach, place.player, dt.date(2026, 6, 20))  # newer than every page
    assert [one["playedOn"][-2:] for one in seen] == ["05", "04", "03", "03", "02", "01"]
    assert len({one["id"] for one in seen}) == 6


@pytest.mark.parametrize("first", [0, -1, 101])
def test_a_page_has_1_to_100_rows(place: Place, first: int) -> None:
    error = refusal(place.coach, f"{{ players(first: {first}) {{ edges {{ cursor }} }} }}")
    assert error["extensions"]["errors"][0]["pointer"] == "/first"


@pytest.mark.parametrize(
    "cursor",
    [
        "nonsense",
        "e30=",
        base64.b64encode(json.dumps(["x"]).encode()).decode(),
        "W251bGwsbnVsbF0=",
        "WyJhIiwiYlx1MDAwMCJd",
    ],
)
def test_a_made_up_cursor_is_refused(place: Place, cursor: str) -> None:
    error = refusal(place.coach, f'{{ players(after: "{cursor}") {{ edges {{ cursor }} }} }}')
    assert error["extensions"]["errors"][0]["code"] == "not_a_cursor"


def test_errors_of_one_field_leave_the_others_of_a_query(place: Place) -> None:
    query = "query Q($id: UUID!) { me { name } player(id: $id) { name } }"
    answer = ask(place.coach, query, id=str(place.other_player.id))
    assert answer["data"] == {"me": {"name": "coach"}, "player": None}


NATURAL = """{ squads { edges { node { name players { edges { node { name
  trends { trends { name now { value words } } }
} } } } } } }"""
PLAIN, OWN_TYPE = "application/json", "application/graphql-response+json"


def accepting(place: Place, media_type: str, query: str) -> Any:
    return client_of(place.coach).post(
        ADDRESS, {"query": query}, format="json", headers={"Accept": media_type}
    )


def test_what_was_asked_costs_is_told(place: Place) -> None:
    told = ask(place.coach, "{ players(first: 3) { edges { node { name } } } }")["extensions"]
    assert told == {"cost": 1 + 3 * 3, "maximum_cost": 50_000}


def test_squads_with_players_and_trends_need_no_page_sizes_in_a_club_of_twelve(place: Place) -> None:
    """By the pages asked for it would be 20 × 20 players; there are four squads and 14 players."""
    fill_squad(place, 12, 1)
    with club_scope(place.club.id):
        for name in ("Seniors", "Juniors"):
            squad = Squad.objects.create(name=name)
            players = Player.objects.filter(name__contains=" of 12")
            SquadPlayer.objects.bulk_create(SquadPlayer(squad=squad, player=player) for player in players)
    answer = ask(place.manager, NATURAL)
    assert "errors" not in answer
    squads = [edge["node"]["players"]["edges"] for edge in answer["data"]["squads"]["edges"]]
    assert [len(players) for players in squads] == [1, 12, 12, 12]
    assert all(edge["node"]["trends"]["trends"] for players in squads for edge in players)
    assert answer["extensions"]["cost"] < 50_000


def test_a_refusal_for_cost_names_the_field_and_the_remedy(place: Place, settings: Any) -> None:
    settings.GRAPHQL = settings.GRAPHQL | {"MAX_COST": 500}
    told = refusal(place.coach, NATURAL)["extensions"]
    assert told["dearest_field"] == "squads.edges.node.players.edges.node.trends"
    assert 500 < told["dearest_cost"] < told["requested_cost"]
    assert "fewer figures (keys" in told["detail"]


@pytest.mark.parametrize(
    "query", ["{ me { nam } }", "{ me ", "query Q($n: Int!) { players(first: $n) { edges { cursor } } }"]
)
def test_faults_of_a_document_have_a_type_and_a_status(place: Place, query: str) -> None:
    assert refusal(place.coach, query)["extensions"] == {"type": "/problems/invalid-document", "status": 400}


def test_the_media_type_of_graphql_over_http(place: Place) -> None:
    """GraphQL over HTTP, section 6: with its own type what cannot be executed is 400 and has no data; else 200."""
    good, bad = accepting(place, OWN_TYPE, ME), accepting(place, OWN_TYPE, "{ me { nam } }")
    assert (good.status_code, bad.status_code) == (200, 400)
    assert good.headers["Content-Type"] == bad.headers["Content-Type"] == OWN_TYPE
    assert good.json()["data"]["me"]["name"] == "coach"
    assert "data" not in bad.json()
    plain = accepting(place, PLAIN, "{ me { nam } }")
    assert (plain.status_code, plain.headers["Content-Type"], plain.json()["data"]) == (200, PLAIN, None)
    assert accepting(place, "*/*", ME).headers["Content-Type"] == PLAIN
    assert accepting(place, f"{OWN_TYPE}, {PLAIN};q=0.9", ME).headers["Content-Type"] == OWN_TYPE
    # What fails while it is executed has data, if only null.
    failed = accepting(place, OWN_TYPE, "{ players(first: 0) { edges { cursor } } }")
    assert (failed.status_code, failed.json()["data"]) == (200, None)


def test_the_schema_is_a_file_for_whoever_is_signed_in(place: Place) -> None:
    assert APIClient().get("/graphql/schema").status_code == 401
    response = client_of(place.player_member).get("/graphql/schema")
    assert response.headers["Content-Type"] == "text/plain; charset=utf-8"
    built = build_schema(response.content.decode())
    assert built.query_type is not None
    assert "squads" in built.query_type.fields


def test_the_explorer_loads_nothing_from_elsewhere(place: Place) -> None:
    client = Client()
    assert client.get("/clubs/larkmoor/explorer").status_code == 302
    client.force_login(place.player_member.user)
    page = Page.of(client.get("/clubs/larkmoor/explorer").content)
    assert page.inline == []
    assert all(address.startswith(("/", "#", "data:")) for address in page.addresses)
    question = page.text.partition("{")[2].partition("Variables")[0]
    assert "errors" not in ask(place.coach, "{" + question)
