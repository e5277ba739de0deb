"""Trials: a planted difference is found with about its size, and where there is none the trial says so."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from golfstats.ground.walls.scope import club_scope
from players.rounds import services as posting
from players.rounds.input import RoundInput
from tests.players.coaching.seasons import season_bodies
from tests.players.conftest import Place, client_of

ROUNDS = 12


def play_trial(place: Place, longer: float) -> None:
    """Full approach shots carry a shaft tag, drawn at random; the stiff one sends them ``longer`` yards farther."""
    rng = np.random.default_rng(4)
    bodies = season_bodies(place.player, ROUNDS, ball="Alpha")
    for number, body in enumerate(bodies):
        body["ball"] = "Alpha" if number % 2 else "Beta"
        body["tags"] = ["routine:new"] if number % 2 else ["routine:old"]
        for shot in (shot for hole in body["holes"] for shot in hole.get("shots", [])):
            if shot["lie"] not in ("fairway", "rough") or shot["distance"] < 100:
                continue
            stiff = rng.random() < 0.5
            shot["tags"] = ["shaft:stiff" if stiff else "shaft:regular"]
            shot["club"] = "7i"
            shot["travel"] = float(round(max(shot["distance"] + rng.normal(0, 8) + longer * stiff, 1)))
            shot["offline"] = float(round(rng.normal(0, 4 if stiff else 12)))
    with club_scope(place.club.id):
        posting.post_rounds(place.manager, [RoundInput.model_validate(body) for body in bodies])


def run(place: Place, **query: str) -> dict[str, Any]:
    asked = {
        "tag": "shot",
        "a": "shaft:stiff",
        "b": "shaft:regular",
        "outcome": "travel",
        "club": "7i",
    } | query
    response = client_of(place.player_member).get(f"/api/v1/players/{place.player.id}/trials", asked)
    assert response.status_code == 200, response.content
    return response.json()


def test_a_planted_difference_is_found(place: Place) -> None:
    play_trial(place, longer=7.0)
    found = run(place)
    assert found["verdict"] == "first"
    assert found["p_value"] < 0.01
    assert found["difference"]["low"] < 7.0 < found["difference"]["high"]
    assert found["unit_of_trial"] == "shot"
    assert found["words"].startswith("shaft:stiff is better than shaft:regular by ")
    assert run(place) == found  # the permutations have a seed
    side = run(place, outcome="side")
    assert side["verdict"] == "first"  # the stiff shaft spreads a third as wide
    assert side["difference"]["value"] < 0


def test_no_difference_cannot_be_told_and_says_what_it_would_take(place: Place) -> None:
    play_trial(place, longer=0.0)
    found = run(place)
    assert found["verdict"] == "cannot_tell"
    assert found["difference"]["low"] < 0 < found["difference"]["high"]
    assert "cannot tell shaft:stiff from shaft:regular" in found["words"]
    assert found["more_shots"] is None or found["more_shots"] > 0


def test_balls_and_round_tags_are_compared_among_rounds(place: Place) -> None:
    play_trial(place, longer=0.0)
    for query in (
        {"tag": "ball", "a": "alpha", "b": "Beta"},
        {"tag": "round", "a": "routine:new", "b": "routine:old"},
    ):
        found = run(place, outcome="strokes_gained", **query)
        assert found["unit_of_trial"] == "round"
        assert found["verdict"] in ("cannot_tell", "first", "second")
    nothing = run(place, tag="club", a="4i", b="5i", outcome="travel", club="7i")
    assert nothing["verdict"] == "too_few"
    assert nothing["first"]["words"] == "too few: 0 of at least 10 shots"


@pytest.mark.parametrize("query", ["tag=moon", "outcome=joy", "b=shaft:STIFF", "a="])
def test_questions_that_mean_nothing_are_refused(place: Place, query: str) -> None:
    asked = {"tag": "shot", "a": "shaft:stiff", "b": "shaft:regular", "outcome": "travel"}
    name, _, value = query.partition("=")
    response = client_of(place.coach).get(f"/api/v1/players/{place.player.id}/trials", asked | {name: value})
    assert response.status_code == 422


def test_driver_against_three_wood_from_the_tee(place: Place) -> None:
    """Chosen by a coin on every long hole: compared on the same holes, within rounds."""
    rng = np.random.default_rng(9)
    bodies = season_bodies(place.player, ROUNDS)
    for hole in (hole for body in bodies for hole in body["holes"] if hole.get("shots")):
        if hole["shots"][0]["distance"] > 280:
            hole["shots"][0]["club"] = "driver" if rng.random() < 0.5 else "3-wood"
    with club_scope(place.club.id):
        posting.post_rounds(place.manager, [RoundInput.model_validate(body) for body in bodies])
    asked = {"tag": "club", "a": "driver", "b": "3-wood", "outcome": "strokes_gained"}
    response = client_of(place.player_member).get(f"/api/v1/players/{place.player.id}/trials", asked)
    found = response.json()
    assert found["unit_of_trial"] == "shot"
    assert found["verdict"] == "cannot_tell"
    assert found["difference"]["n"] > 100
    assert found["difference"]["low"] < 0 < found["difference"]["high"]
    assert found["warnings"] == []
