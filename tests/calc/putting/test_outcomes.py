import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from golfstats.calc.putting.make_model import make_probability
from golfstats.calc.putting.outcomes import LONG_FT, Chain, long_stretch, putting_outcomes
from golfstats.calc.simulate.putting import roll
from tests.golfers import hole_out

FEET = np.array([3.0, 8.0, 20.0, 45.0, 90.0])


@given(st.floats(0.008, 0.08), st.floats(0.04, 0.35))
@settings(max_examples=12, deadline=None)
def test_outcomes_are_chances_that_grow_worse_with_distance(direction_sd, distance_sd):
    outcomes = putting_outcomes(FEET, direction_sd, distance_sd)
    np.testing.assert_allclose(outcomes.one + outcomes.two + outcomes.three_or_more, 1.0, atol=1e-6)
    assert np.all(np.diff(outcomes.expected_putts) > 0)
    assert np.all(np.diff(outcomes.three_or_more) > -1e-9)
    assert np.all(outcomes.expected_putts >= 1 + outcomes.two + 2 * outcomes.three_or_more - 1e-5)


def test_first_putt_is_the_make_model():
    outcomes = putting_outcomes(FEET, 0.03, 0.12)
    np.testing.assert_array_equal(outcomes.one, make_probability(FEET, 0.03, 0.12))


def play(feet, direction_sd, distance_sd, balls, rng):
    """Putts of every ball; from far away, first makes by chance, then misses that roll with a wider spread."""
    if feet <= LONG_FT:
        return hole_out(np.full(balls, feet), direction_sd, distance_sd, rng).count(balls)
    holed = rng.random(balls) < make_probability(feet, direction_sd, distance_sd)
    wide = roll(np.full(2 * balls, feet), direction_sd, distance_sd * long_stretch(feet), rng)
    left = wide.after_ft[~wide.holed][:balls]
    return np.where(holed, 1, 1 + hole_out(left, direction_sd, distance_sd, rng).count(balls))


@pytest.mark.parametrize(("direction_sd", "distance_sd"), [(0.0178, 0.08), (0.04, 0.15)])
def test_outcomes_against_play(direction_sd, distance_sd):
    balls = 150_000
    outcomes = putting_outcomes(FEET, direction_sd, distance_sd)
    rng = np.random.default_rng(11)
    for row, feet in enumerate(FEET):
        putts = play(feet, direction_sd, distance_sd, balls, rng)
        assert np.mean(putts) == pytest.approx(
            outcomes.expected_putts[row], abs=4 * np.std(putts) / balls**0.5
        )
        for seen, chance in (
            (putts == 1, outcomes.one[row]),
            (putts == 2, outcomes.two[row]),
            (putts >= 3, outcomes.three_or_more[row]),
        ):
            # The floor keeps rare outcomes (a professional's three putts from 3 ft) to whole balls.
            error = max(np.sqrt(chance * (1 - chance) / balls), 1 / balls)
            assert np.mean(seen) == pytest.approx(chance, abs=4 * error)


def test_slopes_are_those_of_the_outcomes():
    chain = Chain(FEET, 0.03, 0.12)
    at = np.random.default_rng(4).normal(0, 0.3, len(chain.feet))
    putts, three = chain.slopes(at)
    for column in (0, 3, len(FEET) + 20, len(FEET) + 55):
        step = 1e-4 * np.eye(len(at))[column]
        up, down = chain.outcomes(at + step), chain.outcomes(at - step)
        np.testing.assert_allclose(
            putts[:, column], (up.expected_putts - down.expected_putts) / 2e-4, atol=1e-7
        )
        np.testing.assert_allclose(
            three[:, column], (up.three_or_more - down.three_or_more) / 2e-4, atol=1e-7
        )
