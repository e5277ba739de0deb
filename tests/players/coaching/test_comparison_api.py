"""Players side by side, a player and his earlier self, and a squad's leaders."""

from __future__ import annotations

import pytest

from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.ground.walls.scope import club_scope
from players.people.models import SquadPlayer
from players.rounds import services as posting
from players.rounds.input import RoundInput
from tests.factories import make_player
from tests.players.coaching.seasons import days_of, play_season, season_bodies
from tests.players.conftest import Place, client_of

ROUNDS = 16


@pytest.fixture
def squad_of_three(place: Place) -> Place:
    """Ines plays to 2, Tomas to 20, and Nobody has not played."""
    with club_scope(place.club.id):
        play_season(place.manager, place.player, ROUNDS, golfer_of_handicap(2.0), seed=1)
        play_season(place.manager, place.other_player, ROUNDS, golfer_of_handicap(20.0), seed=2)
        nobody = make_player("Anne Nobody")
        for player in (place.other_player, nobody):
            SquadPlayer.objects.create(squad=place.squad, player=player)
    return place


def test_the_better_player_is_likely_better(squad_of_three: Place) -> None:
    place = squad_of_three
    query = {"players": f"{place.player.id},{place.other_player.id}", "keys": "gained.total,putts.round"}
    response = client_of(place.coach).get("/api/v1/compare", query)
    assert response.status_code == 200, response.content
    total, putts = response.json()["figures"]
    assert total["values"][0]["value"] > total["values"][1]["value"]
    (pair,) = total["pairs"]
    assert pair["chance_first_better"]["value"] > 0.99
    assert pair["chance_first_better"]["words"] == "99%"
    assert pair["words"] == "Ines Aldana: 99% likely better than Tomas Rehn"
    assert pair["difference"]["low"] > 0
    assert putts["better"] == "lower"
    turned = {"players": f"{place.other_player.id},{place.player.id}", "keys": "gained.total"}
    (other_way,) = client_of(place.coach).get("/api/v1/compare", turned).json()["figures"][0]["pairs"]
    assert other_way["difference"]["value"] == pytest.approx(-pair["difference"]["value"])


def test_leaders_of_a_squad(squad_of_three: Place) -> None:
    place = squad_of_three
    address = f"/api/v1/squads/{place.squad.id}/leaders"
    table = client_of(place.coach).get(address, {"key": "gained.total"}).json()
    assert [(one["player"]["name"], one["rank"]) for one in table["standings"]] == [
        ("Ines Aldana", 1),
        ("Tomas Rehn", 2),
        ("Anne Nobody", None),
    ]
    assert table["standings"][2]["figure"]["words"].startswith("too few")
    assert client_of(place.player_member).get(address, {"key": "gained.total"}).status_code == 404
    assert client_of(place.coach).get(address, {"key": "nothing"}).status_code == 422


def test_a_player_and_his_earlier_self(place: Place) -> None:
    before = season_bodies(place.player, ROUNDS, golfer_of_handicap(20.0), seed=1)[: ROUNDS // 2]
    since = season_bodies(place.player, ROUNDS, golfer_of_handicap(2.0), seed=2)[ROUNDS // 2 :]
    with club_scope(place.club.id):
        posting.post_rounds(place.manager, [RoundInput.model_validate(body) for body in before + since])
    query = {"day": days_of(ROUNDS)[ROUNDS // 2].isoformat(), "keys": "gained.total"}
    found = (
        client_of(place.player_member).get(f"/api/v1/players/{place.player.id}/earlier-self", query).json()
    )
    (figure,) = found["figures"]
    assert figure["before"]["n"] == figure["since"]["n"] == 18 * ROUNDS // 2
    assert figure["comparison"]["chance_first_better"]["value"] > 0.99


@pytest.mark.parametrize("players", ["", "x,y", "one"])
def test_players_must_be_two_different_ids(place: Place, players: str) -> None:
    one = str(place.player.id)
    query = {"players": players.replace("one", f"{one},{one}")}
    assert client_of(place.coach).get("/api/v1/compare", query).status_code == 422


def test_comparing_with_a_player_outside_the_squad_is_not_found(place: Place) -> None:
    query = {"players": f"{place.player.id},{place.other_player.id}"}
    assert client_of(place.coach).get("/api/v1/compare", query).status_code == 404


def test_a_squad_without_players_has_an_empty_table_and_many_figures_are_refused(place: Place) -> None:
    with club_scope(place.club.id):
        SquadPlayer.objects.all().delete()
    address = f"/api/v1/squads/{place.squad.id}/leaders"
    assert client_of(place.coach).get(address, {"key": "putts.round"}).json()["standings"] == []
    keys = ",".join(["putts.round"] * 13)
    address = f"/api/v1/players/{place.player.id}/trends"
    assert client_of(place.player_member).get(address, {"keys": keys}).status_code == 422
