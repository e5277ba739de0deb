"""How much a player's days differ: against statsmodels, and what a forecast makes of it."""

import numpy as np
import pandas as pd
import pytest
import statsmodels.formula.api as smf
from scipy import stats

from golfstats.calc.plan.day_form import RATIOS, Scorecards, day_form, dealt_by_days, log_likelihood
from tests.calc.plan.forecasts import USUAL_DAYS


def played(rng, rounds, day_sd, holes=18, luck=0.9):
    """Scorecards of a course of unlike holes; a day moves all its holes by so much (its spread, strokes a hole)."""
    round, hole = np.repeat(np.arange(rounds), holes), np.tile(np.arange(holes), rounds)
    mean = rng.normal(4.8, 0.4, holes)[hole] + day_sd * rng.standard_normal(rounds)[round]
    return Scorecards(round, hole, np.round(mean + luck * rng.standard_normal(len(round))).astype(int))


@pytest.mark.parametrize("part", [None, 0.7], ids=["whole rounds", "holes missing here and there"])
def test_the_likelihood_is_that_of_restricted_maximum_likelihood(part):
    """MixedLM of statsmodels: a mean for each hole, a random intercept for each round, REML."""
    rng = np.random.default_rng(3)
    cards = played(rng, 25, 0.3)
    if part is not None:
        cards = cards.select(rng.random(len(cards)) < part)
    table = pd.DataFrame({"score": cards.score, "hole": cards.hole, "round": cards.round})
    theirs = smf.mixedlm("score ~ C(hole)", table, groups="round").fit(reml=True)
    ratio = np.sqrt(18 * theirs.cov_re.iloc[0, 0] / theirs.scale)
    fine = ratio * np.exp(np.linspace(-0.3, 0.3, 601))
    assert fine[np.argmax(log_likelihood(cards, fine))] == pytest.approx(ratio, rel=2e-3)


def test_holes_met_once_and_a_single_round_say_nothing():
    for cards in (played(np.random.default_rng(1), 1, 0.5), Scorecards(*np.arange(30).reshape(3, 10))):
        assert day_form(cards).probability == pytest.approx(USUAL_DAYS.probability)


def test_unlike_days_show_with_the_rounds():
    rng = np.random.default_rng(5)
    # A day's spread of 0.3 a hole is 5.4 a round, where luck (and rounding it to strokes) makes 4.0.
    assert day_form(played(rng, 300, 0.3)).ratio == pytest.approx(5.4 / 4.0, rel=0.15)
    assert day_form(played(rng, 300, 0.0)).ratio < 0.2


def test_a_player_of_few_rounds_is_taken_to_be_like_the_club():
    rng = np.random.default_rng(6)
    own = played(rng, 3, 0.15)
    steady, moody = ([played(rng, 30, day) for _ in range(12)] for day in (0.0, 0.3))
    assert day_form(own, steady).ratio < 0.8 * day_form(own).ratio
    assert day_form(own, moody).ratio > 1.2 * day_form(own).ratio


@pytest.mark.parametrize("ratio", [0.4, 1.2])
def test_dealing_balls_to_days_keeps_each_hole_and_spreads_the_round(ratio):
    rng = np.random.default_rng(7)
    scores = [np.round(3.5 + rng.gamma(2, 0.65, 4000)).astype(int) for _ in range(18)]
    form = day_form(Scorecards(*np.zeros((3, 0), int)))
    form = type(form)((np.argmin(np.abs(RATIOS - ratio)) == np.arange(len(RATIOS))).astype(float))
    dealt = dealt_by_days(scores, 4, form, 9, range(1, 19))
    alone = np.sqrt(sum(score.var() for score in scores))
    total = np.zeros(4000)
    for score, balls in zip(scores, dealt, strict=True):
        assert sorted(balls) == list(range(4000))
        # Each of the four draws of the player's patterns keeps its balls.
        assert (balls // 1000 == np.arange(4000) // 1000).all()
        total += score[balls]
    # Variance of a sum of equally correlated terms (any textbook), the correlation being that within a class.
    within = ratio**2 / 18 / (1 + ratio**2 / 18)
    assert total.std() == pytest.approx(alone * np.sqrt(1 + 17 * within), rel=0.05)


def test_rounds_of_another_law_lie_in_the_range_as_often_as_it_says():
    """Days of Student's law, holes of a gamma law: what twelve rounds make of them against the thirteenth."""
    rng = np.random.default_rng(8)
    seen = []
    for _ in range(250):
        mean = rng.uniform(0.6, 1.2)
        days = 0.12 * rng.standard_t(4, (13, 1))
        scores = 4 + np.floor(rng.gamma(2.0, np.maximum(mean + days, 0.1) / 2.0, (13, 18))).astype(int)
        known = Scorecards(np.repeat(np.arange(12), 18), np.tile(np.arange(18), 12), scores[:-1].ravel())
        balls = [4 + np.floor(rng.gamma(2.0, mean / 2.0, 600)).astype(int) for _ in range(18)]
        dealt = dealt_by_days(balls, 1, day_form(known), int(rng.integers(2**31)), range(18))
        total = np.sum([ball[taken] for ball, taken in zip(balls, dealt, strict=True)], axis=0)
        score = scores[-1].sum()
        below, upto = np.mean(total < score), np.mean(total <= score)
        seen.append(below + rng.random() * (upto - below))
    assert stats.kstest(seen, "uniform").pvalue > 0.01
    inside = np.mean((np.array(seen) > 0.05) & (np.array(seen) < 0.95))
    assert 0.85 <= inside <= 0.95
