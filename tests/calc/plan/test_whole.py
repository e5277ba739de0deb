"""A round planned hole by hole, as a worker does it."""

from dataclasses import asdict
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from golfstats.calc.plan.greens import Greens
from golfstats.calc.plan.hole.generic import generic_hole
from golfstats.calc.plan.hole.words import read_words
from golfstats.calc.plan.shots.learn import Swings, learn
from golfstats.calc.plan.shots.prior import usual_bag, usual_putting
from golfstats.calc.plan.shots.weather import Weather
from golfstats.calc.plan.whole import DRAWS, HoleQuestion, plan_hole, plan_round

GREENS = Greens(*usual_putting(18), disturbance=0.5, speed_ft=8.0)


@pytest.fixture(scope="module")
def planned():
    nothing = Swings(np.zeros(0, int), np.zeros(0), np.zeros(0), np.zeros(0, int), np.zeros(0, int))
    learnt = learn(usual_bag(18), nothing)
    bags = [learnt.bag, *learnt.draws(DRAWS, np.random.default_rng(1))]
    questions = [
        HoleQuestion(1, 3, 140, generic_hole(3, 140, read_words("water green right, slopes front"))),
        HoleQuestion(2, 5, 450, generic_hole(5, 450), Weather(wind_mph=12, wind_from=0.0)),
    ]
    return questions, [plan_hole(question, bags, GREENS, seed=7) for question in questions]


def test_a_hole_says_everything(planned):
    _, ((short, simulated), (long, _)) = planned
    assert short.sentence.startswith(short.choices[0].club)
    assert sum(chance.chance for chance in short.scores) == pytest.approx(1.0)
    assert simulated.score.mean() == pytest.approx(short.expected, abs=0.25)
    assert [pin.pin for pin in short.pins] == ["middle", "front", "back", "left", "right"]
    assert short.below_and_above is not None
    assert long.below_and_above is None
    assert short.lay_up == ()
    assert all(row.say in {"go", "lay up", "either"} for row in long.lay_up)
    assert "generic hole" in short.rests_on
    assert short.greens_add > 0
    ET.fromstring(short.picture)  # noqa: S314 - our own


def test_the_wind_on_one_hole_shortens_its_shots(planned):
    _, (_, (long, _)) = planned
    assert long.choices[0].length < 0.95 * usual_bag(18).drive


def test_the_round_adds_up(planned):
    questions, pairs = planned
    holes, simulated = [hole for hole, _ in pairs], [each for _, each in pairs]
    told = plan_round(holes, simulated, questions, GREENS, "Away", target=9, plays_to=9.4)
    assert told.expected == pytest.approx(sum(float(each.score.mean()) for each in simulated))
    assert told.low <= told.expected <= told.high
    assert told.chance_of_target == told.chance_of_handicap
    assert told.putts == pytest.approx(sum(hole.putts for hole in holes))
    assert told.generic_holes == 2
    assert len(told.sentences) == 3
    assert told.flags_cost >= 0
    assert "Away" in told.card
    # Plain values all the way down, fit for JSON.
    assert asdict(told)["overruns"][0]["feet"] == 5.0
