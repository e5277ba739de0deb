"""Worlds against a player's putting: makes that follow other curves than two errors give, leaves with long tails, days.

A hole is played stroke by stroke under the world's own laws; the truth is the mean of very many holes over days.
"""

from dataclasses import dataclass

import numpy as np

from golfstats.calc.putting.likelihood import Putts
from golfstats.calc.putting.player import outcome_figures, player_spreads
from tests.worlds.court import Told, World

ASKED_FT = np.array([5.0, 10.0, 25.0, 50.0])
MOST_PUTTS = 6
OFTEN = 40_000
TRUTHS = {}


@dataclass(frozen=True)
class Putter:
    """Chance to hole: logistic in feet, in the logarithm of feet, or a cone as wide as the hole; misses by a gamma law."""

    makes: str = "log feet"
    form: float = 0.0
    """Spread of the day's form: log odds of holing, and logarithm of what misses leave."""
    tail: float = 4.0
    """Shape of the gamma law of what misses leave; small is long-tailed."""

    def chance(self, feet, day):
        if self.makes == "feet":
            odds = np.logaddexp(2.1 - 0.24 * feet, -3.5 - 0.02 * feet)  # nobody stops at nought
        elif self.makes == "log feet":
            odds = 4.3 - 2.15 * np.log(feet)
        else:
            odds = np.log(np.minimum(2.6 / feet, 0.97)) * 1.6 + 0.9
        return 1 / (1 + np.exp(-(odds + day)))

    def leave(self, feet, day, rng):
        mean = (0.5 + 0.075 * feet) * np.exp(-day)
        return np.maximum(rng.gamma(self.tail, mean / self.tail), 0.2)

    def play(self, first_ft, day, rng):
        """Putts in order of holes: hole, distance, holed, left."""
        hole, feet = np.arange(len(first_ft)), first_ft
        rows = []
        for number in range(MOST_PUTTS):
            holed = rng.random(len(hole)) < self.chance(feet, day[hole])
            holed |= number == MOST_PUTTS - 1
            left = np.where(holed, 0.0, self.leave(feet, day[hole], rng))
            rows.append((hole, feet, holed, left))
            hole, feet = hole[~holed], left[~holed]
        hole, feet, holed, left = (np.concatenate(column) for column in zip(*rows, strict=True))
        order = np.argsort(hole, kind="stable")
        return hole[order], feet[order], holed[order], left[order]

    def truth(self, feet):
        """Expected putts and the chances of one putt and of three or more."""
        if (self, feet) not in TRUTHS:
            rng = np.random.default_rng(11)
            hole, *_ = self.play(np.full(OFTEN, feet), self.form * rng.standard_normal(OFTEN), rng)
            taken = np.bincount(hole)
            TRUTHS[self, feet] = np.mean(taken), np.mean(taken == 1), np.mean(taken >= 3)
        return TRUTHS[self, feet]


@dataclass(frozen=True)
class Case:
    name: str
    putter: Putter
    rounds: int = 60

    def play(self, rng):
        first = np.exp(rng.normal(np.log(14), 0.85, 18 * self.rounds)).clip(1, 90)
        round = np.repeat(np.arange(self.rounds), 18)
        day = self.putter.form * rng.standard_normal(self.rounds)
        hole, feet, holed, left = self.putter.play(first, day[round], rng)
        putts = Putts(np.zeros(len(hole), dtype=int), feet, holed, left, round[hole], hole)
        found = outcome_figures(player_spreads(putts), ASKED_FT)
        told = {}
        for figures in found:
            expected, one, three = self.putter.truth(figures.distance_ft)
            told[f"expected putts, {figures.distance_ft:.0f} ft"] = Told.of(figures.expected_putts, expected)
            if figures.distance_ft <= 25:
                told[f"one putt, {figures.distance_ft:.0f} ft"] = Told.of(figures.one, one)
            if figures.distance_ft >= 25:
                told[f"three putts, {figures.distance_ft:.0f} ft"] = Told.of(figures.three_or_more, three)
        return told


CASES = [
    Case("logistic in feet", Putter("feet")),
    Case("logistic in log feet", Putter("log feet")),
    Case("a cone", Putter("cone")),
    Case("long tails", Putter("log feet", tail=1.2)),
    Case("daily form", Putter("log feet", form=0.35)),
    Case("logistic in feet", Putter("feet"), rounds=15),
    Case("daily form", Putter("cone", form=0.35), rounds=15),
    Case("daily form", Putter("log feet", form=0.35), rounds=10),
]

WORLDS = [
    World(case.name, "a player's chances and expected putts", f"1 x {case.rounds}", case.play, tries=(4, 200))
    for case in CASES
]
