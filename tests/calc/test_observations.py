"""The shape of a statistic, and that the test builder says what its literals say."""

import numpy as np

from golfstats.calc.figure import clustered_mean_figure, clustered_median_figure, mean_figure
from golfstats.calc.observations import FigureSpec, Observations
from golfstats.calc.vocabulary import UNKNOWN, Lie, MissSide
from tests.calc.record_builder import hole, record_of


def test_by_round_gives_mean_and_count_of_each_round():
    observations = Observations(
        np.array([1.0, 3.0, 5.0]), np.array([2, 2, 7]), np.full(3, UNKNOWN), np.full(3, UNKNOWN)
    )
    rounds, means, counts = observations.by_round
    assert rounds.tolist() == [2, 7]
    assert means.tolist() == [2.0, 5.0]
    assert counts.tolist() == [2, 1]


def test_observations_point_to_shots_holes_and_rounds():
    record = record_of([hole(3, [("tee", 150), ("green", 4), ("green", 1)], round=r) for r in (0, 1)])
    putts = Observations.of_shots(record, record.shots.distance, record.shots.lie == Lie.GREEN)
    assert putts.value.tolist() == [4, 1, 4, 1]
    assert (putts.shot.tolist(), putts.hole.tolist(), putts.round.tolist()) == (
        [1, 2, 4, 5],
        [0, 0, 1, 1],
        [0, 0, 1, 1],
    )
    scores = Observations.of_holes(record, record.holes.score, np.array([1]))
    assert (scores.value.tolist(), scores.hole.tolist(), scores.shot.tolist()) == ([3], [1], [UNKNOWN])
    days = Observations.of_rounds(record.rounds.day, np.array([False, True]))
    assert (days.round.tolist(), days.hole.tolist()) == ([1], [UNKNOWN])


def test_a_figure_takes_the_interval_that_fits_its_statistic():
    values, rounds = np.array([0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0, 0.0]), np.repeat(np.arange(4), 2)
    observations = Observations(values, rounds, np.full(8, UNKNOWN), np.full(8, UNKNOWN))

    def figure(unit, per, statistic):
        spec = FigureSpec(
            "key", "words", unit, "lower", per, statistic, 2, lambda _: observations, meaning="A test."
        )
        return spec.figure(observations)

    assert figure("strokes", "shot", "mean") == clustered_mean_figure(values, rounds, "strokes")
    assert figure("strokes", "round", "mean") == mean_figure(values, "strokes")
    assert figure("ft", "shot", "median") == clustered_median_figure(values, rounds, "ft")
    share = figure("share", "shot", "mean")
    assert (share.value, share.low > 0) == (0.25, True)


def test_a_hole_of_literals_becomes_consistent_rows():
    record = record_of(
        [
            hole(
                4,
                [
                    ("tee", 400),
                    ("rough", 150, {"miss_side": "left", "penalty": 1}),
                    ("sand", 20),
                    ("green", 2),
                ],
            ),
            hole(5, score=6, putts=2, fairway_hit=True, round=1),
            hole(4, [("tee", 380), ("fairway", 120)], holed=False, score=7, picked_up=True, round=1),
        ]
    )
    assert record.holes.score.tolist() == [5, 6, 7]
    assert record.holes.complete.tolist() == [True, False, False]
    assert record.holes.number.tolist() == [1, 1, 2]
    shots = record.shots
    assert shots.lie_after.tolist() == [Lie.ROUGH, Lie.SAND, Lie.GREEN, UNKNOWN, Lie.FAIRWAY, UNKNOWN]
    assert shots.distance_after[:4].tolist() == [150.0, 20.0, 2.0, 0.0]
    assert np.isnan(shots.distance_after[5])
    assert shots.holed.tolist() == [False, False, False, True, False, False]
    assert shots.miss_side[1] == MissSide.LEFT
    assert shots.hole.tolist() == [0, 0, 0, 0, 2, 2]
