"""When greens are back: the evidence of each way of healing, and what is told of greens that heal in each of them."""

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from golfstats.calc.greens.effect import recovery
from golfstats.calc.greens.effect.estimate import fit_effect
from golfstats.calc.greens.effect.event_study import Setting, Solved
from golfstats.calc.greens.effect.healing import KNOTS, Coefficients
from golfstats.calc.greens.effect.recovery import SCALES, chances_of_scales
from golfstats.calc.greens.surface.disturbance import Work
from golfstats.calc.greens.surface.work_types import work_types
from tests.calc.greens.putting_club import SEASON_START, play

KIND = "coring_large"
USUAL = work_types()[KIND].recovery_days
SETTING = Setting((2.0, 45.0), 0.3, 4.0, 1.0, 0.7)


def solved(seen, noise_sd, prior):
    """The posterior of a curve at the knots, each seen once with noise; in closed form."""
    precision = np.linalg.inv(prior) + np.eye(len(KNOTS)) / noise_sd**2
    covariance = np.linalg.inv(precision)
    evidence = multivariate_normal(np.zeros(len(KNOTS)), prior + noise_sd**2 * np.eye(len(KNOTS))).logpdf(
        seen
    )
    return Solved(SETTING, float(evidence), covariance @ seen / noise_sd**2, covariance)


def test_evidence_of_a_curve_is_that_of_the_normal_distribution():
    """Against SciPy: what is seen at the knots is normal about height × curve, its height normal about nothing."""
    rng = np.random.default_rng(3)
    seen, noise_sd, height_sd = rng.standard_normal(len(KNOTS)), 0.8, 5.0
    prior = Coefficients((), ()).prior_covariance(0.7)
    (says,) = recovery._says(np.eye(len(KNOTS)), [solved(seen, noise_sd, prior)], {0.7: prior})
    curves = recovery._ways(21.0)
    evidence = recovery._log_evidence(says, curves, height_sd)
    noise = noise_sd**2 * np.eye(len(KNOTS))
    expected = [
        multivariate_normal(np.zeros(len(KNOTS)), noise + height_sd**2 * np.outer(curve, curve)).logpdf(seen)
        for curve in curves
    ]
    assert evidence == pytest.approx(expected, abs=1e-4)


def test_without_a_word_from_the_putts_the_chances_are_those_of_the_published_ranges():
    nothing = recovery._Say(np.zeros((len(KNOTS), len(KNOTS))), np.zeros(len(KNOTS)), 0.0)
    chances = chances_of_scales([nothing], 5.0)
    assert chances.sum() == pytest.approx(1)
    assert np.exp(chances @ np.log(SCALES)) == pytest.approx(1, abs=0.05)
    spread = np.sqrt(chances @ np.log(SCALES) ** 2)
    assert 0.5 < spread < 0.75  # wider than from half to double


@pytest.mark.parametrize("profile", ["as bad until the last day", "only from the third day on"])
def test_greens_that_are_sound_from_one_day_to_the_next_are_told_that_day(profile):
    """Fast healing at first was all that was once compared: such greens were told twice their days."""
    works = [Work(KIND, SEASON_START + day, SEASON_START + day, severity=1.0) for day in (60, 150)]

    def disturbance(day, _):
        since = np.min([np.where(day >= work.start, day - work.start, 99) for work in works], axis=0)
        return ((since < 13) & (since >= (0 if profile.startswith("as bad") else 3))).astype(float)

    club = play(
        np.random.default_rng(4),
        40,
        25,
        direction_effect=0.6,
        distance_effect=0.6,
        works=works,
        disturbance=disturbance,
    )
    days = fit_effect(club.putts, {0: works}).recovery_days(KIND)
    assert days.low < 13 < days.high
    assert days.high < USUAL
    assert days.value == pytest.approx(13, abs=2)


def test_greens_that_heal_slowly_towards_the_end_are_told_a_wide_span():
    """Little is left in the last third, so the day is told as widely as it is known, and not refused."""
    works = [Work(KIND, SEASON_START + day, SEASON_START + day, severity=1.0) for day in (60, 150)]
    club = play(
        np.random.default_rng(5),
        40,
        25,
        recovery=USUAL,
        direction_effect=0.4,
        distance_effect=0.4,
        works=works,
    )
    days = fit_effect(club.putts, {0: works}).recovery_days(KIND)
    assert days.low < USUAL < days.high
    assert 1.5 < days.high / days.low <= recovery.WIDEST
