"""Strokes gained add up: a hole's shots sum to the expected strokes from the tee less the score."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from golfstats.calc.strokes.benchmark import professional
from golfstats.calc.strokes.gained import (
    covered_holes,
    estimated_holes,
    strokes_gained,
    strokes_gained_by_benchmark,
)
from golfstats.calc.strokes.handicap_golfer import handicap_golfer
from golfstats.calc.strokes.parts import parts_of_shots, totals_by_hole, totals_by_round, whole_holes
from golfstats.calc.vocabulary import Lie, Part

PAR_4 = (4, [(Lie.TEE, 420.0, 0), (Lie.FAIRWAY, 120.0, 0), (Lie.GREEN, 20 / 3, 0), (Lie.GREEN, 1.0, 0)], True)
PAR_3 = (3, [(Lie.TEE, 95.0, 0), (Lie.SAND, 10.0, 0), (Lie.GREEN, 5 / 3, 0)], True)
GIVEN_UP = (4, [(Lie.TEE, 380.0, 2), (Lie.TEE, 380.0, 0), (Lie.ROUGH, 150.0, 0)], False)

after_tee = st.tuples(st.sampled_from(list(Lie)), st.floats(0.0, 700.0), st.integers(0, 2))
tee_shot = st.tuples(st.just(Lie.TEE), st.floats(60.0, 650.0), st.integers(0, 2))
hole = st.tuples(
    st.sampled_from([3, 4, 5]),
    st.builds(lambda first, rest: [first, *rest], tee_shot, st.lists(after_tee, max_size=9)),
    st.booleans(),
)
rounds = st.lists(st.lists(hole, min_size=1, max_size=18), min_size=1, max_size=3)


@given(played=rounds)
def test_holes_and_rounds_telescope(make_record, played):
    record = make_record(played)
    gained = strokes_gained(record, professional())
    part = parts_of_shots(record.shots.lie, record.shots.distance, record.shots.par)
    by_hole = totals_by_hole(record, gained, part)
    by_round = totals_by_round(record, gained, part)

    from_tee = professional().expected(np.full(len(record.holes), Lie.TEE), record.holes.length)
    should_be = np.where(record.holes.complete, from_tee - record.holes.score, np.nan)
    np.testing.assert_allclose(by_hole.total, should_be, atol=1e-9, rtol=0)

    for row in range(len(record.rounds)):
        mine = (record.holes.round == row) & record.holes.complete
        assert by_round.holes[row] == mine.sum()
        if mine.any():
            assert by_round.total[row] == pytest.approx(should_be[mine].sum(), abs=1e-9)
        else:
            assert np.isnan(by_round.total[row])


def test_a_hole_whose_end_nobody_wrote_down_has_values_up_to_its_last_shot(make_record):
    record = make_record([[PAR_4, GIVEN_UP, PAR_3]])
    gained = strokes_gained(record, professional())
    assert np.isnan(gained[record.shots.hole == 1]).tolist() == [False, False, True]
    assert np.isfinite(gained[record.shots.hole != 1]).all()
    np.testing.assert_array_equal(covered_holes(record), [True, False, True])


def test_a_shot_from_or_to_an_unmeasured_place_has_no_value(make_record):
    unmeasured = (
        4,
        [(Lie.TEE, 400.0, 0), (Lie.FAIRWAY, float("nan"), 0), (Lie.GREEN, 3.0, 0), (Lie.GREEN, 1.0, 0)],
        True,
    )
    record = make_record([[unmeasured, PAR_4]])
    gained = strokes_gained(record, professional())
    np.testing.assert_array_equal(covered_holes(record), [False, True])
    np.testing.assert_array_equal(whole_holes(record, gained), [False, True])
    assert np.isnan(gained[:4]).tolist() == [True, True, False, False]


def picked_up(most_likely):
    """On in four after a ball out of bounds, then given up."""
    return (4, [(Lie.TEE, 420.0, 1), (Lie.TEE, 420.0, 0), (Lie.FAIRWAY, 180.0, 0)], most_likely)


def test_a_ball_picked_up_costs_what_its_most_likely_score_says(make_record):
    record = make_record([[picked_up(8), PAR_4]])
    gained = strokes_gained(record, professional())
    # Broadie 2012, from memory: 4.02 from a tee at 420 yards, 3.08 from a fairway at 180. Four strokes are to come.
    np.testing.assert_allclose(gained[:3], [-2.0, 4.02 - 3.08 - 1, 3.08 - 4 - 1], atol=1e-9)
    part = parts_of_shots(record.shots.lie, record.shots.distance, record.shots.par)
    totals = totals_by_hole(record, gained, part)
    assert totals.total[0] == pytest.approx(4.02 - 8)
    assert (totals.holes.tolist(), totals.estimated.tolist()) == ([1, 1], [1, 0])
    assert totals_by_round(record, gained, part).estimated.tolist() == [1]
    np.testing.assert_array_equal(estimated_holes(record), [True, False])


def test_a_ball_picked_up_never_gains_by_it(make_record):
    """A most likely score below what the benchmark golfer would take from there is not believed."""
    record = make_record([[picked_up(5)]])
    gained = strokes_gained(record, professional())
    assert gained[2] == pytest.approx(0.0)
    assert strokes_gained(record, handicap_golfer(20.0))[2] == pytest.approx(0.0)


def test_out_of_bounds_costs_two_whatever_the_benchmark(make_record):
    replay = (4, [(Lie.TEE, 433.0, 1), (Lie.TEE, 433.0, 0), (Lie.GREEN, 4.0, 0)], True)
    assert strokes_gained(make_record([[replay]]), professional())[0] == -2.0


def test_several_benchmarks_come_out_of_one_call(make_record):
    record = make_record([[PAR_4, GIVEN_UP, PAR_3]])
    both = strokes_gained_by_benchmark(record, [professional(), professional()])
    assert both.shape == (2, len(record.shots))
    np.testing.assert_array_equal(both[1], strokes_gained(record, professional()))


def test_parts_of_the_game():
    # Definitions: Broadie (2012) for 100 yards; tee and approach as the professional tour has split them since 2016.
    cases = [
        (Lie.TEE, 420, 4, Part.TEE),
        (Lie.TEE, 90, 4, Part.TEE),
        (Lie.TEE, 180, 3, Part.APPROACH),
        (Lie.TEE, 95, 3, Part.APPROACH),
        (Lie.FAIRWAY, 100.1, 4, Part.APPROACH),
        (Lie.FAIRWAY, 100, 4, Part.SHORT_GAME),
        (Lie.FRINGE, 5, 4, Part.SHORT_GAME),
        (Lie.PENALTY, 60, 5, Part.SHORT_GAME),
        (Lie.RECOVERY, 150, 5, Part.APPROACH),
        (Lie.GREEN, 40, 4, Part.PUTTING),
    ]
    lie, distance, par, part = (np.array(column) for column in zip(*cases, strict=True))
    np.testing.assert_array_equal(parts_of_shots(lie, distance.astype(float), par), part)


def test_a_club_may_draw_the_short_game_nearer():
    lie, distance, par = np.array([Lie.FAIRWAY] * 2), np.array([60.0, 40.0]), np.array([4, 4])
    assert parts_of_shots(lie, distance, par, short_game_yards=50).tolist() == [
        Part.APPROACH,
        Part.SHORT_GAME,
    ]


def test_totals_name_shots_and_holes_of_each_part(make_record):
    record = make_record([[PAR_4, GIVEN_UP], [GIVEN_UP], [PAR_3]])
    part = parts_of_shots(record.shots.lie, record.shots.distance, record.shots.par)
    gained = strokes_gained(record, professional())
    totals = totals_by_round(record, gained, part)
    assert totals.holes.tolist() == [1, 0, 1]
    assert totals.shots.tolist() == [[1, 1, 0, 2], [0, 0, 0, 0], [0, 1, 1, 1]]
    np.testing.assert_allclose(totals.gained[0, [Part.TEE, Part.APPROACH]], gained[:2])
    assert np.isnan(totals.gained[1]).all()
    assert totals.gained[2, Part.TEE] == 0.0
