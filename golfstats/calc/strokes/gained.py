"""Strokes gained by each shot against a benchmark.

A shot gains the expected strokes before it, less the expected strokes after it, less the stroke
itself and the penalty strokes it incurred (Broadie 2012). Each position is valued once and that value
is both the "after" of one shot and the "before" of the next, so a hole's shots add up to the
expected strokes from the tee less the score.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from golfstats.calc.record import Bools, Floats, Record
from golfstats.calc.strokes.benchmark import Benchmark, expected_by_benchmark


def strokes_gained(record: Record, benchmark: Benchmark) -> Floats:
    """Strokes gained of every shot of the record, one value a row of ``record.shots``.

    NaN for every shot of a hole that :func:`covered_holes` does not cover.
    """
    gained: Floats = strokes_gained_by_benchmark(record, [benchmark])[0]
    return gained


def strokes_gained_by_benchmark(record: Record, benchmarks: Sequence[Benchmark]) -> Floats:
    """Strokes gained against several benchmarks at once: one row a benchmark, one column a shot."""
    shots = record.shots
    before = expected_by_benchmark(benchmarks, shots.lie, shots.distance)
    after = np.zeros_like(before)
    same_hole = shots.hole[1:] == shots.hole[:-1]
    after[:, :-1] = np.where(same_hole, before[:, 1:], 0.0)
    gained = before - after - (1 + shots.penalty)
    return np.where(covered_holes(record)[shots.hole], gained, np.nan)


def covered_holes(record: Record) -> Bools:
    """Holes that have strokes gained: every shot is recorded until holed, each with a lie and a distance."""
    shots = record.shots
    missing = (shots.lie < 0) | np.isnan(shots.distance)
    holes_missing = np.bincount(shots.hole[missing], minlength=len(record.holes)) > 0
    return np.asarray(record.holes.complete & ~holes_missing)
