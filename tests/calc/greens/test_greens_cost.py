"""Expected putts and the cost of wider spreads, against play on a simulated green."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from golfstats.calc.greens.surface.cost import expected_putts, putt_cost
from tests.golfers import hole_out


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
