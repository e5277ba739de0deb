"""The simulated green against the published make probability and plain facts of putting."""

import numpy as np
import pytest
from scipy import stats

from golfstats.calc.simulate.putting import roll
from tests.golfers import hole_out


def published_make(x_ft: float, s_angle: float, s_dist: float) -> float:
    """Gelman 2019, angle-and-distance model, written out from the published formula."""
    angle = np.arcsin((4.25 / 24 - 1.68 / 24) / x_ft)
    p_angle = 2 * stats.norm.cdf(angle / s_angle) - 1
    spread = (x_ft + 1) * s_dist
    return float(p_angle * (stats.norm.cdf(2 / spread) - stats.norm.cdf(-1 / spread)))


@pytest.mark.parametrize("feet", [2.0, 5.0, 10.0, 20.0, 40.0])
@pytest.mark.parametrize(("s_angle", "s_dist"), [(0.0178, 0.080), (0.035, 0.14)])
def test_share_holed_is_the_published_probability(feet, s_angle, s_dist):
    n = 40_000
    holed = roll(np.full(n, feet), s_angle, s_dist, np.random.default_rng(7)).holed
    p = published_make(feet, s_angle, s_dist)
    assert abs(holed.mean() - p) < 4 * np.sqrt(p * (1 - p) / n) + 1e-9


def test_a_ball_is_putted_until_it_drops_and_each_putt_starts_where_the_last_ended():
    feet = np.random.default_rng(1).uniform(1, 60, 500)
    putts = hole_out(feet, 0.03, 0.12, np.random.default_rng(2))
    first, last = putts.number == 1, putts.holed
    assert np.array_equal(putts.before_ft[first], feet)
    assert first.sum() == last.sum() == 500
    assert np.array_equal(putts.ball[last], np.arange(500))
    going_on = np.flatnonzero(~putts.holed)
    assert np.allclose(putts.before_ft[going_on + 1], putts.after_ft[going_on])
    assert np.allclose(np.hypot(putts.offline_ft, putts.depth_ft), putts.after_ft)
    assert np.array_equal(putts.count(500), putts.number[last])


def test_wider_spreads_cost_putts_and_spreads_may_differ_by_ball():
    feet = np.full(20_000, 15.0)
    factor = np.where(np.arange(20_000) < 10_000, 1.0, 1.25)
    counts = hole_out(feet, 0.03 * factor, 0.12 * factor, np.random.default_rng(3)).count(20_000)
    assert counts[10_000:].mean() > counts[:10_000].mean() + 0.04


def test_professional_spreads_give_about_two_putts_from_33_feet():
    """Broadie 2011 (draft, as quoted): 33 ft takes 2.00 putts; spreads are Gelman's 2019 fit."""
    counts = hole_out(np.full(40_000, 33.0), 0.0178, 0.080, np.random.default_rng(4)).count(40_000)
    assert counts.mean() == pytest.approx(2.00, abs=0.05)


def test_even_a_hopeless_putter_finishes():
    putts = hole_out(np.full(200, 90.0), 1.5, 2.0, np.random.default_rng(5), cap=4)
    assert putts.number.max() == 4
    assert putts.holed[putts.number == 4].all()


def test_same_seed_same_putts():
    one, two = (hole_out(np.full(50, 20.0), 0.03, 0.12, np.random.default_rng(6)) for _ in range(2))
    assert np.array_equal(one.after_ft, two.after_ft)
