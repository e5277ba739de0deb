"""Worlds against under-reading: a puller, a player who leaves putts short, one who blames the read for what misses low,
and one who truly plays too little break.
"""

from dataclasses import dataclass

from golfstats.calc.putting.tendencies import under_reading
from tests.calc.record_builder import hole, record_of
from tests.worlds.court import Told, World


@dataclass(frozen=True)
class Case:
    name: str
    pull: float = 0.0
    """Mean miss to the left, in spreads of the miss."""
    under: float = 0.0
    """Mean miss to the low side."""
    short: float = 0.35
    """Share of misses that were hit too softly; those die on the low side."""
    blames: float = 0.0
    """Chance that a miss is put down to something: the read where it was low, the line where it was high."""
    days: float = 0.0
    """Spread of the day's pull."""
    left_breaks: float = 0.6
    """Share of putts that break to the left: many greens lean one way."""

    def play(self, rng):
        pull = self.pull + self.days * rng.standard_normal(20)
        holes = [self.miss(rng, number, pull[number // 6]) for number in range(120)]
        test = under_reading(record_of(holes)).breaking_misses
        told = test.p_value is not None and test.p_value < 0.05
        low = told and test.share_low.value > 0.5
        return {
            "too little break is played": Told(claimed=low, is_so=self.under > 0),
            "too much break is played": Told(claimed=told and not low, is_so=False),
        }

    def miss(self, rng, number, pull):
        leftwards = rng.random() < self.left_breaks
        short = rng.random() < self.short
        toward_left = pull + (self.under + 0.9 * short) * (1 if leftwards else -1) + rng.standard_normal()
        noted = {
            "putt_break": "right_to_left" if leftwards else "left_to_right",
            "miss_side": "left" if toward_left > 0 else "right",
            "miss_depth": "short" if short else "long",
        }
        if rng.random() < self.blames:
            noted["fault"] = "read" if (toward_left > 0) == leftwards else "line"
        return hole(3, [("tee", 160), ("green", 4, noted), ("green", 1)], round=number // 6)


CASES = [
    Case("leaves putts short"),
    Case("pulls putts", pull=0.8),
    Case("pulls putts on greens that lean", pull=0.8, left_breaks=0.8),
    Case("pulls putts on some days and pushes them on others", days=0.8),
    Case("blames the read for what misses low", blames=0.7),
    Case("plays too little break", under=0.7),
    Case("plays too little break and pulls", under=0.7, pull=0.5),
]

WORLDS = [
    World(case.name, "misses on the low side are under-reading", "120 misses", case.play, 0.05)
    for case in CASES
]
