"""Worlds against a club's own golfers as a benchmark: strokes by another law, players unlike others of their handicap.

What it takes from a place is a formula of this file, with players' own deviations and strokes with a long tail. The
benchmark gives points without intervals; so it is asked whether it is right on average at the places of fresh rounds,
and whether it is ever farther from the truth than the estimate that it starts from, by a tenth of a stroke.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np

from golfstats.calc.strokes.club_golfer import HoleOuts, ShotSums, golfers_near
from golfstats.calc.strokes.handicap_golfer import handicap_golfer
from golfstats.calc.vocabulary import Lie
from tests.worlds.court import Told, World

LIES = (Lie.TEE, Lie.FAIRWAY, Lie.ROUGH, Lie.SAND, Lie.GREEN)
PLACES = ((Lie.FAIRWAY, 150.0), (Lie.TEE, 380.0), (Lie.GREEN, 8.0))
HANDICAP = 15.0
FARTHER = 0.1
"""Strokes by which the fit must be farther off than the estimate to be called so."""


@dataclass(frozen=True)
class Case:
    name: str
    players: int = 12
    rounds: int = 10
    differ: float = 0.0
    """Spread of players about what their handicap says, strokes from a place of three strokes to go."""
    tail: float = 0.2
    """Share of the strokes beyond the first that come by chance (Poisson); the others are as even as strokes can be."""
    off: float = 0.15
    """By how much the whole club is worse than the estimate says, of a place of three strokes to go."""
    lagging: bool = False
    """Whether handicaps are rounded and months old."""

    def true(self, lie: np.ndarray, yards: np.ndarray, handicap: np.ndarray, women: np.ndarray) -> np.ndarray:
        base = handicap_golfer(HANDICAP).expected(lie, yards) + (handicap - HANDICAP) * 0.012 * np.minimum(
            yards / 100 + 0.4, 3
        )
        wave = 1 + self.off / 2 * (1 + np.sin(np.log(yards + 3) * 2))
        return 1 + (base - 1) * wave * np.where(women & (yards > 60), 1.08, 1.0)

    def draw(self, rng: np.random.Generator, handicap: np.ndarray, women: np.ndarray, own: np.ndarray):
        n = self.players * self.rounds * 60
        player = np.repeat(np.arange(self.players), self.rounds * 60)
        lie = rng.choice([int(each) for each in LIES], n, p=(0.2, 0.18, 0.14, 0.04, 0.44))
        yards = np.where(lie == Lie.GREEN, rng.gamma(1.2, 4, n) + 0.5, rng.gamma(1.5, 100, n).clip(8, 480))
        yards = np.where(lie == Lie.TEE, rng.uniform(130, 480, n), yards)
        mean = self.true(lie, yards, handicap[player], women[player])
        more = np.maximum(mean - 1 + own[player] * (mean - 1) / 2, 0.02)
        strokes = (
            1 + np.floor((1 - self.tail) * more + rng.random(n)).astype(int) + rng.poisson(self.tail * more)
        )
        known = np.round(handicap / 3) * 3 if self.lagging else handicap
        return HoleOuts(lie, np.round(yards, 1), strokes, known[player], women[player])

    def play(self, rng: np.random.Generator) -> Mapping[str, Told]:
        handicap, women = rng.uniform(9, 21, self.players), rng.random(self.players) < 0.3
        own = self.differ * rng.standard_normal(self.players)
        seen = self.draw(rng, handicap, women, own)
        fit = golfers_near(HANDICAP, ShotSums.of(seen), date(2026, 6, 1))["men"].benchmark()
        fresh = self.draw(rng, handicap, women, own)
        lost = self.true(fresh.lie, fresh.distance, np.full(len(fresh), HANDICAP), np.zeros(len(fresh), bool))
        lost = lost - fit.expected(fresh.lie, fresh.distance)
        told = {
            "the club's golfer is off on average": Told(
                claimed=abs(float(np.mean(lost))) > FARTHER, is_so=False
            )
        }
        estimate = handicap_golfer(HANDICAP)
        for lie, yards in PLACES:
            place = np.array([int(lie)]), np.array([yards])
            truth = self.true(*place, np.array([HANDICAP]), np.array([False]))[0]
            off = [abs(float(one.expected(*place)[0] - truth)) for one in (fit, estimate)]
            told[f"farther off than the estimate: {lie.word}"] = Told(
                claimed=off[0] > off[1] + FARTHER, is_so=False
            )
        return told


CASES = [
    Case("strokes with a tail"),
    Case("players unlike their handicap", differ=0.1),
    Case("long tails, old handicaps", tail=0.5, lagging=True, differ=0.05),
    Case("a club as estimated", off=0.0),
    Case("few rounds", rounds=2),
]
WORLDS = [
    World(
        case.name,
        "a club's golfers neither gain nor lose on their own benchmark",
        f"{case.players} x {case.rounds}",
        case.play,
        tries=(4, 100),
    )
    for case in CASES
]
