"""Intervals against SciPy and statsmodels, and against known truth by simulation."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.regression.linear_model import OLS
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

from golfstats.calc.figure import (
    Figure,
    clustered_mean_figure,
    clustered_median_figure,
    clustered_quantile_figure,
    clustered_share_figure,
    deviations,
    difference_figure,
    difference_like_with_like,
    mean_figure,
    mean_of_figures,
    quantile_figure,
    share_figure,
)

SCORES = np.array([78.0, 81.0, 84.0, 79.0, 90.0, 83.0])


def test_mean_has_the_interval_of_the_t_test():
    figure = mean_figure(SCORES, "strokes")
    interval = stats.ttest_1samp(SCORES, 0).confidence_interval(0.90)
    assert figure.value == pytest.approx(82.5)
    assert (figure.low, figure.high) == pytest.approx((interval.low, interval.high))
    assert figure.n == 6


@pytest.mark.parametrize(
    "figure",
    [
        mean_figure(SCORES[:1], "strokes"),
        mean_figure(SCORES, "strokes", minimum_n=7),
        clustered_mean_figure(SCORES, np.zeros(6, int), "strokes"),
        share_figure(0, 0),
        share_figure(3, 9, minimum_n=10),
        clustered_share_figure(np.ones(9), np.arange(9), minimum_n=10),
        quantile_figure(SCORES[:4], 0.5, "ft"),
        clustered_median_figure(SCORES, np.arange(6), "ft", minimum_n=7),
    ],
)
def test_too_few_shows_no_number(figure):
    assert not figure.enough
    assert (figure.value, figure.low, figure.high) == (None, None, None)


def test_mean_of_figures_has_the_interval_of_a_sum_of_normals():
    """Against SciPy: the mean of independent normal figures is normal, with the root of their variances' sum over n."""
    value, sd = np.array([1.0, -0.4, 2.2]), np.array([0.3, 1.1, 0.6])
    low, high = stats.norm.interval(0.90, value, sd)
    figure = mean_of_figures(value, low, high, "strokes")
    assert (figure.low, figure.high) == pytest.approx(
        stats.norm.interval(0.90, value.mean(), np.sqrt(np.sum(sd**2)) / 3)
    )
    assert (figure.value, figure.n) == (pytest.approx(value.mean()), 3)


def test_mean_of_no_figures_shows_no_number():
    nothing = np.zeros(0)
    assert not mean_of_figures(nothing, nothing, nothing, "strokes").enough


def test_clustered_mean_matches_the_cluster_robust_error_of_statsmodels():
    rng = np.random.default_rng(1)
    cluster = rng.integers(0, 12, 150)
    values = rng.normal(size=150) + rng.normal(size=12)[cluster]
    fit = OLS(values, np.ones(150)).fit(cov_type="cluster", cov_kwds={"groups": cluster}, use_t=True)
    figure = clustered_mean_figure(values, cluster, "strokes")
    assert (figure.low, figure.high) == pytest.approx(tuple(fit.conf_int(0.10)[0]))


@pytest.mark.parametrize(("hits", "n"), [(0, 12), (7, 14), (12, 12), (33, 200)])
def test_share_matches_the_wilson_interval_of_statsmodels(hits, n):
    expected = proportion_confint(hits, n, alpha=0.10, method="wilson")
    figure = share_figure(hits, n)
    assert (figure.low, figure.high) == pytest.approx(expected)
    alone = clustered_share_figure(np.repeat([1.0, 0.0], [hits, n - hits]), np.zeros(n, int))
    assert (alone.low, alone.high) == pytest.approx(expected)


def test_rounds_that_differ_widen_the_interval_of_a_share():
    hits = np.repeat([1.0, 0.0], 50)
    mixed = clustered_share_figure(hits, np.tile(np.arange(10), 10))
    split = clustered_share_figure(hits, np.repeat(np.arange(10), 10))
    assert split.value == mixed.value == 0.5
    assert split.high - split.low > 2 * (mixed.high - mixed.low)
    assert 0 <= split.low < split.high <= 1


@pytest.mark.parametrize("n", [5, 6, 10, 17, 25, 50, 101])
def test_median_interval_is_the_narrowest_symmetric_one_that_covers(n):
    """Coverage of [x(k), x(n+1-k)] is 1 - 2 P(Bin(n, 1/2) < k), exactly."""
    figure = quantile_figure(np.arange(1, n + 1, dtype=float), 0.5, "ft")
    k = int(figure.low)
    assert figure.high == n + 1 - k
    assert 1 - 2 * stats.binom.cdf(k - 1, n, 0.5) >= 0.90
    assert 1 - 2 * stats.binom.cdf(k, n, 0.5) < 0.90


def test_quartile_interval_covers_by_exact_binomial_ranks():
    figure = quantile_figure(np.arange(1, 61, dtype=float), 0.25, "yd")
    covered = stats.binom.cdf(figure.high - 1, 60, 0.25) - stats.binom.cdf(figure.low - 1, 60, 0.25)
    assert 0.90 <= covered < 0.95
    assert figure.low < figure.value < figure.high


@pytest.mark.parametrize(("probability", "fewest"), [(0.5, 5), (0.25, 11), (0.75, 11)])
def test_a_quantile_needs_values_on_both_sides(probability, fewest):
    """With fewer values than that all of them lie on one side of it more often than once in 20 times."""
    further = max(probability, 1 - probability)
    assert further**fewest <= 0.05 < further ** (fewest - 1)
    values = np.arange(fewest, dtype=float)
    assert quantile_figure(values, probability, "yd").enough
    assert not quantile_figure(values[1:], probability, "yd").enough


@pytest.mark.parametrize("probability", [0.25, 0.5, 0.75])
def test_quantile_of_shots_whose_days_differ_is_covered(probability):
    """Ten days of four shots; taken as independent, the interval of a quarter held the truth in 86% of tries."""
    rng = np.random.default_rng(11)
    day = np.repeat(np.arange(10), 4)
    truth = stats.norm.ppf(probability, 150, np.hypot(8, 5))
    held = 0
    for _ in range(400):
        values = 150 + 8 * rng.standard_normal(40) + 5 * rng.standard_normal(10)[day]
        figure = clustered_quantile_figure(values, day, probability, "yd")
        held += figure.low <= truth <= figure.high
    assert held / 400 >= 0.9


def test_clustered_median_of_single_shots_a_round_is_the_plain_median():
    values = np.random.default_rng(3).gamma(2.0, size=400)
    plain, clustered = (
        quantile_figure(values, 0.5, "ft"),
        clustered_median_figure(values, np.arange(400), "ft"),
    )
    assert clustered == plain
    two_each = clustered_median_figure(values, np.arange(400) // 2, "ft")
    assert two_each.high - two_each.low == pytest.approx(plain.high - plain.low, rel=0.25)


def test_deviations_have_the_standard_deviation_of_normal_data_as_their_median():
    normal = stats.norm.ppf((np.arange(2000) + 0.5) / 2000, loc=150, scale=7)
    assert np.median(deviations(normal)) == pytest.approx(7, rel=0.01)
    with_a_shank = np.append(normal, 1e6)
    assert np.median(deviations(with_a_shank)) == pytest.approx(7, rel=0.01)


def test_difference_of_shares_matches_the_newcombe_interval_of_statsmodels():
    figure = difference_figure(share_figure(28, 60), share_figure(40, 140))
    low, high = confint_proportions_2indep(28, 60, 40, 140, method="newcomb", alpha=0.10)
    assert figure.value == pytest.approx(28 / 60 - 40 / 140)
    assert (figure.low, figure.high) == pytest.approx((low, high))
    assert figure.n == 60


def test_difference_with_too_few_is_too_few():
    against_few = difference_figure(share_figure(3, 20), Figure.too_few(2, 10, "share"))
    assert (against_few.value, against_few.n, against_few.minimum_n) == (None, 2, 10)
    assert not difference_figure(Figure.too_few(2, 10, "share"), share_figure(3, 20)).enough


@given(st.lists(st.tuples(st.integers(0, 5), st.floats(-50, 50)), min_size=8, max_size=60))
def test_every_interval_holds_its_value(rows):
    cluster, values = np.array([r for r, _ in rows]), np.array([v for _, v in rows])
    figures = [
        mean_figure(values, "ft"),
        clustered_mean_figure(values, cluster, "ft"),
        clustered_median_figure(values, cluster, "ft"),
        clustered_share_figure((values > 0).astype(float), cluster),
    ]
    for figure in figures:
        assert not figure.enough or figure.low - 1e-9 <= figure.value <= figure.high + 1e-9


@pytest.mark.slow
def test_intervals_cover_the_truth_when_rounds_differ():
    """2000 players, 30 rounds each of 1 to 12 shots; a round's form shifts all its shots.

    The interval of the median is wider than need be (it never takes less than the exact binomial ranks).
    """
    rng = np.random.default_rng(7)
    players, form, shot = 2000, 0.4, 1.0
    covered = np.zeros(3)
    for _ in range(players):
        cluster = np.repeat(np.arange(30), rng.integers(1, 13, 30))
        latent = 0.3 + form * rng.normal(size=30)[cluster] + shot * rng.normal(size=len(cluster))
        covered += [
            holds(clustered_mean_figure(latent, cluster, "ft"), 0.3),
            holds(
                clustered_share_figure((latent > 0).astype(float), cluster),
                stats.norm.cdf(0.3 / math.hypot(form, shot)),
            ),
            holds(clustered_median_figure(np.exp(latent), cluster, "ft"), math.exp(0.3)),
        ]
    mean, share, median = covered / players
    assert 0.87 <= mean <= 0.93
    assert 0.87 <= share <= 0.93
    assert 0.87 <= median <= 0.96


def holds(figure, truth):
    return figure.low <= truth <= figure.high


def test_like_with_like_is_the_jackknife_over_clusters():
    """Fits with one cluster left out, by statsmodels; and never narrower than if no values went together."""
    rng = np.random.default_rng(4)
    cluster = np.repeat(np.arange(8), 30)
    beside = np.column_stack([np.ones(240), rng.normal(0, 1, 240)])
    chosen = (rng.random(240) < 0.4).astype(float)
    values = 0.3 * chosen * rng.normal(1, 1, 8)[cluster] + beside[:, 1] + rng.normal(0, 0.2, 240)
    difference, half = difference_like_with_like(values, chosen, beside, cluster)
    design = np.column_stack([chosen, beside])
    whole = OLS(values, design).fit()
    each = [OLS(values[cluster != one], design[cluster != one]).fit().params[0] for one in range(8)]
    error = np.sqrt(7 / 8 * np.sum((np.array(each) - whole.params[0]) ** 2))
    assert difference == pytest.approx(whole.params[0])
    assert half == pytest.approx(stats.t.ppf(0.95, 7) * max(error, whole.bse[0]))
    alone = difference_like_with_like(values, chosen, beside, np.arange(240) % 8)[1]
    assert alone >= stats.t.ppf(0.95, 7) * whole.bse[0] * 0.999
