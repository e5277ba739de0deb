"""Context effects: one linear model, checked against statsmodels, plain algebra and known truth."""

import numpy as np
import pytest
import statsmodels.api as sm
from numpy.testing import assert_allclose

from golfstats.calc.greens.context import context_effects, contexts
from golfstats.calc.greens.effect.mixed_model import fit_mixed, indicator
from golfstats.calc.record import Rounds


def club(rng, players=20, each=30, days=200):
    n = players * each
    order = np.argsort(rng.integers(0, days, n), kind="stable")
    day = np.sort(rng.integers(0, days, n))
    player = np.repeat(np.arange(players), each)[order]
    course = np.where(rng.random(n) < 0.15, rng.integers(1, 12, n), 0)
    weather = rng.gamma(2.0, 5.0, days), 15 + 8 * rng.standard_normal(days)
    return Rounds(
        player=player,
        day=day + 738_000,
        course=course,
        counting=np.ones(n, bool),
        competition=rng.random(n) < 0.25,
        start_hour=rng.uniform(7, 17, n),
        temperature=weather[1][day],
        wind_speed=weather[0][day],
    )


def truth(rounds, rng, effects, day_sd=0.8, player_sd=1.0):
    value = {c.key: np.nan_to_num(c.value) for c in contexts(rounds)}
    residual = sum((size * value[key] for key, size in effects.items()), np.zeros(len(rounds)))
    of_day = day_sd * rng.standard_normal(400)
    of_player = player_sd * rng.standard_normal(100)
    return (
        residual
        + of_day[rounds.day - 738_000]
        + of_player[rounds.player]
        + 3 * rng.standard_normal(len(rounds))
    )


def test_variances_agree_with_statsmodels():
    rng = np.random.default_rng(1)
    group = np.repeat(np.arange(25), 12)
    x = np.column_stack([np.ones(300), rng.standard_normal(300)])
    y = x @ [1.0, 0.5] + rng.standard_normal(25)[group] + 2 * rng.standard_normal(300)
    other = sm.MixedLM(y, x, group).fit(reml=True)
    ours = fit_mixed(y, x, [indicator(group)])
    assert ours.variances[0] == pytest.approx(other.cov_re[0, 0], rel=0.03)
    assert ours.residual_variance == pytest.approx(other.scale, rel=0.01)
    assert_allclose(ours.effects[:2], other.fe_params, rtol=1e-3)
    assert_allclose(np.sqrt(np.diag(ours.covariance)[:2]), other.bse_fe, rtol=0.02)
    predicted = np.array([other.random_effects[g].iloc[0] for g in range(25)])
    assert_allclose(ours.effects[2:], predicted, atol=0.02)


def test_crossed_effects_agree_with_generalised_least_squares():
    rng = np.random.default_rng(2)
    one, two = rng.integers(0, 8, 120), rng.integers(0, 15, 120)
    x = np.column_stack([np.ones(120), rng.standard_normal(120)])
    y = x @ [0.0, 1.0] + rng.standard_normal(8)[one] + rng.standard_normal(15)[two] + rng.standard_normal(120)
    fit = fit_mixed(y, x, [indicator(one), indicator(two)])
    same = [(group[:, None] == group[None, :]).astype(float) for group in (one, two)]
    total = fit.residual_variance * np.eye(120) + sum(v * s for v, s in zip(fit.variances, same, strict=True))
    weight = np.linalg.inv(total)
    covariance = np.linalg.inv(x.T @ weight @ x)
    assert_allclose(fit.effects[:2], covariance @ x.T @ weight @ y, atol=1e-8)
    assert_allclose(fit.covariance[:2, :2], covariance, atol=1e-8)


def test_finds_what_is_there():
    rng = np.random.default_rng(3)
    rounds = club(rng, players=30, each=60)
    effects = {
        e.key: e.strokes
        for e in context_effects(rounds, truth(rounds, rng, {"first_visit": 2.5, "wind": 1.0}))
    }
    assert effects["first_visit"].low > 0
    assert effects["first_visit"].low < 2.5 < effects["first_visit"].high
    assert effects["wind"].low < 1.0 < effects["wind"].high
    assert effects["competition"].low < 0 < effects["competition"].high


def test_n_counts_the_rounds_that_speak():
    rng = np.random.default_rng(4)
    rounds = club(rng)
    found = {e.key: e.strokes for e in context_effects(rounds, truth(rounds, rng, {}))}
    assert found["competition"].n == int(np.sum(rounds.competition))
    assert found["wind"].n == len(rounds)
    assert found["break"].n == len(rounds) - 20


def test_what_was_never_recorded_is_too_few():
    rng = np.random.default_rng(5)
    rounds = club(rng)
    blank = Rounds(**{**vars(rounds), "wind_speed": np.full(len(rounds), np.nan)})
    found = {e.key: e.strokes for e in context_effects(blank, truth(rounds, rng, {}))}
    assert found["wind"].value is None
    assert found["wind"].n == 0
    assert found["cold"].value is not None


def test_a_handful_of_rounds_is_too_few():
    rng = np.random.default_rng(6)
    rounds = club(rng, players=2, each=10)
    assert all(e.strokes.value is None for e in context_effects(rounds, truth(rounds, rng, {})))


def test_the_home_course_is_no_first_visit_when_the_record_begins():
    rounds = club(np.random.default_rng(7))
    first = next(c for c in contexts(rounds) if c.key == "first_visit").value
    own = np.flatnonzero(rounds.player == 0)
    assert np.all(np.isnan(first[own[:5]]))
    home_later = own[5:][rounds.course[own[5:]] == 0]
    assert np.all(first[home_later] == 0)


def test_many_rounds_of_one_windy_day_count_as_one_windy_day():
    rng = np.random.default_rng(8)
    rounds = club(rng, players=20, each=20, days=10)
    found = {e.key: e.strokes for e in context_effects(rounds, truth(rounds, rng, {}, day_sd=2.0))}
    plain = 3 / (np.std(rounds.wind_speed / 10) * np.sqrt(len(rounds)))
    assert (found["wind"].high - found["wind"].low) / 3.29 > 1.5 * plain


@pytest.mark.slow
def test_intervals_hold_the_truth_nine_times_in_ten():
    size = {"first_visit": 1.5, "wind": 0.8, "competition": 0.6, "afternoon": 0.0, "cold": 0.3}
    covered = []
    for number in range(40):
        rng = np.random.default_rng([9, number])
        rounds = club(rng)
        found = {e.key: e.strokes for e in context_effects(rounds, truth(rounds, rng, size))}
        covered.append([found[key].low <= value <= found[key].high for key, value in size.items()])
    assert 0.83 < np.mean(covered) < 0.97
