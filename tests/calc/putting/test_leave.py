import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from golfstats.calc.putting.leave import leave_cdf, leave_probabilities, longest_leave
from golfstats.calc.putting.make_model import log_make_and_miss
from golfstats.calc.simulate.putting import roll

LEAVES = np.array([0.25, 1.0, 2.0, 3.0, 4.0, 8.0, 15.0])


@given(st.floats(0.3, 120), st.floats(0.005, 0.15), st.floats(0.02, 0.45))
@settings(max_examples=60, deadline=None)
def test_every_miss_finishes_somewhere(x, direction_sd, distance_sd):
    _, log_miss = log_make_and_miss(x, direction_sd, distance_sd)
    missed = leave_cdf(x, np.inf, direction_sd, distance_sd)
    assert missed == pytest.approx(np.exp(log_miss), abs=2e-6)
    farthest = longest_leave(x, direction_sd, distance_sd)
    assert leave_cdf(x, 0.999 * farthest, direction_sd, distance_sd) == pytest.approx(missed, abs=2e-6)
    within = leave_cdf(x, LEAVES, direction_sd, distance_sd)
    assert np.all(np.diff(within) > -1e-6)
    assert np.all((within > -1e-9) & (within < missed + 1e-6))


@pytest.mark.parametrize(
    ("x", "direction_sd", "distance_sd"),
    [(3.0, 0.0178, 0.08), (10.0, 0.03, 0.12), (40.0, 0.0178, 0.08), (40.0, 0.05, 0.25), (1.0, 0.05, 0.25)],
)
def test_distance_left_against_play(x, direction_sd, distance_sd):
    balls = 400_000
    rolls = roll(np.full(balls, x), direction_sd, distance_sd, np.random.default_rng(7))
    seen = np.array([np.mean(~rolls.holed & (rolls.after_ft <= leave)) for leave in LEAVES])
    expected = leave_cdf(x, LEAVES, direction_sd, distance_sd)
    error = np.sqrt(np.maximum(expected * (1 - expected), 1e-6) / balls)
    assert np.max(np.abs(seen - expected) / error) < 4


def test_cells_of_the_distance_left_add_up_to_the_misses():
    feet = np.array([2.0, 9.0, 33.0])
    cells = leave_probabilities(feet, np.array([0.0, 1.5, 4.0, np.inf]), 0.03, 0.12)
    assert cells.shape == (3, 3)
    _, log_miss = log_make_and_miss(feet, 0.03, 0.12)
    np.testing.assert_allclose(cells.sum(axis=1), np.exp(log_miss), atol=1e-6)


def test_each_distance_may_have_its_own_spread_of_the_roll():
    feet, spreads = np.array([2.0, 40.0, 90.0]), np.array([[0.12], [0.12], [0.3]])
    together = leave_probabilities(feet, LEAVES, 0.03, spreads)
    for row, (distance, (spread,)) in enumerate(zip(feet, spreads, strict=True)):
        alone = leave_probabilities(np.array([distance]), LEAVES, 0.03, float(spread))[0]
        np.testing.assert_allclose(together[row], alone, rtol=1e-12)


def test_pace_decides_what_is_left_of_a_long_putt():
    # Common practice, no source: lag putting is distance control. A third more spread of the pace leaves
    # more outside 4 ft from 45 ft than a third more spread of direction.
    def outside(direction_sd, distance_sd):
        return leave_cdf(45.0, np.inf, direction_sd, distance_sd) - leave_cdf(
            45.0, 4.0, direction_sd, distance_sd
        )

    usual = outside(0.03, 0.12)
    assert outside(0.03, 0.16) - usual > 3 * (outside(0.04, 0.12) - usual)
