"""Invented rounds in the shape in which rounds are posted: the service's own checks accept every one."""

import datetime as dt
import json
from pathlib import Path
from uuid import uuid4

import pytest

from golfstats.calc.simulate.bodies import round_bodies
from golfstats.calc.simulate.season import play_season
from golfstats.ground.walls.scope import club_scope
from players.rounds.checking.bags import Bag
from players.rounds.checking.cards import TeeHole, card_of
from players.rounds.checking.checks import faults_of
from players.rounds.input import RoundInput
from players.rounds.models import Round
from tests import factories

CLUB = json.loads((Path(__file__).parents[3] / "demo_fixtures" / "club.json").read_text("utf-8"))
GENDER = {player["name"]: player["gender"] for player in CLUB["players"]}
TEES = {
    (course["name"], tee["name"]): tee["holes"] for course in CLUB["courses"] for tee in course["tee_sets"]
}


@pytest.fixture(scope="module")
def season():
    return play_season(CLUB)


@pytest.mark.django_db
def test_every_round_may_be_posted(season):
    bodies = list(round_bodies(season))
    assert len(bodies) == len(season.rounds)
    with club_scope(factories.make_club().id):  # no row is written, but each belongs to a club
        faults = [fault for body in bodies for fault in _faults_of(body)]
    assert faults == []


def _faults_of(body):
    posted = RoundInput.model_validate_json(json.dumps(body))
    par = f"par_{GENDER[body['player']]}"
    holes = {hole["number"]: TeeHole(hole["length"], hole[par]) for hole in TEES[body["course"], body["tee"]]}
    card = card_of(posted, "yards", Round(), Bag(uuid4()))
    return faults_of(card, holes, dt.date.fromisoformat(CLUB["last_day"]))


def test_scores_and_shots_are_those_of_the_record(season):
    bodies = list(round_bodies(season))
    holes = [hole for body in bodies for hole in body["holes"]]
    assert [hole["score"] for hole in holes] == season.truth.holes.score.tolist()
    shots = [shot for hole in holes for shot in hole.get("shots", [])]
    assert len(shots) == len(season.written.shots)
    assert sum(shot["holed"] for shot in shots) == season.written.holes.complete.sum()
