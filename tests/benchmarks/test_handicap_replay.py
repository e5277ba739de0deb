"""Replaying a player's history is linear: ten times the scores are at most ten and a half times the work."""

from datetime import date, timedelta
from decimal import Decimal

import numpy as np

from golfstats.calc.handicap import HoleScore, Ratings, Score, build_record
from tests.counting import calls_of

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


def test_a_history_ten_times_as_long_is_at_most_ten_and_a_half_times_the_work():
    short, long = history(100), history(1000)
    build_record(short)
    assert calls_of(lambda: build_record(long)) <= 10.5 * calls_of(lambda: build_record(short))
