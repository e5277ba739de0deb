"""Whole way: simulated golfers with a planted weakness, strokes gained, priorities."""

import numpy as np

from golfstats.calc.coaching.priorities import JudgedShots, band_priorities, part_priorities
from golfstats.calc.simulate.course import calibration_course
from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.calc.simulate.rounds import play
from golfstats.calc.simulate.schedule import simple_schedule
from golfstats.calc.strokes.gained import strokes_gained
from golfstats.calc.strokes.handicap_golfer import handicap_golfer
from golfstats.calc.strokes.parts import parts_of_shots, totals_by_round
from golfstats.calc.vocabulary import Part
from tests.golfers import weaken

BAND_STARTS = {
    Part.TEE: [0],
    Part.APPROACH: [0, 125, 150, 175, 200],
    Part.SHORT_GAME: [0, 20, 50, 75],
    Part.PUTTING: [0, 2, 5, 10],
}


def judged_season(golfer, seed):
    """40 rounds against a 10-handicap."""
    record = play([golfer], [calibration_course()], simple_schedule(40), np.random.default_rng(seed))
    shots = record.shots
    gained = strokes_gained(record, handicap_golfer(10))
    part = parts_of_shots(shots.lie, shots.distance, shots.par)
    band = np.zeros(len(shots), dtype=int)
    for name, starts in BAND_STARTS.items():
        rows = part == name
        band[rows] = np.searchsorted(starts, shots.distance[rows], side="right") - 1
    holes = totals_by_round(record, gained, part).holes.astype(float)
    return JudgedShots(gained, part, band, shots.round, shots.hole, holes)


def test_weak_part_of_a_simulated_golfer_comes_first():
    """Spreads 10 to 20% wider in one part: one to two strokes a round."""
    hits = []
    for part, factor in [("tee", 1.2), ("approach", 1.1), ("short_game", 1.2), ("putting", 1.15)]:
        golfer = weaken(golfer_of_handicap(10), part, factor)
        firsts = [
            part_priorities(judged_season(golfer, seed), np.random.default_rng(seed))[0] for seed in range(15)
        ]
        hits += [first.part == Part.of(part) for first in firsts]
    assert np.mean(hits) >= 0.8


def test_weak_band_of_a_simulated_golfer_comes_first():
    """Spreads 40 to 60% wider in one band of distances: 0.7 to one stroke a round."""
    hits = []
    for part, factor, low, high, band in [
        ("approach", 1.6, 125, 150, 1),
        ("approach", 1.5, 175, 200, 3),
        ("short_game", 1.4, 20, 50, 1),
        ("putting", 1.4, 2, 5, 1),
    ]:
        golfer = weaken(golfer_of_handicap(10), part, factor, low, high)
        firsts = [
            band_priorities(judged_season(golfer, seed), np.random.default_rng(seed))[0] for seed in range(15)
        ]
        hits += [(first.part, first.band) == (Part.of(part), band) for first in firsts]
    assert np.mean(hits) >= 0.8
