"""The filter and smoother against statsmodels' local-level model (statsmodels 0.14 or newer)."""

import numpy as np
import pytest
from statsmodels.tsa.statespace.kalman_smoother import KalmanSmoother
from statsmodels.tsa.statespace.structural import UnobservedComponents

from golfstats.calc.coaching.local_level import filter_levels, smooth_levels, step_scores
from golfstats.calc.coaching.trends import DRIFTS


def simulated(rounds, drift, seed):
    generator = np.random.default_rng(seed)
    return np.cumsum(generator.normal(0, np.sqrt(drift), rounds)) + generator.normal(0, 1, rounds)


@pytest.mark.parametrize(("noise", "drift"), [(1.0, 0.01), (2.5, 0.2), (0.3, 3.0)])
def test_regular_dates_agree_with_statsmodels(noise, drift):
    value = simulated(60, 0.1, seed=1)
    theirs = UnobservedComponents(value, "llevel", use_exact_diffuse=True).smooth([noise, noise * drift])

    filtered = filter_levels(np.arange(60.0), value, np.ones(60), np.array([drift]))
    smoothed = smooth_levels(filtered)

    # theirs gives the diffuse first round a term -log(2 pi)/2, ours is conditional on that round
    diffuse_term = -0.5 * np.log(2 * np.pi)
    assert filtered.log_likelihood(noise)[0] == pytest.approx(theirs.llf - diffuse_term, abs=1e-7)
    np.testing.assert_allclose(smoothed.level[:, 0], theirs.smoothed_state[0], atol=1e-9)
    np.testing.assert_allclose(noise * smoothed.variance[:, 0], theirs.smoothed_state_cov[0, 0], atol=1e-9)


def test_irregular_dates_agree_with_statsmodels_with_days_missing():
    generator = np.random.default_rng(2)
    day = np.sort(generator.choice(np.arange(1, 120), 30, replace=False)).astype(float)
    value = simulated(30, 0.5, seed=3)
    every_day = np.full(int(day[-1] - day[0]) + 1, np.nan)
    every_day[(day - day[0]).astype(int)] = value
    theirs = UnobservedComponents(every_day, "llevel", use_exact_diffuse=True).smooth([1.3, 0.05 * 1.3])

    filtered = filter_levels(day, value, np.ones(30), np.array([0.05]))
    smoothed = smooth_levels(filtered)

    played = (day - day[0]).astype(int)
    np.testing.assert_allclose(smoothed.level[:, 0], theirs.smoothed_state[0][played], atol=1e-9)
    np.testing.assert_allclose(
        1.3 * smoothed.variance[:, 0], theirs.smoothed_state_cov[0, 0][played], atol=1e-9
    )


def test_weighted_rounds_agree_with_statsmodels_with_a_noise_variance_for_each_round():
    value = simulated(40, 0.2, seed=4)
    weight = np.random.default_rng(5).uniform(0.3, 3, 40)
    theirs = KalmanSmoother(k_endog=1, k_states=1, design=[[1.0]], transition=[[1.0]], selection=[[1.0]])
    theirs.bind(np.asfortranarray(value[None, :]))
    theirs["obs_cov"] = (1 / weight)[None, None, :]
    theirs["state_cov"] = np.array([[0.2]])
    theirs.initialize_diffuse()
    result = theirs.smooth()

    smoothed = smooth_levels(filter_levels(np.arange(40.0), value, weight, np.array([0.2])))

    np.testing.assert_allclose(smoothed.level[:, 0], result.smoothed_state[0], atol=1e-9)
    np.testing.assert_allclose(smoothed.variance[:, 0], result.smoothed_state_cov[0, 0], atol=1e-9)


def test_best_likelihood_on_the_grid_is_that_of_statsmodels_maximum_likelihood_fit():
    value = simulated(120, 0.02, seed=6)
    theirs = UnobservedComponents(value, "llevel", use_exact_diffuse=True).fit(disp=False)

    filtered = filter_levels(np.arange(120.0), value, np.ones(120), DRIFTS)
    noise = filtered.residual_sum() / 119
    ours = max(filtered.log_likelihood(noise[k])[k] for k in range(len(DRIFTS)))

    assert ours == pytest.approx(theirs.llf + 0.5 * np.log(2 * np.pi), abs=0.05)


def dense_posterior(day, value, weight, drift):
    """Mean and covariance of the levels from the precision matrix, without any recursion."""
    n = len(day)
    precision = np.diag(weight)
    for k in range(1, n):
        step = np.zeros(n)
        step[[k - 1, k]] = -1, 1
        precision += np.outer(step, step) / (drift * (day[k] - day[k - 1]))
    covariance = np.linalg.inv(precision)
    return covariance @ (weight * value), covariance


def test_joint_covariance_of_two_dates_is_that_of_the_whole_gaussian():
    day = np.array([0.0, 3, 4, 11, 12, 30, 41])
    value = np.array([1.0, 2, 0, 3, 5, 4, 6])
    weight = np.array([1.0, 2, 0, 1, 3, 1, 0.5])
    mean, covariance = dense_posterior(day, value, weight, 0.07)

    smoothed = smooth_levels(filter_levels(day, value, weight, np.array([0.07])))

    np.testing.assert_allclose(smoothed.level[:, 0], mean, atol=1e-9)
    for earlier, later in [(0, 6), (1, 2), (2, 5), (3, 3)]:
        assert smoothed.covariance(earlier, later)[0] == pytest.approx(covariance[earlier, later])


def test_step_scores_give_the_generalised_least_squares_estimate_of_a_step():
    day, weight, drift = np.array([0.0, 2, 5, 6, 9, 15]), np.array([1.0, 1, 2, 1, 1, 3]), 0.1
    value = np.array([0.0, 1, 0, 3, 4, 3])
    # differences from the first round remove the unknown start; their covariance follows from the model
    covariance = drift * np.minimum.outer(day, day) + np.diag(1 / weight)
    contrast = np.hstack([-np.ones((5, 1)), np.eye(5)])
    inverse = np.linalg.inv(contrast @ covariance @ contrast.T)

    score, information = step_scores(filter_levels(day, value, weight, np.array([drift])))

    for row in range(1, 6):
        step = contrast @ (np.arange(6) >= row)
        assert information[row, 0] == pytest.approx(step @ inverse @ step)
        assert score[row, 0] == pytest.approx(step @ inverse @ contrast @ value)
