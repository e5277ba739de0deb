"""The club's own golfers: a planted truth is found again, and few shots leave the estimate as it is."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from golfstats.calc.strokes.club_golfer import (
    ClubGolfer,
    HoleOuts,
    ShotSums,
    closeness,
    golfers_near,
    hole_outs,
)
from golfstats.calc.strokes.handicap_golfer import expected_for, handicap_golfer
from golfstats.calc.vocabulary import Lie

TODAY = date(2026, 3, 1)
EVERY_YARD = np.linspace(0.0, 650.0, 1301)
LIES = np.array([Lie.TEE, Lie.FAIRWAY, Lie.ROUGH, Lie.SAND, Lie.RECOVERY, Lie.FRINGE, Lie.GREEN])
OFTEN = np.array([0.18, 0.19, 0.12, 0.06, 0.03, 0.02, 0.40])


def planted(lie, yards):
    """By how much this club's golfers differ from the estimate: monotone and smooth, 0 at the hole."""
    return np.where(lie == Lie.GREEN, 0.12 * np.tanh(yards / 4), 0.30 * np.tanh(yards / 60) + 0.0003 * yards)


def shots_of_a_club(n: int, rng: np.random.Generator, share_of_women: float = 0.0) -> HoleOuts:
    """Shots whose strokes to hole out are whole numbers with exactly the planted mean."""
    lie = rng.choice(LIES, p=OFTEN, size=n)
    yards = np.exp(rng.uniform(np.log(4), np.log(260), n))
    yards = np.where(lie == Lie.GREEN, rng.uniform(0.5, 15, n), yards)
    yards = np.where(lie == Lie.TEE, rng.uniform(140, 540, n), yards)
    handicap = np.clip(rng.normal(14, 6, n), -3, 36)
    women = rng.random(n) < share_of_women
    mean = expected_for(handicap, lie, yards, women) + planted(lie, yards)
    whole = np.floor(mean)
    spread = rng.choice([-1, 0, 1], p=[0.2, 0.6, 0.2], size=n) * (whole >= 2)
    strokes = whole + (rng.random(n) < mean - whole) + spread
    return HoleOuts(lie.astype(np.int8), yards, strokes.astype(np.int64), handicap, women)


def fitted_golfer(handicap, gender, shots):
    return golfers_near(handicap, ShotSums.of(shots), TODAY)[gender]


def errors(golfer: ClubGolfer, lie: Lie, yards: np.ndarray) -> np.ndarray:
    lies = np.full(yards.shape, lie)
    truth = handicap_golfer(golfer.handicap).expected(lies, yards) + planted(lies, yards)
    return golfer.benchmark().expected(lies, yards) - truth


WHERE_SHOTS_ARE = {
    Lie.TEE: np.linspace(160, 520, 37),
    Lie.FAIRWAY: np.linspace(10, 240, 47),
    Lie.ROUGH: np.linspace(10, 240, 47),
    Lie.SAND: np.linspace(10, 200, 39),
    Lie.GREEN: np.linspace(1, 14, 40),
}


def test_many_shots_recover_the_planted_curve():
    golfer = fitted_golfer(12.0, "men", shots_of_a_club(100_000, np.random.default_rng(11)))
    for lie, yards in WHERE_SHOTS_ARE.items():
        error = errors(golfer, lie, yards)
        assert np.sqrt(np.mean(error**2)) < 0.04, lie
        assert np.abs(error).max() < 0.10, lie


def test_a_thousand_shots_are_nearer_the_truth_than_the_estimate():
    off, off_estimate = [], []
    for number in range(20):
        golfer = fitted_golfer(12.0, "men", shots_of_a_club(1_000, np.random.default_rng(number)))
        for lie, yards in WHERE_SHOTS_ARE.items():
            off.append(np.mean(errors(golfer, lie, yards) ** 2))
            off_estimate.append(np.mean(planted(np.full(yards.shape, lie), yards) ** 2))
    assert np.mean(off) < 0.5 * np.mean(off_estimate)


def test_without_shots_it_is_the_estimate():
    nothing = HoleOuts(
        np.zeros(0, np.int8), np.zeros(0), np.zeros(0, np.int64), np.zeros(0), np.zeros(0, bool)
    )
    golfer = fitted_golfer(7.3, "men", nothing)
    assert golfer.shots == 0
    for lie in Lie:
        lies = np.full(EVERY_YARD.shape, lie)
        np.testing.assert_allclose(
            golfer.benchmark().expected(lies, EVERY_YARD),
            handicap_golfer(7.3).expected(lies, EVERY_YARD),
            atol=1e-12,
        )


def test_one_odd_shot_moves_it_only_a_little_and_only_nearby():
    odd = HoleOuts(
        np.array([Lie.ROUGH], np.int8), np.array([150.0]), np.array([10]), np.array([12.0]), np.array([False])
    )
    golfer = fitted_golfer(12.0, "men", odd)
    yards = np.array([150.0, 600.0])
    moved = golfer.benchmark().expected(np.full(2, Lie.ROUGH), yards) - handicap_golfer(12.0).expected(
        np.full(2, Lie.ROUGH), yards
    )
    assert 0.1 < moved[0] < 0.6
    assert abs(moved[1]) < 0.05


@pytest.mark.parametrize("n", [30, 3_000])
def test_curves_are_monotone_and_never_below_one(n):
    benchmark = fitted_golfer(15.0, "men", shots_of_a_club(n, np.random.default_rng(5))).benchmark()
    for lie in Lie:
        strokes = benchmark.expected(np.full(EVERY_YARD.shape, lie), EVERY_YARD)
        assert strokes.min() >= 1.0
        assert np.diff(strokes).min() >= 0.0


def test_golfers_far_off_in_handicap_do_not_count():
    shots = shots_of_a_club(2_000, np.random.default_rng(3))
    far = HoleOuts(shots.lie, shots.distance, shots.strokes, np.full(len(shots), 30.0), shots.women)
    assert fitted_golfer(12.0, "men", far).shots == 0
    np.testing.assert_allclose(closeness(np.array([12.0, 15.0, 18.0, 5.0]), 12.0), [1.0, 0.5625, 0.0, 0.0])


def test_a_mix_of_handicaps_does_not_bend_the_fit():
    # All golfers three strokes worse than the handicap asked for, each as good as the estimate says.
    shots = shots_of_a_club(20_000, np.random.default_rng(8))
    mean = expected_for(np.full(len(shots), 15.0), shots.lie, shots.distance, shots.women)
    strokes = np.floor(mean) + (np.random.default_rng(9).random(len(shots)) < mean - np.floor(mean))
    worse = HoleOuts(
        shots.lie, shots.distance, strokes.astype(np.int64), np.full(len(shots), 15.0), shots.women
    )
    tees = np.linspace(200, 500, 31)
    lies = np.full(tees.shape, Lie.TEE)
    error = fitted_golfer(12.0, "men", worse).benchmark().expected(lies, tees) - handicap_golfer(
        12.0
    ).expected(lies, tees)
    assert np.abs(error).max() < 0.1


def test_what_is_stored_rebuilds_the_same_golfer():
    golfer = fitted_golfer(-2.0, "women", shots_of_a_club(500, np.random.default_rng(1)))
    again = ClubGolfer.from_json(json.loads(json.dumps(golfer.to_json())))
    for name in ("handicap", "gender", "shots", "own_shots", "shots_by_lie", "fitted_on"):
        assert getattr(again, name) == getattr(golfer, name)
    for lie in Lie:
        lies = np.full(EVERY_YARD.shape, lie)
        np.testing.assert_array_equal(
            again.benchmark().expected(lies, EVERY_YARD), golfer.benchmark().expected(lies, EVERY_YARD)
        )


def test_it_states_its_shots_and_date():
    benchmark = fitted_golfer(14.0, "men", shots_of_a_club(5_000, np.random.default_rng(2))).benchmark()
    assert benchmark.key == "club:14:men"
    assert "2026-03-01" in benchmark.description
    assert "shots" in benchmark.description


def test_hole_outs_count_every_stroke_and_penalty_to_come(make_record):
    drop = (4, [(Lie.TEE, 420.0, 1), (Lie.ROUGH, 180.0, 0), (Lie.GREEN, 5.0, 0), (Lie.GREEN, 0.5, 0)], True)
    given_up = (4, [(Lie.TEE, 380.0, 0), (Lie.ROUGH, 150.0, 0)], False)
    short = (3, [(Lie.TEE, 150.0, 0), (Lie.GREEN, 8.0, 0)], True)
    record = make_record([[drop, given_up, short], [short]])
    table = hole_outs(record, np.array([11.0, np.nan]), np.array([True, False]))
    assert table.strokes.tolist() == [5, 3, 2, 1, 2, 1]
    assert table.distance.tolist() == [420.0, 180.0, 5.0, 0.5, 150.0, 8.0]
    assert set(table.handicap) == {11.0}
    assert table.women.all()


def test_hole_outs_of_a_ball_picked_up_go_on_to_its_most_likely_score(make_record):
    record = make_record([[(4, [(Lie.TEE, 380.0, 1), (Lie.ROUGH, 150.0, 0), (Lie.SAND, 20.0, 0)], 7)]])
    assert hole_outs(record, np.array([20.0]), np.array([False])).strokes.tolist() == [7, 5, 4]


def test_a_clubs_women_are_found_among_its_men():
    """Women a third of a stroke worse than the estimate from the tee, men as it says: each gets their own."""
    rng = np.random.default_rng(17)
    shots = shots_of_a_club(40_000, rng, share_of_women=0.3)
    as_estimated = expected_for(shots.handicap, shots.lie, shots.distance, shots.women)
    worse = as_estimated + 0.33 * (shots.women & (shots.lie == Lie.TEE))
    whole = np.floor(worse)
    drawn = whole + (rng.random(len(shots)) < worse - whole)
    club = replace(shots, strokes=drawn.astype(np.int64))
    yards = np.linspace(200.0, 450.0, 26)
    tee = np.full(yards.shape, Lie.TEE)
    for gender, apart in (("women", 0.33), ("men", 0.0)):
        fitted = fitted_golfer(14.0, gender, club).benchmark().expected(tee, yards)
        off = fitted - handicap_golfer(14.0, gender).expected(tee, yards)
        assert off.mean() == pytest.approx(apart, abs=0.06), gender


def test_a_few_women_borrow_from_the_men_and_many_do_not():
    """Everybody half a stroke worse than the estimate from the fairway, or the men alone."""
    rng = np.random.default_rng(18)
    yards = np.linspace(60.0, 180.0, 25)
    fairway = np.full(yards.shape, Lie.FAIRWAY)

    def off(men: int, women: int) -> float:
        n = men + women
        lie, where = np.full(n, Lie.FAIRWAY, np.int8), rng.uniform(40.0, 200.0, n)
        is_woman = np.arange(n) >= men
        mean = expected_for(np.full(n, 14.0), lie, where, is_woman) + 0.5 * ~is_woman
        strokes = np.floor(mean) + (rng.random(n) < mean - np.floor(mean))
        club = HoleOuts(lie, where, strokes.astype(np.int64), np.full(n, 14.0), is_woman)
        fitted = fitted_golfer(14.0, "women", club).benchmark()
        return float(
            (fitted.expected(fairway, yards) - handicap_golfer(14.0, "women").expected(fairway, yards)).mean()
        )

    assert off(4_000, 0) == pytest.approx(0.25, abs=0.06)  # half of the deviation is common
    assert off(4_000, 4_000) == pytest.approx(0.0, abs=0.06)
