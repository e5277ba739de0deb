"""Condition-adjusted putting: what a golfer sees beside the raw figure."""

from dataclasses import replace

import numpy as np
import pytest

from golfstats.calc.greens.adjusted import (
    RoundPutting,
    adjust_round,
    adjust_window,
    expected_putts_today,
    owed_loading,
)
from golfstats.calc.greens.effect.estimate import fit_effect
from golfstats.calc.greens.effect.posterior import MIDDLES_FT, too_few_effect
from golfstats.calc.greens.surface.cost import expected_putts
from tests.calc.greens.putting_club import SEASON_START, WORKS, play

CORED = SEASON_START + 30
HOLES = np.arange(1, 19)
FIRST_FT = np.linspace(4, 45, 18)


@pytest.fixture(scope="module")
def effect():
    club = play(np.random.default_rng(31), players=40, rounds=30, direction_effect=0.4, distance_effect=0.4)
    return fit_effect(club.putts, {0: WORKS}, ["home"])


def played(effect, day, putts=None, works=WORKS, holes=HOLES, course="home"):
    surface = effect.of_greens(works, np.full(len(holes), day), holes, course)
    first_ft = FIRST_FT[: len(holes)]
    putts = np.full(len(holes), 2) if putts is None else putts
    return RoundPutting(first_ft, putts, expected_putts(first_ft, 0.027, 0.13), surface)


def test_a_round_on_fresh_cores_owes_strokes_to_the_surface(effect):
    adjusted = adjust_round(effect, played(effect, CORED))
    assert adjusted.raw.value == pytest.approx(np.sum(expected_putts(FIRST_FT, 0.027, 0.13)) - 36)
    assert adjusted.owed.low > 0
    assert adjusted.adjusted.value == pytest.approx(adjusted.raw.value + adjusted.owed.value)
    assert adjusted.adjusted.low == pytest.approx(adjusted.raw.value + adjusted.owed.low)


def test_owed_is_shared_among_distances_as_wider_spreads_cost_by_the_chain(effect):
    """Long first putts owe more than short ones, in the proportion that the chained putting model gives."""
    fresh = effect.of_greens(WORKS, np.array([CORED]), np.array([1]), "home")

    def owed(feet):
        one = RoundPutting(np.array([feet]), np.array([2]), np.array([2.0]), fresh)
        return owed_loading(effect, one) @ effect.mean

    a, b = 0.027, 0.13
    near, far = (
        float(expected_putts(feet, a * 1.25, b * 1.25) - expected_putts(feet, a, b)) for feet in (6.0, 40.0)
    )
    assert owed(40.0) / owed(6.0) == pytest.approx(far / near, rel=0.05)


def test_a_usual_round_owes_what_a_round_costs(effect):
    """The club's own first putts, each as often as it meets them, add up to the cost of a round."""
    shares = effect.shares(np.repeat(MIDDLES_FT, 3)) @ np.repeat(effect.first_putts / 3, 3)
    assert shares == pytest.approx(1)


def test_nine_holes_owe_half_of_eighteen(effect):
    loading = [owed_loading(effect, played(effect, CORED, holes=holes)) for holes in (HOLES, HOLES[::2])]
    share = np.sum(effect.shares(FIRST_FT[:9])) / np.sum(effect.shares(FIRST_FT))
    assert loading[1] @ effect.mean == pytest.approx(share * (loading[0] @ effect.mean))


def test_an_undisturbed_round_owes_nothing(effect):
    adjusted = adjust_round(effect, played(effect, CORED - 1))
    assert (adjusted.owed.value, adjusted.owed.low, adjusted.owed.high) == (0, 0, 0)
    assert adjusted.adjusted == adjusted.raw


def test_raw_does_not_depend_on_the_works(effect):
    with_work, without = played(effect, CORED), played(effect, CORED, works=[])
    assert adjust_round(effect, with_work).raw == adjust_round(effect, without).raw
    assert adjust_window(effect, [with_work] * 3).raw == adjust_window(effect, [without] * 3).raw


def test_a_window_averages_its_rounds_and_is_wider_than_the_raw_one(effect):
    rng = np.random.default_rng(3)
    rounds = [played(effect, CORED + day, rng.choice([1, 2, 2, 3], 18)) for day in (0, 1, 2, 40, 41)]
    window = adjust_window(effect, rounds)
    each = [adjust_round(effect, one) for one in rounds]
    assert window.raw.value == pytest.approx(np.mean([one.raw.value for one in each]))
    assert window.owed.value == pytest.approx(np.mean([one.owed.value for one in each]))
    assert window.adjusted.value == pytest.approx(window.raw.value + window.owed.value)
    assert window.adjusted.n == 5
    assert window.adjusted.high - window.adjusted.low > window.owed.high - window.owed.low


def test_nine_holes_weigh_half_of_eighteen_in_a_window(effect):
    """One whole round and one of nine holes: 18 times the strokes over the 27 holes, raw and owed alike."""
    whole, nine = played(effect, CORED), played(effect, CORED + 1, holes=HOLES[:9])
    window = adjust_window(effect, [whole, nine])
    each = [adjust_round(effect, one) for one in (whole, nine)]
    assert window.raw.value == pytest.approx(18 * sum(one.raw.value for one in each) / 27)
    assert window.owed.value == pytest.approx(18 * sum(one.owed.value for one in each) / 27)
    assert window.raw.n == 2


def test_on_another_course_the_same_greens_owe_with_more_doubt(effect):
    here, there = (owed_loading(effect, played(effect, CORED, course=name)) for name in ("home", "away"))
    assert there @ effect.covariance @ there > 1.1**2 * (here @ effect.covariance @ here)


def test_where_such_work_has_not_been_seen_a_round_owes_no_number(effect):
    there = replace(played(effect, CORED, course="away"), known=False)
    adjusted = adjust_round(effect, there)
    assert adjusted.raw == adjust_round(effect, played(effect, CORED)).raw
    assert not adjusted.owed.enough
    assert not adjusted.adjusted.enough
    sound = replace(played(effect, CORED - 1, course="away"), known=False)
    assert adjust_round(effect, sound).owed.value == 0


def test_too_few_leaves_raw_alone():
    nothing = too_few_effect(4, 2, 900)
    window = adjust_window(nothing, [played(nothing, CORED), played(nothing, CORED + 1)])
    one = adjust_round(nothing, played(nothing, CORED))
    assert window.raw.value is not None
    assert one.raw.value is not None
    assert window.owed.value is window.adjusted.value is one.owed.value is one.adjusted.value is None


def test_undisturbed_rounds_are_whole_even_where_nothing_is_known():
    nothing = too_few_effect(0, 0, 0)
    window = adjust_window(nothing, [played(nothing, CORED - 1)] * 3)
    assert window.adjusted == window.raw
    assert window.owed.value == 0


def test_no_rounds_is_too_few(effect):
    assert adjust_window(effect, []).adjusted.value is None


def test_expected_putts_rise_with_the_days_disturbance(effect):
    fresh = effect.of_greens(WORKS, np.array([CORED]), np.array([1]), "home")[0]
    today = expected_putts_today(effect, 20.0, 1.95, fresh)
    assert today.low > 1.95
    assert expected_putts_today(effect, 20.0, 1.95, np.zeros_like(fresh)).value == 1.95


def test_late_work_changes_only_the_days_it_touches(effect):
    late = [*WORKS, replace(WORKS[0], start=SEASON_START + 100, end=SEASON_START + 100)]
    before = played(effect, SEASON_START + 99)
    assert np.array_equal(before.surface, played(effect, SEASON_START + 99, works=late).surface)
    touched = adjust_round(effect, played(effect, SEASON_START + 101, works=late)).owed.value
    assert touched > adjust_round(effect, played(effect, SEASON_START + 101)).owed.value
