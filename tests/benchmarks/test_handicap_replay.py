"""Replaying a player's history is linear: ten times the scores take at most twelve times as long."""

import gc
from datetime import date, timedelta
from decimal import Decimal
from statistics import median
from time import process_time

import numpy as np

from golfstats.calc.handicap import HoleScore, Ratings, Score, build_record

RATINGS = Ratings(Decimal("71.3"), 128, 72)
PARS = [4, 5, 3, 4, 4, 4, 3, 5, 4, 4, 3, 5, 4, 4, 4, 3, 4, 5]
STROKE_INDEXES = [7, 3, 17, 1, 11, 9, 15, 5, 13, 8, 18, 4, 2, 10, 12, 16, 6, 14]


def history(length: int) -> list[Score]:
    """Rounds hole by hole, two to three days apart, of a golfer about 15 over par."""
    rng = np.random.default_rng(7)
    over = rng.choice(5, size=(length, 18), p=[0.05, 0.3, 0.4, 0.2, 0.05]) - 1
    days = np.cumsum(rng.integers(1, 5, size=length))
    return [
        Score(
            key=str(place),
            played_on=date(2024, 1, 1) + timedelta(days=int(days[place])),
            ratings=RATINGS,
            holes=tuple(
                HoleScore(hole + 1, PARS[hole], STROKE_INDEXES[hole], PARS[hole] + int(over[place, hole]))
                for hole in range(18)
            ),
        )
        for place in range(length)
    ]


def seconds(scores: list[Score]) -> float:
    """Processor time of one replay, the collector's pauses left out."""
    gc.collect()
    gc.disable()
    start = process_time()
    build_record(scores)
    elapsed = process_time() - start
    gc.enable()
    return elapsed


def test_a_history_ten_times_as_long_takes_at_most_twelve_times_as_long():
    """Medians of runs that alternate, so that a busy machine slows both."""
    short, long = history(100), history(1000)
    build_record(short)
    times = [(seconds(short), seconds(long)) for _ in range(7)]
    ratio = median(t[1] for t in times) / median(t[0] for t in times)
    assert ratio <= 12, f"{ratio:.1f} times as long"
