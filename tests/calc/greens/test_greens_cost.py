"""Expected putts and the cost of wider spreads, against play on a simulated green."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from golfstats.calc.greens.cost import expected_putts, putt_cost
from golfstats.calc.greens.leave_moments import leave_moments
from golfstats.calc.greens.likelihood import make_and_slopes
from golfstats.calc.putting.make_model import make_probability
from golfstats.calc.simulate.putting import hole_out, roll


@pytest.mark.parametrize("feet", [3.0, 8.0, 15.0, 30.0, 60.0])
def test_expected_putts_agree_with_play(feet):
    rng = np.random.default_rng(4)
    played = hole_out(np.full(40_000, feet), 0.03, 0.14, rng).count(40_000)
    error = 4 * played.std() / np.sqrt(len(played))
    assert expected_putts(feet, 0.03, 0.14) == pytest.approx(played.mean(), abs=error + 0.003)


def test_cost_of_wider_spreads_agrees_with_the_chain():
    feet = np.array([3.0, 8.0, 15.0, 30.0, 60.0])
    cost = putt_cost(0.027, 0.13)
    for u, v in ((0.0, 0.0), (0.25, 0.25), (0.0, 0.3), (0.6, 0.1)):
        exact = expected_putts(feet, 0.027 * (1 + u), 0.13 * (1 + v)) - expected_putts(feet, 0.027, 0.13)
        assert_allclose(cost.per_putt(feet, np.array(u), np.array(v))[0], exact, atol=0.01)


def test_worse_distance_control_costs_little_up_close_and_most_from_far():
    feet = np.array([2.5, 40.0])
    near, far = putt_cost(0.027, 0.13).per_putt(feet, np.array(0.0), np.array(0.3))[0]
    assert near < 0.1 < far


@pytest.mark.parametrize(
    ("feet", "direction", "pace"), [(4.0, 0.027, 0.13), (15.0, 0.04, 0.2), (45.0, 0.02, 0.1)]
)
def test_leave_moments_agree_with_play(feet, direction, pace):
    rolled = roll(np.full(200_000, feet), direction, pace, np.random.default_rng(2))
    left = np.log1p(rolled.after_ft[~rolled.holed])
    moments = leave_moments(*(np.log([value]) for value in (feet, direction, pace)))
    assert moments.mean[0] == pytest.approx(left.mean(), abs=0.006)
    assert moments.variance[0] == pytest.approx(left.var(), rel=0.02)


def test_make_chance_and_slopes_agree_with_the_make_model():
    feet, a, b = np.array([2.0, 6.0, 20.0, 60.0]), np.log(0.027), np.log(0.13)
    make, by_direction, by_distance = make_and_slopes(feet, np.full(4, a), np.full(4, b))

    def log_make(a, b):
        return np.log(make_probability(feet, np.exp(a), np.exp(b)))

    step = 1e-5
    assert_allclose(np.log(make), log_make(a, b), rtol=1e-10)
    assert_allclose(by_direction, (log_make(a + step, b) - log_make(a - step, b)) / (2 * step), rtol=1e-5)
    assert_allclose(by_distance, (log_make(a, b + step) - log_make(a, b - step)) / (2 * step), rtol=1e-5)
