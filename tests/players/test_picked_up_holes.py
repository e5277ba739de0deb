"""A ball picked up stays in the strokes gained, and every reading says that its end is an estimate."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from golfstats.ground.clubs.models import Club
from golfstats.ground.walls.scope import club_scope
from players.conditions import analysis
from players.rounds.models import PlayedHole, Round
from tests import factories
from tests.players.conftest import Place, client_of

PICKED_UP = [
    {"lie": "tee", "distance": 390, "penalty_strokes": 1, "penalty_kind": "stroke_and_distance"},
    {"lie": "tee", "distance": 390},
    {"lie": "rough", "distance": 180},
    {"lie": "sand", "distance": 20},
]


@pytest.fixture
def rounds(place: Place) -> list[Round]:
    """Three rounds whose first hole was picked up, with the most likely score in the first of them only."""
    with club_scope(place.club.id):
        made = []
        for day, score in (("2026-06-01", {"score": 9}), ("2026-06-02", {}), ("2026-06-03", {})):
            body = factories.round_body(place.player, played_on=day)
            body["holes"][0] = {"number": 1, "picked_up": True, "shots": PICKED_UP, **score}
            answer = client_of(place.player_member).post("/api/v1/rounds", body, format="json")
            assert answer.status_code == 201, answer.content
            made.append(Round.objects.get(id=answer.json()["id"]))
        analysis.analyse_pending()
    return made


def read(place: Place, path: str, **query: Any) -> Any:
    answer = client_of(place.coach).get(f"/api/v1/{path}", query)
    assert answer.status_code == 200, answer.content
    return answer.json()


def test_the_hole_is_covered_and_adds_up_to_its_most_likely_score(place: Place, rounds: list[Round]) -> None:
    answer = read(place, f"rounds/{rounds[0].id}/analysis")
    hole = answer["holes"][0]
    assert hole["covered"]
    assert hole["strokes_gained"] == pytest.approx(hole["expected_from_tee"] - 9)
    assert sum(shot["strokes_gained"] for shot in hole["shots"]) == pytest.approx(hole["strokes_gained"])
    assert hole["words"].endswith(
        "9.00 taken and still likely (picked up) = " + hole["words"].split(" = ")[1]
    )
    assert "4.00 still likely (picked up)" in hole["shots"][-1]["words"]
    assert answer["total"]["holes_covered"] == 18
    assert answer["total"]["words"].endswith(
        "On 1 of them the ball was picked up and the end is an estimate."
    )


def test_the_rounds_page_shows_it(place: Place, rounds: list[Round]) -> None:
    client = Client()
    client.force_login(place.player_member.user)
    for page in (f"rounds/{rounds[0].id}", ""):
        answer = client.get(f"/clubs/{place.club.slug}/{page}")
        assert answer.status_code == 200
        assert "picked up" in answer.content.decode()


def test_without_a_score_two_more_are_likely_from_a_bunker_shot(place: Place, rounds: list[Round]) -> None:
    """Rules of Handicapping 3.3: two or three from within 20 yards; five strokes were taken."""
    with club_scope(place.club.id):
        assert PlayedHole.objects.get(round=rounds[1], number=1).score == 7


def test_figures_say_how_many_holes_were_estimated(place: Place, rounds: list[Round]) -> None:
    gained = read(place, f"players/{place.player.id}/summary")["strokes_gained"]["total"]
    assert gained["n"] == 54
    assert gained["words"].endswith("54 holes, 3 holes picked up and estimated")
    to_par = read(place, f"players/{place.player.id}/figures", keys="score.to_par")["figures"][0]
    assert to_par["words"].endswith("54 holes, 3 holes picked up and estimated")


@pytest.mark.parametrize("measured_by", ["peer", "handicap:12", "professional"])
def test_no_door_stumbles_over_it(place: Place, rounds: list[Round], measured_by: str) -> None:
    with club_scope(place.club.id):
        Club.objects.update(benchmark=measured_by)
        analysis.analyse_rounds([round_.id for round_ in rounds])
    client = client_of(place.coach)
    player = f"/api/v1/players/{place.player.id}"
    for address in (
        f"/api/v1/rounds/{rounds[0].id}/analysis",
        f"/api/v1/rounds/{rounds[0].id}",
        f"{player}/summary",
        f"{player}/figures",
        f"{player}/misses",
        f"{player}/putting",
        f"{player}/priorities",
        f"{player}/shots?figure=gained.total",
        f"{player}/condition-adjusted",
    ):
        answer = client.get(address)
        assert answer.status_code == 200, (address, answer.content)
