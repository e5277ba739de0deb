"""Worlds against a player's patterns: days that pull all shots one way or send them all farther, and few of them.

A swing's length and line are normal about the day's here, and mis-hits go any share of the way from two fifths to nine
tenths; the service fits a mixture to them as if days were alike.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from golfstats.calc.plan.shots.learn import Swings, learn
from golfstats.calc.plan.shots.prior import usual_bag
from golfstats.calc.vocabulary import Lie
from tests.worlds.court import Told, World

PRIOR = usual_bag(15)
CLUBS = len(PRIOR.clubs)
A_ROUND = 25
DRIVERS, MISHITS = 0.35, 0.06
DRIVER, IRON = 0, 6


@dataclass(frozen=True)
class Case:
    name: str
    rounds: int
    pull: float = 0.0
    """Degrees by which a day pulls or pushes (its spread)."""
    air: float = 0.0
    """Spread of the logarithm of a day's length."""

    def play(self, rng: np.random.Generator) -> Mapping[str, Told]:
        number = self.rounds * A_ROUND
        round_ = np.repeat(np.arange(self.rounds), A_ROUND)
        club = np.where(rng.random(number) < DRIVERS, DRIVER, rng.integers(0, CLUBS, number))
        own = 0.08 * rng.standard_normal() + 0.03 * rng.standard_normal(CLUBS)
        length = np.array([one.length for one in PRIOR.clubs]) * np.exp(own)
        bias = np.radians(1.2) * rng.standard_normal() + np.radians(0.8) * rng.standard_normal(CLUBS)
        along, across = (
            np.array([getattr(one, name) for one in PRIOR.clubs]) for name in ("along", "across")
        )
        topped = np.where(rng.random(number) < MISHITS, rng.uniform(0.4, 0.9, number), 1.0)
        day = self.air * rng.standard_normal(self.rounds)
        went = topped * length[club] * np.exp(day[round_])
        went = went * (1 + 1.35 * along[club] * rng.standard_normal(number))
        line = bias[club] + np.radians(self.pull) * rng.standard_normal(self.rounds)[round_]
        aside = went * np.sin(line + 1.3 * across[club] * rng.standard_normal(number))
        lie = np.full(number, int(Lie.FAIRWAY))
        learnt = learn(PRIOR, Swings(club, np.round(went), np.round(aside), lie, round_))
        told = {}
        for words, row in (("driver", DRIVER), ("7-iron", IRON)):
            figures = learnt.figures(row)
            told[f"length with the {words}"] = Told.of(figures["length"], float(length[row]))
            told[f"direction with the {words}"] = Told.of(figures["bias"], float(np.degrees(bias[row])))
        return told


CASES = [
    Case("swings by chance", 10),
    Case("days pull and carry", 4, pull=1.5, air=0.03),
    Case("days pull and carry", 10, pull=1.5, air=0.03),
    Case("days pull and carry", 30, pull=1.5, air=0.03),
]
WORLDS = [
    World(
        case.name,
        "a club's length and direction are where they are said to be",
        f"1 x {case.rounds}",
        case.play,
        tries=(8, 200),
    )
    for case in CASES
]
