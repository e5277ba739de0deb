"""Balls picked up at net double bogey: strokes gained keep the bad holes, and tell the same as the scores."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from golfstats.calc.simulate.course import calibration_course
from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.calc.simulate.rounds import play
from golfstats.calc.simulate.schedule import simple_schedule
from golfstats.calc.strokes.gained import covered_holes, strokes_gained
from golfstats.calc.strokes.handicap_golfer import handicap_golfer
from golfstats.calc.strokes.parts import parts_of_shots, totals_by_round
from golfstats.calc.strokes.picked_up import strokes_still_to_come
from golfstats.calc.vocabulary import Lie
from tests.worlds.strokes_holes import (
    DUFFER,
    PARS,
    STROKES_RECEIVED,
    TIDY,
    analysed,
    as_written,
    figure,
    rounds_of,
    walk,
)

ROUNDS = 200


@pytest.mark.parametrize("walker", [DUFFER, TIDY], ids=["handicap 20", "handicap 9"])
def test_a_walked_golfer_who_picks_up_is_as_good_as_one_who_plays_on(walker):
    played, written = rounds_of(walker, [18] * ROUNDS, np.random.default_rng(9), picks_up=True)
    peer = handicap_golfer(float(walker.handicap))
    told = figure("gained.total", analysed(written, peer))
    truth = figure("gained.total", analysed(played, peer)).value
    assert told.estimated == written.holes.picked_up.sum() > 0.8 * ROUNDS
    assert told.n == 18 * ROUNDS
    assert told.value == pytest.approx(truth, abs=0.2)
    by_score = (
        figure("score.to_par", analysed(played, peer)).value
        - figure("score.to_par", analysed(written, peer)).value
    )
    assert told.value - truth == pytest.approx(by_score, abs=0.2)
    # Left out, as if such holes had not been, they make the player better by strokes.
    kept = written.holes.complete
    by_hole = np.bincount(written.shots.hole, weights=strokes_gained(written, peer), minlength=len(kept))
    assert 18 * by_hole[kept].mean() - truth > 1.5


@pytest.mark.parametrize("walker", [DUFFER, TIDY], ids=["handicap 20", "handicap 9"])
def test_where_nobody_said_a_score_the_strokes_to_come_are_about_right(walker):
    """Against what the walked golfer really took from there, had he played on."""
    rng = np.random.default_rng(12)
    off, picked_up = 0.0, 0
    for number in range(4000):
        par = PARS[number % 18]
        shots = walk(walker, par, 1.0, rng)
        written = as_written(shots, par, STROKES_RECEIVED[walker.handicap][number % 18], rng)
        if written.holed:
            continue
        last = written.shots[-1]
        rest = shots[len(written.shots) :]
        truth = sum(1 + (shot[2]["penalty"] if len(shot) > 2 else 0) for shot in rest)
        off += strokes_still_to_come(Lie.of(last[0]), last[1]) - truth
        picked_up += 1
    assert picked_up > 150
    assert off / picked_up == pytest.approx(0.0, abs=0.35)


@pytest.mark.parametrize(
    ("lie", "yards", "strokes"),
    [
        # Rules of Handicapping 3.3, where the ball then lies: a putt from 4 ft counted, one more; on the green or within
        # 20 yards after a chip, two; within 20 yards after an approach, the higher of two or three.
        (Lie.GREEN, 4 / 3, 1),
        (Lie.GREEN, 10.0, 1),
        (Lie.ROUGH, 15.0, 2),
        (Lie.FAIRWAY, 150.0, 3),
        (Lie.TEE, 400.0, 4),
    ],
)
def test_strokes_to_come_agree_with_the_rules_of_handicapping(lie, yards, strokes):
    assert strokes_still_to_come(lie, yards) == strokes


@pytest.mark.parametrize(("handicap", "gender"), [(10, "men"), (20, "men"), (20, "women"), (30, "women")])
def test_simulated_golfers_who_pick_up_gain_by_shots_what_they_gain_by_score(handicap, gender):
    schedule = simple_schedule(ROUNDS)
    schedule = replace(schedule, pick_up=np.full(len(schedule), 2 + handicap // 18))
    course = calibration_course(gender)
    golfer = golfer_of_handicap(handicap, gender=gender)
    record = play([golfer], [course], schedule, np.random.default_rng(31))
    peer = handicap_golfer(float(handicap), gender)
    part = parts_of_shots(record.shots.lie, record.shots.distance, record.shots.par)
    by_shots = totals_by_round(record, strokes_gained(record, peer), part)
    scores = np.bincount(record.holes.round, weights=record.holes.score)
    by_score = peer.expected(np.zeros(18, dtype=np.int8), course.length).sum() - scores
    assert covered_holes(record).all()
    assert by_shots.estimated.sum() == record.holes.picked_up.sum() > 20
    assert by_shots.total.mean() == pytest.approx(by_score.mean(), abs=0.2)
