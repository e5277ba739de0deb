"""Days: which putts a bad day brings, what the misses of a day tell, and the algebra against dense matrices."""

import numpy as np
import pytest
from scipy import integrate, special, stats

from golfstats.calc.putting.days import Days, days_of, over_days, within_days
from golfstats.calc.putting.likelihood import Putts
from golfstats.calc.putting.misfit import misfit_of
from golfstats.calc.putting.outcomes import putting_outcomes

SPREADS = (np.radians(1.6), 0.11)


def moody(rng, rounds=160, form=0.6):
    """Putts holed by the model's odds and a day's form; a miss leaves a ninth of the way, less far on good days."""
    first = np.exp(rng.normal(np.log(14), 0.8, 18 * rounds)).clip(1, 60)
    day = form * rng.standard_normal(rounds)
    model = putting_outcomes(np.geomspace(0.5, 70, 80), *SPREADS)
    rows, hole, feet = [], np.arange(len(first)), first
    for last in (False, False, True):
        odds = np.interp(np.log(feet), np.log(model.distance_ft), special.logit(model.one)) + day[hole // 18]
        holed = (rng.random(len(hole)) < special.expit(odds)) | last
        left = np.where(holed, 0, np.maximum(feet * np.exp(-2.2 - 2 * day[hole // 18]), 0.5))
        left *= rng.gamma(6, 1 / 6, len(hole))
        rows.append((hole, feet, holed, left))
        hole, feet = hole[~holed], left[~holed].clip(0.5, 60)
    hole, feet, holed, left = (np.concatenate(column) for column in zip(*rows[:2], strict=True))
    return Putts(np.zeros(len(hole), dtype=int), feet, holed, left, hole // 18, hole), odds


def test_putts_that_bad_days_bring_do_not_make_the_usual_day_worse():
    """Putts of a few feet are mostly those that bad days left; on the usual day the model is right."""
    off, plain = [], []
    for seed in range(6):
        putts, _ = moody(np.random.default_rng(seed))
        off.append(float(misfit_of(putts, *SPREADS).make.on(np.array([4.5]))[0][0]))
        near = (putts.distance_ft > 3.5) & (putts.distance_ft < 6)
        expected = putting_outcomes(putts.distance_ft[near], *SPREADS).one
        plain.append(float(special.logit(np.mean(putts.holed[near])) - special.logit(np.mean(expected))))
    assert np.mean(plain) < -0.12
    assert abs(np.mean(off)) < 0.1
    assert abs(np.mean(off)) < abs(np.mean(plain)) / 2


def test_what_misses_left_tells_of_the_day():
    rng = np.random.default_rng(5)
    putts, _ = moody(rng)
    make = putting_outcomes(putts.distance_ft, *SPREADS).one
    days = days_of(putts, make)
    form = np.array([np.mean((putts.holed - make)[putts.round == number]) for number in range(160)])
    assert np.corrcoef(days.level, form)[0, 1] < -0.5
    assert np.mean(days.level) == pytest.approx(0, abs=1e-9)
    assert days.variance == pytest.approx(0.6**2, rel=0.5)


def test_log_odds_over_days_are_those_of_the_mean_chance():
    """Zeger, Liang and Albert's factor against the integral itself."""
    for odds in (-3.0, -1.0, 0.4, 2.0):
        for sd in (0.15, 0.35, 0.6):
            mean, _ = integrate.quad(
                lambda z, o=odds, s=sd: special.expit(o + s * z) * stats.norm.pdf(z), -8, 8
            )
            assert float(over_days(np.array(odds), sd**2)) == pytest.approx(special.logit(mean), abs=0.035)


def test_rounds_with_their_own_intercept_against_generalised_least_squares():
    """The step against statsmodels' GLS with the dense covariance of cells: 1 / weight, and the day within a round."""
    import statsmodels.api as sm

    rng = np.random.default_rng(6)
    rounds, bins, day = 9, 4, 0.2
    weight = rng.uniform(0.3, 3, (rounds, bins))
    level = rng.normal(0, 0.4, rounds)
    seen = rng.normal(0.3, 0.6, (rounds, bins))
    move, covariance = within_days(weight, weight * seen, Days(np.empty(0, dtype=int), level, day), 0.0)
    cells = np.arange(rounds * bins)
    design = np.column_stack([cells[:, None] % bins == np.arange(bins), level[cells // bins]]).astype(float)
    within = np.diag(1 / weight.ravel()) + day * np.equal.outer(cells // bins, cells // bins)
    # the prior of the form's slope (mean 0, standard deviation 1) as one more observation
    design = np.vstack([design, np.eye(bins + 1)[-1]])
    dense = np.zeros((len(cells) + 1, len(cells) + 1))
    dense[:-1, :-1], dense[-1, -1] = within, 1.0
    found = sm.GLS(np.append(seen.ravel(), 0.0), design, sigma=dense).fit(cov_type="fixed scale")
    np.testing.assert_allclose(move, found.params, rtol=1e-8)
    np.testing.assert_allclose(covariance, found.normalized_cov_params, rtol=1e-8)
