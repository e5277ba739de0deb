"""Who may ask what about whom: whatever a person may not see is not found. And what an answer costs."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from golfstats.ground.clubs.models import Role
from golfstats.ground.walls.scope import club_scope
from players.coaching.models import Goal, PracticeNote
from players.people.models import SquadPlayer
from tests import factories
from tests.factories import make_player
from tests.players.coaching.seasons import play_season
from tests.players.conftest import Place, client_of

READS = [
    "/api/v1/players/{player}/trends?keys=gained.total,putts.round",
    "/api/v1/players/{player}/priorities?effects=0",
    "/api/v1/players/{player}/priorities?effects=1",
    "/api/v1/players/{player}/goals",
    "/api/v1/players/{player}/notes",
    "/api/v1/players/{player}/earlier-self?day=2026-05-01",
    "/api/v1/players/{player}/trials?tag=ball&a=x&b=y&outcome=travel",
]
DUE = "2090-01-01"
WRITES = {
    "/api/v1/players/{player}/goals": {"figure": "putts.round", "target": 30, "due_on": DUE},
    "/api/v1/players/{player}/notes": {"practised_on": "2026-01-02", "text": "x"},
}


@pytest.mark.parametrize("address", READS)
def test_a_players_questions_are_for_himself_his_coaches_and_managers(place: Place, address: str) -> None:
    there = address.format(player=place.player.id)
    for member in (place.player_member, place.coach, place.manager):
        assert client_of(member).get(there).status_code == 200, member
    for member in (place.other_member, place.greenkeeper):
        assert client_of(member).get(there).status_code == 404, member
    assert client_of(place.coach).get(address.format(player=place.other_player.id)).status_code == 404


@pytest.mark.parametrize("address", WRITES)
def test_writing_follows_the_same_rule(place: Place, address: str) -> None:
    there, body = address.format(player=place.player.id), WRITES[address]
    for member in (place.other_member, place.greenkeeper):
        assert client_of(member).post(there, body, format="json").status_code == 404
    with club_scope(place.club.id):
        assert not Goal.objects.exists()
        assert not PracticeNote.objects.exists()
    for member in (place.player_member, place.coach, place.manager):
        assert client_of(member).post(there, body, format="json").status_code == 201


def test_goals_of_others_are_not_found(place: Place) -> None:
    there = f"/api/v1/players/{place.player.id}/goals"
    goal = client_of(place.coach).post(there, next(iter(WRITES.values())), format="json").json()
    for member in (place.other_member, place.greenkeeper):
        assert client_of(member).get(f"/api/v1/goals/{goal['id']}").status_code == 404
        assert client_of(member).post(f"/api/v1/goals/{goal['id']}/close").status_code == 404
    with club_scope(place.club.id):
        assert Goal.objects.get().state == "open"


def test_another_club_finds_nothing(place: Place) -> None:
    with club_scope(place.club.id):
        goal = Goal.objects.create(player=place.player, figure="putts.round", target=30, due_on=DUE)
        note = PracticeNote.objects.create(player=place.player, practised_on="2026-01-02", text="x")
    other = factories.make_club("stonebarrow")
    with club_scope(other.id):
        client = client_of(factories.make_member(Role.MANAGER, "stranger"))
    for address in READS:
        assert client.get(address.format(player=place.player.id)).status_code == 404, address
    for address in (f"/api/v1/goals/{goal.id}", f"/api/v1/squads/{place.squad.id}/leaders?key=gained.total"):
        assert client.get(address).status_code == 404
    assert client.delete(f"/api/v1/notes/{note.id}").status_code == 404
    assert client.get("/api/v1/attention").json() == {"results": []}


def queries_of(client: Any, address: str) -> int:
    with CaptureQueriesContext(connection) as captured:
        response = client.get(address)
        assert response.status_code == 200, response.content
    return len(captured)


def test_the_number_of_queries_does_not_grow_with_rounds_and_goals(place: Place) -> None:
    client = client_of(place.coach)
    addresses = [address.format(player=place.player.id) for address in READS]

    def write() -> None:
        for address, body in WRITES.items():
            assert client.post(address.format(player=place.player.id), body, format="json").status_code == 201

    with club_scope(place.club.id):
        play_season(place.manager, place.player, 6)
    # Of a single goal it is remembered how it was told when it was set.
    write()
    write()
    few = [queries_of(client, address) for address in addresses]
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 12, seed=9)
    write()
    assert [queries_of(client, address) for address in addresses] == few
    # Priorities that the worker has not kept yet: three statements ask whether it has, and keep them then.
    assert max(few) <= 30


def test_the_number_of_queries_does_not_grow_with_players(place: Place) -> None:
    client = client_of(place.manager)
    leaders = f"/api/v1/squads/{place.squad.id}/leaders?key=gained.total"
    with club_scope(place.club.id):
        players = [place.player, place.other_player, *(make_player(f"Player {n}") for n in range(4))]
        for player in players[:2]:
            play_season(place.manager, player, 3)
    compare = "/api/v1/compare?keys=gained.total&players="
    two = [
        queries_of(client, compare + ",".join(str(p.id) for p in players[:2])),
        queries_of(client, leaders),
    ]
    with club_scope(place.club.id):
        for player in players[2:]:
            play_season(place.manager, player, 3)
            SquadPlayer.objects.create(squad=place.squad, player=player)
    six = [queries_of(client, compare + ",".join(str(p.id) for p in players)), queries_of(client, leaders)]
    assert six == two
