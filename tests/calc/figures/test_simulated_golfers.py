"""The figures of whole simulated golfers: from play to strokes gained to what a coach reads."""

import numpy as np
import pytest

from golfstats.calc.coaching.comparison import compare_figures
from golfstats.calc.figures.analysis import analyse
from golfstats.calc.figures.approach import bands
from golfstats.calc.figures.catalogue import CATALOGUE
from golfstats.calc.figures.distances import bag, gaps
from golfstats.calc.observations import AnalysedRecord
from golfstats.calc.simulate.course import calibration_course
from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.calc.simulate.rounds import play
from golfstats.calc.simulate.schedule import simple_schedule
from golfstats.calc.strokes.benchmark import professional
from golfstats.calc.strokes.gained import strokes_gained
from golfstats.calc.strokes.parts import parts_of_shots, totals_by_round


def golf_of(handicap, rounds=25):
    schedule = simple_schedule(rounds)
    record = play([golfer_of_handicap(handicap)], [calibration_course()], schedule, np.random.default_rng(41))
    shots = record.shots
    part = parts_of_shots(shots.lie, shots.distance, shots.par)
    return AnalysedRecord(record, strokes_gained(record, professional()), part)


@pytest.fixture(scope="module")
def scratch():
    return golf_of(0)


@pytest.fixture(scope="module")
def weekender():
    return golf_of(20)


def test_score_and_strokes_gained_agree_with_the_record(scratch):
    figures = analyse(scratch, bands())
    holes = scratch.record.holes
    assert figures["score.total"].value == pytest.approx(holes.score.sum() / 25)
    assert figures["score.to_par"].value == pytest.approx((holes.score - holes.par).sum() / 25)
    totals = totals_by_round(scratch.record, scratch.strokes_gained, scratch.part)
    assert figures["gained.total"].value == pytest.approx(totals.gained.sum() / totals.holes.sum() * 18)


def test_flags_noted_by_the_simulator_agree_with_those_derived_from_its_shots(scratch):
    """The simulator notes putts, fairways, greens and penalties itself; here they are worked out anew."""
    from dataclasses import replace

    holes = scratch.record.holes
    blank = replace(
        holes,
        putts=np.full_like(holes.putts, -1),
        penalties=np.full_like(holes.penalties, -1),
        fairway_hit=np.full_like(holes.fairway_hit, -1),
        green_in_regulation=np.full_like(holes.green_in_regulation, -1),
    )
    derived = replace(scratch, record=replace(scratch.record, holes=blank))
    for key in ("putts.round", "penalties.round", "fairways.hit", "greens.in_regulation"):
        noted, worked_out = (CATALOGUE[key].observe(analysed) for analysed in (scratch, derived))
        assert np.array_equal(noted.hole, worked_out.hole), key
        assert np.array_equal(noted.value, worked_out.value), key


@pytest.mark.parametrize(
    "key",
    [
        "score.par3", "score.par4", "score.par5", "greens.in_regulation", "saves.up_and_down", "putts.round",
        "putts.three", "gained.total", "gained.approach", "misses.green.rate",
        "approach.125-150.green_hit", "approach.150-175.proximity", "approach.150-175.gained",
    ],
)  # fmt: skip
def test_a_scratch_golfer_is_clearly_better_than_a_twenty_handicapper(scratch, weekender, key):
    spec = CATALOGUE[key]
    first, second = (spec.figure(spec.observe(golf)) for golf in (scratch, weekender))
    assert compare_figures(first, second, spec.better).chance_first_better > 0.95


def test_who_misses_more_fairways_shows_after_a_hundred_rounds():
    """A scratch golfer misses 38 of 100, a twenty-handicapper 44: 25 rounds cannot tell that."""
    spec = CATALOGUE["misses.fairway.rate"]
    first, second = (spec.figure(spec.observe(golf_of(handicap, rounds=100))) for handicap in (0, 20))
    assert compare_figures(first, second, spec.better).chance_first_better > 0.95


def test_the_bag_runs_from_the_longest_club_down_in_even_gaps(scratch):
    clubs = [club for club in bag(scratch) if club.distance.enough]
    medians = [club.distance.value for club in clubs]
    assert medians == sorted(medians, reverse=True)
    assert len(clubs) >= 8
    for gap in gaps(clubs):
        assert gap.yards.value > 0
        assert gap.yards.low <= gap.yards.value <= gap.yards.high
