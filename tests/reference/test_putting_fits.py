"""The make model against published fits and published chances; each source stands in the CSV read here."""

import csv
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from golfstats.calc.putting import make_model
from golfstats.calc.putting.fit import fit_expected_putts
from golfstats.calc.putting.outcomes import putting_outcomes
from golfstats.calc.strokes.table import professional_rows
from golfstats.calc.vocabulary import Lie
from tests.reference.putting_fits import PuttCounts, fit_angle, fit_angle_and_distance

HERE = Path(__file__).parent


def counts(name: str) -> PuttCounts:
    feet, tries, makes = np.loadtxt(HERE / name, delimiter=",", skiprows=2, unpack=True)
    return PuttCounts(feet, tries, makes)


def published(model: str, parameter: str) -> list[float]:
    with (HERE / "putting_models.csv").open() as file:
        return [
            float(row["value"])
            for row in csv.DictReader(file)
            if row["model"] == model and row["parameter"] == parameter
        ]


def test_tables_carried_over_whole():
    # Totals stated with the published tables.
    berry, modern = counts("putting_berry_1996.csv"), counts("putting_2016_2018.csv")
    assert (berry.tries.sum(), berry.makes.sum()) == (5_988, 3_390)
    assert (modern.tries.sum(), modern.makes.sum()) == (1_253_196, 766_741)


def test_sizes_of_ball_and_hole():
    assert published("constants", "ball_radius_ft") == [pytest.approx(make_model.BALL_RADIUS_FT, abs=1e-6)]
    assert published("constants", "hole_radius_ft") == [pytest.approx(make_model.HOLE_RADIUS_FT, abs=1e-6)]
    assert published("constants", "overshot_ft") == [make_model.OVERSHOT_FT]
    assert published("constants", "distance_tolerance_ft") == [make_model.TOLERANCE_FT]


def test_angle_fit_of_berrys_putts():
    fit = fit_angle(counts("putting_berry_1996.csv"))
    (degrees,) = published("angle_on_berry", "sigma_degrees")
    assert degrees == 1.53
    assert np.degrees(fit.direction_sd) == pytest.approx(degrees, abs=0.005)
    assert np.degrees(fit.direction_se) == pytest.approx(0.02, abs=0.005)  # published sd 0.02
    for radians in published("angle_on_berry", "sigma_rad"):
        assert fit.direction_sd == pytest.approx(radians, abs=0.001)


def test_angle_and_distance_fit_of_the_modern_putts():
    fit = fit_angle_and_distance(counts("putting_2016_2018.csv"))
    model = "angle_distance_normal_on_2016_2018"
    (degrees,) = published(model, "sigma_degrees")
    assert np.degrees(fit.direction_sd) == pytest.approx(degrees, abs=0.005)
    assert np.degrees(fit.direction_se) == pytest.approx(0.006, abs=0.001)  # published sd 0.006
    rounded, rerun = published(model, "sigma_distance")
    assert fit.distance_sd == pytest.approx(rounded, abs=0.0005)
    assert fit.distance_sd == pytest.approx(rerun, abs=0.0002)
    assert fit.distance_se == pytest.approx(0.0013, abs=0.0002)  # published sd 0.001, re-run 0.0013
    assert fit.direction_sd == pytest.approx(published(model, "sigma_angle_rad")[1], abs=0.00002)


def test_model_with_the_published_spreads_follows_the_putts_it_was_fitted_to():
    # The case study calls the fit good, with residuals of about a hundredth (size from memory).
    modern = counts("putting_2016_2018.csv")
    chance = make_model.make_probability(modern.feet, 0.0178, 0.080)
    assert np.max(np.abs(modern.makes / modern.tries - chance)) < 0.012


def test_formula_against_scipys_normal_distribution():
    # The published formula, evaluated literally where nothing underflows.
    feet = np.array([2.0, 5.0, 12.0, 40.0])
    reach = (4.25 - 1.68) / 24
    line = 2 * stats.norm.cdf(np.arcsin(reach / feet) / 0.03) - 1
    length = stats.norm.cdf(2 / ((feet + 1) * 0.12)) - stats.norm.cdf(-1 / ((feet + 1) * 0.12))
    np.testing.assert_allclose(make_model.make_probability(feet, 0.03, 0.12), line * length, rtol=1e-12)


def published_outcomes(outcome):
    """Feet, and the professionals' chance of one or three putts, or their expected putts; sources in the tables."""
    if outcome == "expected":
        greens = [
            row for row in professional_rows() if row.lie == Lie.GREEN and row.confidence != "extension"
        ]
        return np.array([(3 * row.yards, row.strokes) for row in greens]).T
    with (HERE / "putt_probabilities.csv").open() as file:
        found = [
            row for row in csv.DictReader(file) if (row["group"], row["outcome"]) == ("professional", outcome)
        ]
    return np.array([(float(row["feet"]), float(row["probability"])) for row in found]).T


@pytest.mark.parametrize(
    ("outcome", "column", "tolerance"),
    # The make model was fitted elsewhere, and of the leave model one number to the three-putts from 60 and 90 ft.
    [("one_putt", "one", 0.03), ("expected", "expected_putts", 0.03), ("three_putt", "three_or_more", 0.012)],
)
def test_chain_with_professional_spreads_against_published_outcomes(outcome, column, tolerance):
    feet, value = published_outcomes(outcome)
    away = np.abs(getattr(putting_outcomes(feet, 0.0178, 0.080), column) - value)
    assert np.max(away[feet <= 40]) < tolerance
    assert np.max(away) < 0.03


def test_spreads_behind_the_published_expected_putts():
    # Two independent publications agree: mean putts to 40 ft lead back to the spreads fitted to makes alone.
    feet, putts = published_outcomes("expected")
    fit = fit_expected_putts(feet[feet <= 40], putts[feet <= 40])
    assert np.degrees(fit.direction_sd) == pytest.approx(1.02, abs=0.03)
    assert fit.distance_sd == pytest.approx(0.080, abs=0.005)
