"""Long simulations: the value against play, the grid against a finer one, forecasts against rounds, learning against truth."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from golfstats.calc.plan.forecast import HolePlan, forecast
from golfstats.calc.plan.greens import Greens
from golfstats.calc.plan.hole.drawing import pin_position
from golfstats.calc.plan.hole.generic import generic_hole
from golfstats.calc.plan.hole.shape import shape_of
from golfstats.calc.plan.hole.words import read_words
from golfstats.calc.plan.options import options_from, plain_tee_shot
from golfstats.calc.plan.play import play_hole
from golfstats.calc.plan.shots.learn import learn
from golfstats.calc.plan.shots.prior import usual_bag, usual_putting
from golfstats.calc.plan.value import best_play
from golfstats.calc.vocabulary import Lie
from tests.calc.plan.forecasts import USUAL_DAYS, at_the_flag, transformed
from tests.calc.plan.test_learn import PRIOR, some_player, swings

pytestmark = pytest.mark.slow

HOLES = {
    "dogleg and water": (4, 400, "dogleg right 240, bunker left 230-260, water right 180-300, slopes front"),
    "long with a crossing": (5, 530, "water across 330-350, out right, green 24 deep"),
    "short with sand": (3, 165, "bunker green front, water green right, slopes left"),
    "drivable": (4, 290, "trees left, bunker right 200-230, green 20 deep"),
}
GREENS = Greens(*usual_putting(12), disturbance=0.4, speed_ft=8.5)


def solved(hole, bag, greens=GREENS, step=2.0):
    par, length, words = HOLES[hole]
    drawing = generic_hole(par, length, read_words(words))
    best = best_play(shape_of(drawing, pin_position(drawing, "middle"), step), bag, greens)
    options = options_from(best, bag, best.shape.tee, Lie.TEE)
    row = options.best
    return best, (float(options.length[row]), float(options.direction[row])), float(options.expected[row])


@pytest.mark.parametrize("hole", list(HOLES))
@pytest.mark.parametrize("handicap", [2.0, 22.0])
def test_a_million_plays_agree_with_the_value_and_beat_the_flag(hole, handicap):
    bag = usual_bag(handicap)
    best, shot, expected = solved(hole, bag)
    played = play_hole(best, bag, GREENS, shot, 1_000_000, np.random.default_rng(1))
    assert played.score.mean() == pytest.approx(expected, abs=0.02)
    flag = play_hole(
        best,
        bag,
        GREENS,
        plain_tee_shot(best.shape, bag),
        1_000_000,
        np.random.default_rng(2),
        at_the_flag(best, bag),
    )
    assert played.score.mean() <= flag.score.mean() + 0.005


@pytest.mark.parametrize("hole", list(HOLES))
def test_a_grid_of_one_yard_agrees(hole):
    bag = usual_bag(12.0)
    assert solved(hole, bag)[2] == pytest.approx(solved(hole, bag, step=1.0)[2], abs=0.02)


def test_forecasts_are_right_as_often_as_they_say():
    # 400 players drawn from the prior, each forecast from about ten rounds of full swings and then playing one round of
    # eighteen holes by the plan. The transform of the score is uniform if the forecasts are calibrated.
    names = ["dogleg and water", "short with sand", "drivable"]
    plans = []
    for number, name in enumerate(names, start=1):
        best, (length, direction), expected = solved(name, PRIOR, step=4.0)
        plans.append(HolePlan(number, HOLES[name][0], best, length, direction, expected))
    rng = np.random.default_rng(77)
    seen = []
    for _ in range(400):
        player = some_player(rng)
        learnt = learn(PRIOR, swings(player, 250, rng))
        draws = learnt.draws(12, rng)
        told = forecast(plans * 6, [[bag] * 18 for bag in draws], GREENS, USUAL_DAYS, rng, rounds=600)
        truly = [[replace(player, mishit=learnt.mishit)] * 18]
        day = forecast(plans * 6, truly, GREENS, USUAL_DAYS, rng, rounds=50)
        seen.append(transformed(told, int(day.totals[0]), float(rng.random())))
    assert stats.kstest(seen, "uniform").pvalue > 0.01
    inside = np.mean((np.array(seen) > 0.05) & (np.array(seen) < 0.95))
    assert 0.86 <= inside <= 0.94


def test_a_plan_from_ten_rounds_loses_little_to_one_that_knows_the_truth():
    rng = np.random.default_rng(10)
    lost = []
    for _ in range(6):
        player = some_player(rng)
        learnt = learn(PRIOR, swings(player, 280, rng)).bag
        for hole in HOLES:
            costs = []
            for believed in (learnt, player):
                best, shot, _ = solved(hole, believed, step=4.0)
                played = play_hole(best, player, GREENS, shot, 200_000, np.random.default_rng(3))
                costs.append(played.score.mean())
            lost.append(costs[0] - costs[1])
    # Eighteen holes of this kind.
    assert 18 * np.mean(lost) < 0.3
