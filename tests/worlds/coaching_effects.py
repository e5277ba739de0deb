"""Worlds against "what it would be worth": golfers who truly get better, and the index that they then have.

The index after the change is not replayed but played: the same golfer, better, plays hundreds of records.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

import numpy as np

from golfstats.calc.coaching.effects import HolesPlayed, effects_of_closing
from golfstats.calc.coaching.priorities import JudgedShots, part_priorities
from golfstats.calc.handicap import HoleScore, Ratings, Score
from golfstats.calc.handicap.replay.indexes import replayed_index_or_nan
from tests.worlds.coaching_priorities import remembering
from tests.worlds.court import Told, World

PARS = np.array([4, 4, 3, 5, 4, 4, 3, 4, 5, 4, 4, 3, 5, 4, 4, 3, 4, 5])
TEE = Ratings(Decimal("71.2"), 126, 72)
ROUNDS = 40
OFTEN = 1200


@dataclass(frozen=True)
class Golfer:
    """Rounds of whole strokes: bogeys by chance, approaches that cost a stroke more or less often, days of form."""

    bogey: float = 0.45
    """Strokes over par a hole apart from approaches."""
    bad_approach: float = 0.25
    form: float = 1.5
    """Strokes a round."""
    memory: float = 0.0
    even: bool = False
    """Whether every approach loses a little more or less, instead of a whole stroke now and then."""

    def play(self, rng, records):
        """Scores and what each approach cost: records × rounds × holes."""
        shape = (records, ROUNDS, 18)
        form = np.stack([remembering(rng, ROUNDS, self.memory) for _ in range(records)])[..., None]
        expected = np.maximum(self.bogey + self.form * form / 18, 0.02)
        if self.even:
            lost = rng.normal(self.bad_approach, 0.5, shape)
            strokes = np.cumsum(expected + rng.normal(0, 0.5, shape) + lost, axis=2)
            upto = np.floor(strokes + rng.random((records, ROUNDS, 1)))
            over = np.diff(upto, axis=2, prepend=0.0)
            return np.maximum(PARS + over, 1).astype(int), lost
        over = rng.poisson(np.broadcast_to(expected, shape)) - (rng.random(shape) < 0.08)
        bad = rng.random(shape) < self.bad_approach
        return np.maximum(PARS + over + bad, 1).astype(int), bad


def record(scores):
    holes = [
        tuple(HoleScore(n + 1, int(PARS[n]), n + 1, strokes=int(card[n])) for n in range(18))
        for card in scores
    ]
    day = date(2025, 1, 1)
    return [Score(str(n), day + timedelta(days=4 * n), TEE, holes=card) for n, card in enumerate(holes)]


def mean_index(golfer, rng):
    """Mean over many records of the same golfer, by the fold over replays as strokes beside one record."""
    scores, _ = golfer.play(rng, OFTEN)
    base = record(scores[0])
    fewer = {str(n): scores[0, n] - scores[:, n] for n in range(ROUNDS)}
    return float(np.mean(replayed_index_or_nan(base, [], fewer, OFTEN)))


TRUTHS = {}


def truth(golfer, better):
    """What the whole gap is worth in index; worked out once a golfer."""
    if golfer not in TRUTHS:
        rng = np.random.default_rng(7)
        TRUTHS[golfer] = mean_index(better, rng) - mean_index(golfer, rng)
    return TRUTHS[golfer]


@dataclass(frozen=True)
class Case:
    name: str
    golfer: Golfer
    benchmark: float = 0.12
    """How often the benchmark's approaches cost a stroke."""

    def play(self, rng):
        golfer, better = self.golfer, Golfer(**{**vars(self.golfer), "bad_approach": self.benchmark})
        scores, bad = (found[0] for found in golfer.play(rng, 1))
        hole = np.arange(ROUNDS * 18)
        other = rng.normal(
            -golfer.bogey / 2, 0.4, (2, len(hole))
        )  # two other parts of the game, lost by chance
        shots = JudgedShots(
            strokes_gained=np.concatenate([self.benchmark - bad.ravel(), other.ravel()]),
            part=np.repeat([1, 2, 3], len(hole)),
            band=np.full(3 * len(hole), -1),
            round=np.tile(hole // 18, 3),
            hole=np.tile(hole, 3),
            holes_recorded=np.full(ROUNDS, 18.0),
        )
        generator = np.random.default_rng(int(rng.integers(2**32)))
        (priority,) = (one for one in part_priorities(shots, generator) if one.part == 1)
        base = record(scores)

        def index_of(fewer):
            by_round = fewer.reshape(len(fewer), ROUNDS, 18)
            return replayed_index_or_nan(
                base, [], {str(n): by_round[:, n] for n in range(ROUNDS)}, len(fewer)
            )

        holes = HolesPlayed(scores.ravel(), hole // 18, np.tile(PARS, ROUNDS))
        (effect,) = effects_of_closing(shots, [priority], holes, index_of, [generator])
        before, after = effect.index_before, effect.index_after
        saved = 18 * (golfer.bad_approach - self.benchmark)
        return {
            "index effect": Told(
                truth(golfer, better), after.value - before, after.low - before, after.high - before
            ),
            "strokes fewer a round": Told.of(effect.fewer_strokes, saved),
        }


CASES = [
    Case("strokes by chance", Golfer()),
    Case("strokes by chance, form that lasts", Golfer(memory=0.5, form=3.0)),
    Case("every approach a little better", Golfer(even=True)),
    Case("every approach a little better, form that lasts", Golfer(even=True, memory=0.5, form=3.0)),
    Case("high handicap", Golfer(bogey=0.95, bad_approach=0.35)),
    Case("low handicap", Golfer(bogey=0.08, bad_approach=0.15, form=1.0), benchmark=0.05),
]

WORLDS = [
    World(case.name, "what closing a gap is worth in index", f"1 x {ROUNDS}", case.play, tries=(4, 100))
    for case in CASES
]
