"""Worlds against two ways with a ball near the hole: putting or chipping, and putts from below or from above the hole.

Strokes come whole, players gain from the putter each in a way of their own, those who do reach for it more often, and
putts follow another law than two spreads.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from golfstats.calc.greens.around_the_green import NearShots, putting_against_chipping
from golfstats.calc.putting.likelihood import putts_of
from golfstats.calc.putting.player import player_spreads
from golfstats.calc.putting.slopes import below_against_above, gained_on_own_putting
from golfstats.calc.vocabulary import Lie
from tests.calc.record_builder import hole, record_of
from tests.worlds.court import Told, World
from tests.worlds.putting_players import Putter


@dataclass(frozen=True)
class Near:
    """Shots from just off disturbed greens; the advantage of the putter in strokes, and how players differ in it."""

    name: str
    players: int = 15
    shots: int = 60
    advantage: float = 0.12
    differ: float = 0.0
    choose: float = 0.0
    """How much more often those putt who gain by it."""
    wrong_by_yard: float = 0.0
    """Strokes a yard by which the benchmark's values are wrong on these greens."""

    def play(self, rng: np.random.Generator) -> Mapping[str, Told]:
        own = self.advantage + self.differ * rng.standard_normal(self.players)
        skill = 0.15 * rng.standard_normal(self.players)
        n = self.players * self.shots
        player = np.repeat(np.arange(self.players), self.shots)
        yards = np.round(rng.gamma(3, 2.7, n).clip(1, 20))
        lie = rng.choice([int(Lie.FRINGE), int(Lie.FAIRWAY), int(Lie.ROUGH)], n, p=(0.5, 0.25, 0.25))
        odds = (7 - yards) / 4 - 1.0 * (lie == Lie.ROUGH) + self.choose * (own[player] - self.advantage)
        putted = rng.random(n) < 1 / (1 + np.exp(-odds))
        expected = 2.15 + 0.02 * yards + 0.25 * (lie == Lie.ROUGH)
        mean = expected - skill[player] - own[player] * putted + self.wrong_by_yard * (yards - 8)
        # Down in one now and then, in three or four more often than in none: whole strokes with a tail.
        bad = rng.poisson(0.12, n)
        strokes = np.floor(mean - 0.12 + rng.random(n)) + bad
        told = putting_against_chipping(
            NearShots(player, np.arange(n) // 3, lie, yards, putted, expected - strokes, np.full(n, 0.5))
        )
        sure = told.value is not None and (told.low > 0 or told.high < 0)
        return {
            "putting against chipping": Told.of(
                told, float(np.mean(own)), claimed=sure, is_so=self.advantage != 0
            )
        }


@dataclass(frozen=True)
class Slopes:
    """First putts from below the hole, which come from farther, and from above; none is easier unless it is said."""

    name: str
    putter: Putter
    rounds: int = 25
    easier: float = 0.0
    """Log odds of holing by which putts from below are easier."""

    def play(self, rng: np.random.Generator) -> Mapping[str, Told]:
        n = 18 * self.rounds
        below = rng.random(n) < 0.55
        feet = np.exp(rng.normal(np.where(below, np.log(18), np.log(11)), 0.7)).clip(2, 80)
        round_ = np.repeat(np.arange(self.rounds), 18)
        day = self.putter.form * rng.standard_normal(self.rounds)[round_] + self.easier * below
        played, at, *_ = self.putter.play(feet, day, rng)
        slope, seen = np.where(below, "uphill", "downhill"), rng.random(n) < 0.8
        holes, start = [], np.searchsorted(played, np.arange(n + 1))
        for number in range(n):
            putts = at[start[number] : start[number + 1]]
            noted = {"slope": str(slope[number])} if seen[number] else {}
            shots = [("green", round(float(putts[0])) / 3, noted)]
            shots += [("green", max(round(float(one)), 1) / 3) for one in putts[1:]]
            holes.append(hole(3, [("tee", 150), *shots], round=int(round_[number])))
        record = record_of(holes)
        spreads = np.exp(player_spreads(putts_of(record)).log_mean)
        found = below_against_above(record, gained_on_own_putting(record, *map(float, spreads))).difference
        sure = found.value is not None and (found.low > 0 or found.high < 0)
        truth = 0.0 if self.easier == 0 else np.nan
        return {"putts from below against above": Told.of(found, truth, claimed=sure, is_so=self.easier != 0)}


NEAR = [
    Near("whole strokes"),
    Near("no way is better", advantage=0.0),
    Near("players differ", differ=0.15),
    Near("those who gain by it putt more", differ=0.15, choose=5.0),
    Near("no way is better and values are wrong by distance", advantage=0.0, wrong_by_yard=0.03),
    Near("five players", players=5, shots=150, differ=0.1),
]
SLOPES = [
    Slopes("logistic in log feet", Putter("log feet")),
    Slopes("logistic in feet", Putter("feet")),
    Slopes("a cone, days of form", Putter("cone", form=0.35)),
    Slopes("long tails", Putter("log feet", tail=1.2)),
    Slopes("from below it is easier", Putter("log feet"), easier=0.6),
]
WORLDS = [
    World(
        one.name,
        "from off the green the better way is better",
        f"{one.players} x {one.shots}",
        one.play,
        tries=(20, 200),
    )
    for one in NEAR
] + [
    World(
        f"putts: {one.name}",
        "a putt from below is easier only where it is",
        f"1 x {one.rounds}",
        one.play,
        tries=(6, 40),
    )
    for one in SLOPES
]
