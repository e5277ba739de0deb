import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from golfstats.calc.putting.make_model import log_make_and_miss, make_probability

feet = st.floats(0.01, 150)
direction = st.floats(0.003, 0.2)
distance = st.floats(0.0, 0.5)


@given(feet, direction, distance)
def test_make_and_miss_are_the_only_two_ends(x, direction_sd, distance_sd):
    log_make, log_miss = log_make_and_miss(x, direction_sd, distance_sd)
    assert np.exp(log_make) + np.exp(log_miss) == pytest.approx(1.0, abs=1e-12)


@given(feet, direction, distance, st.floats(1.01, 2.0))
def test_farther_or_wilder_is_never_easier(x, direction_sd, distance_sd, factor):
    here = make_probability(x, direction_sd, distance_sd)
    assert make_probability(x * factor, direction_sd, distance_sd) <= here
    assert make_probability(x, direction_sd * factor, distance_sd) <= here
    assert make_probability(x, direction_sd, distance_sd * factor) <= here


@pytest.mark.parametrize("distance_sd", [0.0, 0.08])
def test_chance_to_miss_a_tap_in_does_not_vanish(distance_sd):
    # 0.28 ft is the shortest row of the published 2016-2018 putts; 1 - P is exactly 0 there in doubles.
    log_make, log_miss = log_make_and_miss(0.28, 0.0178, distance_sd)
    assert 1.0 - np.exp(log_make) == 0.0
    assert -300 < log_miss < -45


def test_within_a_balls_reach_it_drops():
    assert make_probability([0.0, 0.05, 0.1], 0.05, 0.2) == pytest.approx([1.0, 1.0, 1.0], abs=1e-4)


def test_spread_of_zero_is_perfect():
    assert make_probability([3.0, 60.0], 0.0, 0.0).tolist() == [1.0, 1.0]


def test_arguments_broadcast_and_unknown_stays_unknown():
    chance = make_probability(np.array([[5.0], [np.nan]]), np.array([0.02, 0.03]), 0.1)
    assert chance.shape == (2, 2)
    assert np.isnan(chance).tolist() == [[False, False], [True, True]]
