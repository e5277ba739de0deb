"""Strokes gained by each shot against a benchmark.

A shot gains the expected strokes before it, less the expected strokes after it, less the stroke
itself and the penalty strokes it incurred (Broadie 2012). Each position is valued once and that value
is both the "after" of one shot and the "before" of the next, so a hole's shots add up to the
expected strokes from the tee less the score.

**A ball picked up** leaves one position unknown: where it lay after the last shot. The strokes still to come
from there are estimated: up to the hole's most likely score (Rules of Handicapping, 3.3), and no fewer than the
benchmark golfer takes from where the last shot was played, that shot counted. So bad holes stay in: leaving them
out would show a player who picks up as better than one who never does.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from golfstats.calc.record import Bools, Floats, Ints, Record
from golfstats.calc.strokes.benchmark import Benchmark


def strokes_gained(record: Record, benchmark: Benchmark) -> Floats:
    """Strokes gained of every shot of the record, one value a row of ``record.shots``.

    NaN where the shot's position or the next one is not known, whatever else of the hole is.
    """
    gained: Floats = strokes_gained_by_benchmark(record, [benchmark])[0]
    return gained


def strokes_gained_by_benchmark(record: Record, benchmarks: Sequence[Benchmark]) -> Floats:
    """Strokes gained against several benchmarks at once: one row a benchmark, one column a shot."""
    shots = record.shots
    before = np.stack([benchmark.expected_in(record) for benchmark in benchmarks])
    gained = np.empty_like(before)
    np.subtract(before[:, :-1], before[:, 1:], out=gained[:, :-1])
    last = np.flatnonzero(_last_shots(record))
    at_the_last = before[:, last]
    gained[:, last] = at_the_last - _after_the_last(record, last, at_the_last)
    gained -= 1.0 + shots.penalty
    return gained


def covered_holes(record: Record) -> Bools:
    """Holes whose strokes gained add up: every shot until the ball was holed or picked up has a lie and a distance."""
    shots = record.shots
    missing = (shots.lie < 0) | np.isnan(shots.distance)
    holes_missing = np.bincount(shots.hole[missing], minlength=len(record.holes)) > 0
    from_the_tee = np.bincount(shots.hole[shots.number == 1], minlength=len(record.holes)) > 0
    ended = record.holes.complete | record.holes.picked_up
    return np.asarray(ended & from_the_tee & ~holes_missing)


def estimated_holes(record: Record) -> Bools:
    """Covered holes on which the ball was picked up, so that their last strokes are an estimate."""
    return np.asarray(covered_holes(record) & record.holes.picked_up & ~record.holes.complete)


def strokes_still_likely(record: Record) -> Floats:
    """Strokes from each hole's last recorded shot, that one not counted, to its score; 0 where it was holed.

    At least 1 where the ball was picked up, whatever score was given.
    """
    taken = np.bincount(record.shots.hole, weights=1 + record.shots.penalty, minlength=len(record.holes))
    left = np.maximum(record.holes.score - taken, 1.0)
    return np.where(record.holes.complete, 0.0, left)


def _after_the_last(record: Record, last: Ints, before: Floats) -> Floats:
    """Strokes to come after the last shot of each hole, one row a benchmark, as ``before`` is of what is expected
    before these shots.
    """
    holes, hole = record.holes, record.shots.hole[last]
    after = np.where(holes.complete[hole], 0.0, np.full(before.shape, np.nan))
    given_up = np.flatnonzero(holes.picked_up[hole] & ~holes.complete[hole])  # hardly any hole is
    if len(given_up):
        likely = strokes_still_likely(record)[hole[given_up]]
        after[:, given_up] = np.maximum(likely, before[:, given_up] - 1.0)
    return after


def _last_shots(record: Record) -> Bools:
    hole = record.shots.hole
    return np.append(hole[1:] != hole[:-1], True)[: len(hole)]
