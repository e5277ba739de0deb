"""The event study against the textbook: posterior and evidence of the same model written out in full."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from scipy import linalg, stats

from golfstats.calc.greens.effect import event_study
from golfstats.calc.greens.effect.event_study import EventStudy, Setting, Study
from golfstats.calc.greens.effect.healing import (
    KNOTS,
    LAST_DAY,
    Coefficients,
    default_decay,
    hats,
    standard_rate,
)

SETTING = Setting(season=(0.7, 45.0), day_sd=0.5, memory=4.0, slope_sd=1.3, rough_sd=0.7)
NOISE = 3.2
LEVELS_SD = 1e3
"""A level that is free, near enough."""


def a_study(rng, rounds=60, players=5):
    player = np.sort(rng.integers(0, players, rounds))
    day = rng.integers(0, 50, rounds)
    since = np.where(day >= 20, day - 20.0, np.inf)
    coefficients = Coefficients(("coring_large",), ("0",))
    work = np.zeros((rounds, coefficients.size))
    felt = np.isfinite(since)
    work[felt] = coefficients.after(since[felt], "coring_large", 1.0, "0")
    study = Study(
        player=player,
        course=rng.integers(0, 2, rounds),
        day=day,
        weight=rng.uniform(0.4, 1.0, rounds),
        surplus=2 * rng.standard_normal(rounds),
        work=work,
        decay=default_decay(since),
        healing=felt.astype(float),
        speed=rng.standard_normal(rounds),
    )
    return study, coefficients.prior_covariance(0.7)


def in_full(study, prior, setting=SETTING):
    """Covariance of the surplus, and of surplus and coefficients: every part of the model as a dense matrix."""
    apart = np.abs(study.day[:, None] - study.day).astype(float)
    same_course = study.course[:, None] == study.course
    shared = np.where(same_course, 1.0, event_study.SHARED)
    days = setting.season[0] ** 2 * np.exp(-0.5 * (apart / setting.season[1]) ** 2)
    days = shared * (days + setting.day_sd**2 * np.exp(-apart / setting.memory))
    same_player = study.player[:, None] == study.player
    covariance = (
        days
        + study.work @ prior @ study.work.T
        + event_study.FORM_SD**2 * np.outer(study.healing, study.healing)
        + event_study.SPEED_SD**2 * np.outer(study.speed, study.speed)
        + event_study.COURSE_LEVEL_SD**2 * same_course
        + same_player * (LEVELS_SD**2 + setting.slope_sd**2 * np.outer(study.decay, study.decay))
        + np.diag(NOISE / study.weight)
    )
    return covariance, prior @ study.work.T


def test_posterior_is_that_of_the_joint_normal():
    study, prior = a_study(np.random.default_rng(1))
    (solved,) = EventStudy(study).solve([SETTING], NOISE, {0.7: prior})
    covariance, across = in_full(study, prior)
    assert solved.mean == pytest.approx(across @ linalg.solve(covariance, study.surplus), abs=2e-3)
    expected = prior - across @ linalg.solve(covariance, across.T)
    assert solved.covariance == pytest.approx(expected, abs=2e-3)


def test_evidence_differs_between_settings_as_the_joint_normal_does():
    study, prior = a_study(np.random.default_rng(2))
    other = Setting((2.0, 15.0), 1.1, 1.0, 2.5, 0.7)
    ours = [one.log_evidence for one in EventStudy(study).solve([SETTING, other], NOISE, {0.7: prior})]
    exact = []
    for setting in (SETTING, other):
        covariance, _ = in_full(study, prior, setting)
        exact.append(stats.multivariate_normal(cov=covariance).logpdf(study.surplus))
    assert ours[0] - ours[1] == pytest.approx(exact[0] - exact[1], abs=1e-3)


def test_evidence_differs_between_noises_as_the_joint_normal_does():
    study, prior = a_study(np.random.default_rng(3))
    ours, exact = [], []
    for noise in (2.0, 5.0):
        (solved,) = EventStudy(study).solve([SETTING], noise, {0.7: prior})
        ours.append(solved.log_evidence)
        covariance, _ = in_full(study, prior)
        covariance += np.diag((noise - NOISE) / study.weight)
        exact.append(stats.multivariate_normal(cov=covariance).logpdf(study.surplus))
    assert ours[0] - ours[1] == pytest.approx(exact[0] - exact[1], abs=1e-3)


def test_hats_draw_straight_lines_and_end_at_nothing():
    days = np.linspace(0, 40, 81)
    curve = np.cos(KNOTS / 10)
    drawn = hats(days, KNOTS) @ curve
    assert drawn == pytest.approx(
        np.interp(days, np.append(KNOTS, LAST_DAY), np.append(curve, 0.0), right=0.0)
    )


def test_a_kind_that_heals_in_half_the_time_runs_twice_as_fast():
    assert standard_rate("coring_medium") == pytest.approx(2.0)  # 10.5 days against the standard's 21
    assert standard_rate("rolling") == pytest.approx(10.5)  # healed at once, looked for on two days


def test_prior_of_another_course_and_of_another_kind_is_never_sure():
    coefficients = Coefficients(("coring_large", "rolling"), ("here", "there"))
    prior = coefficients.prior_covariance(0.7)
    here = coefficients.after([0.0], "coring_large", 1.0, "here")[0]
    there = coefficients.after([0.0], "coring_large", 1.0, "there")[0]
    rolling = coefficients.after([0.0], "rolling", 0.0, "here")[0]
    assert np.sqrt((here - there) @ prior @ (here - there)) == pytest.approx(np.sqrt(2), rel=1e-6)
    assert np.sqrt(rolling @ prior @ rolling) == pytest.approx(0.4, rel=1e-6)


@pytest.mark.parametrize("length", [8.0, 60.0])
def test_walking_the_settings_finds_the_ones_that_the_whole_grid_has(monkeypatch, length):
    """Where days tell much, of a season that turns fast or slowly; and fewer are worked out."""
    rng = np.random.default_rng(4)
    study, prior = a_study(rng, rounds=400, players=8)
    season = 2.5 * np.sin(study.day / length) + 1.5 * rng.standard_normal(50)[study.day]
    study = replace(study, surplus=study.surplus / 4 + season)
    worked_out = []
    covariance = EventStudy._covariance
    monkeypatch.setattr(
        EventStudy, "_covariance", lambda self, days: worked_out.append(days) or covariance(self, days)
    )
    walked, _, _ = EventStudy(study).posterior({0.7: prior})
    some = len(set(worked_out))
    everywhere = list(product(*map(range, (3, 5, 3))))
    monkeypatch.setattr(event_study, "_beside", lambda _: everywhere)
    whole, _, _ = EventStudy(study).posterior({0.7: prior})
    assert walked.mean == pytest.approx(whole.mean, abs=1e-12)
    assert walked.covariance == pytest.approx(whole.covariance, abs=1e-12)
    assert some < len(set(worked_out)) == 45
