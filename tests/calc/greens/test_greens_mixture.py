"""Quantiles of a mixture of normals with a lump at zero."""

import numpy as np
import pytest
from scipy import stats

from golfstats.calc.greens.mixture import Mixture


def test_one_normal_is_a_normal():
    low, high = Mixture.with_spike(np.array([1.0]), np.array([2.0]), np.array([9.0])).interval()
    assert (low, high) == pytest.approx(stats.norm(2, 3).interval(0.9), abs=1e-6)


def test_interval_holds_ninety_percent_of_draws():
    rng = np.random.default_rng(1)
    weight, centre, sd = np.array([0.5, 0.3]), np.array([1.0, 3.0]), np.array([0.5, 1.0])
    part = rng.choice(3, 200_000, p=[0.5, 0.3, 0.2])
    draws = np.where(
        part == 2, 0.0, np.append(centre, 0)[part] + np.append(sd, 0)[part] * rng.standard_normal(200_000)
    )
    mixture = Mixture.with_spike(weight, centre, sd**2)
    assert mixture.mean == pytest.approx(draws.mean(), abs=0.02)
    assert mixture.interval() == pytest.approx(tuple(np.quantile(draws, [0.05, 0.95])), abs=0.03)


def test_a_heavy_lump_is_the_whole_interval():
    mixture = Mixture.with_spike(np.array([0.04]), np.array([2.0]), np.array([1.0]))
    assert mixture.interval() == (0.0, 0.0)


def test_no_effect_at_all():
    assert Mixture.with_spike(np.array([0.0]), np.array([1.0]), np.array([1.0])).interval() == (0.0, 0.0)
