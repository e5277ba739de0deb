"""Invented rounds in the shape in which rounds are posted: the service's own checks accept every one."""

import datetime as dt
import json
from pathlib import Path

import pytest

from golfstats.calc.simulate.bodies import round_bodies
from golfstats.calc.simulate.season import play_season
from players.round_checks import TeeHole, faults_of
from players.round_input import RoundInput

CLUB = json.loads((Path(__file__).parents[3] / "demo_fixtures" / "club.json").read_text("utf-8"))
GENDER = {player["name"]: player["gender"] for player in CLUB["players"]}
TEES = {
    (course["name"], tee["name"]): tee["holes"] for course in CLUB["courses"] for tee in course["tee_sets"]
}


@pytest.fixture(scope="module")
def season():
    return play_season(CLUB)


def test_every_round_may_be_posted(season):
    bodies = list(round_bodies(season))
    assert len(bodies) == len(season.rounds)
    for body in bodies:
        posted = RoundInput.model_validate_json(json.dumps(body))
        par = f"par_{GENDER[body['player']]}"
        holes = {
            hole["number"]: TeeHole(hole["length"], hole[par]) for hole in TEES[body["course"], body["tee"]]
        }
        assert faults_of(posted, holes, "yards", dt.date.fromisoformat(CLUB["last_day"])) == []


def test_scores_and_shots_are_those_of_the_record(season):
    bodies = list(round_bodies(season))
    holes = [hole for body in bodies for hole in body["holes"]]
    assert [hole["score"] for hole in holes] == season.truth.holes.score.tolist()
    shots = [shot for hole in holes for shot in hole.get("shots", [])]
    assert len(shots) == len(season.written.shots)
    assert sum(shot["holed"] for shot in shots) == season.written.holes.complete.sum()
