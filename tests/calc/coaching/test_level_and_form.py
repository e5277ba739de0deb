"""The filter and smoother against statsmodels' local level with an autoregressive process (0.14 or newer), and
against the whole Gaussian worked out without recursion.
"""

import numpy as np
import pytest
from statsmodels.tsa.statespace.structural import UnobservedComponents

from golfstats.calc.coaching.level_and_form import Settings, filter_series, smooth

NONE = 1e-9
"""A share of form that is as good as none."""


def one_setting(drift, share=NONE, memory=10.0):
    return Settings(np.array([drift]), np.array([share]), np.array([memory]), np.zeros(1))


def simulated(rounds, drift, seed):
    generator = np.random.default_rng(seed)
    return np.cumsum(generator.normal(0, np.sqrt(drift), rounds)) + generator.normal(0, 1, rounds)


def smoothed_by_statsmodels(value, noise, drift):
    return UnobservedComponents(value, "llevel", use_exact_diffuse=True).smooth([noise, noise * drift])


@pytest.mark.parametrize(("noise", "drift"), [(1.0, 0.01), (2.5, 0.2), (0.3, 3.0)])
def test_without_form_regular_dates_agree_with_statsmodels(noise, drift):
    value = simulated(60, 0.1, seed=1)
    theirs = smoothed_by_statsmodels(value, noise, drift)

    filtered = filter_series(np.arange(60.0), value[:, None], np.ones(60), one_setting(drift))
    smoothed = smooth(filtered)

    misfit = np.sum(filtered.standardised()[0, :, 0] ** 2)
    ours = -0.5 * (59 * np.log(2 * np.pi * noise) + filtered.log_variances()[0] + misfit / noise)
    # theirs gives the diffuse first round a term -log(2 pi)/2, ours is conditional on that round
    assert ours == pytest.approx(theirs.llf + 0.5 * np.log(2 * np.pi), abs=1e-5)
    np.testing.assert_allclose(smoothed.level()[:, 0, 0], theirs.smoothed_state[0], atol=1e-6)
    np.testing.assert_allclose(noise * smoothed.variance()[:, 0], theirs.smoothed_state_cov[0, 0], atol=1e-6)


def test_irregular_dates_agree_with_statsmodels_with_days_missing():
    generator = np.random.default_rng(2)
    day = np.sort(generator.choice(np.arange(1, 120), 30, replace=False)).astype(float)
    value = simulated(30, 0.5, seed=3)
    every_day = np.full(int(day[-1] - day[0]) + 1, np.nan)
    every_day[(day - day[0]).astype(int)] = value
    theirs = smoothed_by_statsmodels(every_day, 1.3, 0.05)

    smoothed = smooth(filter_series(day, value[:, None], np.ones(30), one_setting(0.05)))

    played = (day - day[0]).astype(int)
    np.testing.assert_allclose(smoothed.level()[:, 0, 0], theirs.smoothed_state[0][played], atol=1e-6)
    np.testing.assert_allclose(
        1.3 * smoothed.variance()[:, 0], theirs.smoothed_state_cov[0, 0][played], atol=1e-6
    )


def test_form_agrees_with_statsmodels_autoregressive_component():
    """One round a day: a level, an autoregressive process of order one and noise."""
    value = simulated(80, 0.05, seed=4)
    model = UnobservedComponents(value, "llevel", autoregressive=1, use_exact_diffuse=True)
    share, memory, drift = 0.6, 4.0, 0.05
    keep = np.exp(-1 / memory)
    theirs = model.smooth([1 - share, drift, share * (1 - keep**2), keep])

    smoothed = smooth(
        filter_series(np.arange(80.0), value[:, None], np.ones(80), one_setting(drift, share, memory))
    )

    np.testing.assert_allclose(smoothed.level()[:, 0, 0], theirs.smoothed_state[0], atol=1e-6)
    np.testing.assert_allclose(smoothed.variance()[:, 0], theirs.smoothed_state_cov[0, 0], atol=1e-6)


DAY = np.array([0.0, 3, 4, 11, 12, 30, 41])
WEIGHT = np.array([1.0, 2, 1, 0.5, 3, 1, 0.5])
DRIFT, SHARE, MEMORY = 0.07, 0.4, 6.0


def covariance_of_values():
    form = SHARE * np.exp(-np.abs(np.subtract.outer(DAY, DAY)) / MEMORY)
    return DRIFT * np.minimum.outer(DAY, DAY) + form + np.diag((1 - SHARE) / WEIGHT)


def dense_level(value):
    """Level at every row by generalised least squares on an unknown start and conditional normals."""
    walk, ones = DRIFT * np.minimum.outer(DAY, DAY), np.ones(len(DAY))
    inverse = np.linalg.inv(covariance_of_values())
    information = ones @ inverse @ ones
    start = ones @ inverse @ value / information
    pulled = walk @ inverse
    rest = ones - pulled @ ones
    mean = start + pulled @ (value - start)
    return mean, walk - pulled @ walk + np.outer(rest, rest) / information


def test_levels_and_their_joint_covariances_are_those_of_the_whole_gaussian():
    value = np.array([1.0, 2, 0, 3, 5, 4, 6])
    mean, covariance = dense_level(value)
    smoothed = smooth(filter_series(DAY, value[:, None], WEIGHT, one_setting(DRIFT, SHARE, MEMORY)))
    np.testing.assert_allclose(smoothed.level()[:, 0, 0], mean, atol=1e-9)
    for earlier, later in [(0, 6), (1, 2), (2, 5), (3, 3)]:
        assert smoothed.covariance(earlier, later)[0] == pytest.approx(covariance[earlier, later])


def test_step_scores_give_the_generalised_least_squares_estimate_of_a_step():
    value = np.array([0.0, 1, 0, 3, 4, 3, 5])
    # differences from the first round remove the unknown start; their covariance follows from the model
    contrast = np.hstack([-np.ones((6, 1)), np.eye(6)])
    inverse = np.linalg.inv(contrast @ covariance_of_values() @ contrast.T)
    smoothed = smooth(filter_series(DAY, value[:, None], WEIGHT, one_setting(DRIFT, SHARE, MEMORY)))
    score, information = smoothed.score[:, :, 0], smoothed.information
    for row in range(1, 7):
        step = contrast @ (np.arange(7) >= row)
        assert information[row, 0] == pytest.approx(step @ inverse @ step)
        assert score[row, 0] == pytest.approx(step @ inverse @ contrast @ value)
