"""Worlds that try the day on which greens should be healed, which is said as a chance a week after the coring.

The club is that of :mod:`tests.worlds.greens_golf`: it putts on after the day, and its rounds tell who was right.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from golfstats.calc.greens.effect.estimate import fit_effect
from golfstats.calc.greens.effect.healed import ROUNDS_LOOKED_AT, chance_healed, expected_days, was_healed
from golfstats.calc.greens.effect.putts import Putts
from tests.worlds.court import Told, World
from tests.worlds.greens_cost import EFFECT, SIZES, swing
from tests.worlds.greens_golf import SEASON_START, Club, linear, plateau, play

CORINGS = (70, 165)
ASKED_AFTER = 7
"""Days after the second coring."""
USUAL_ROUNDS = 3


def usual_putts(first_ft: np.ndarray) -> np.ndarray:
    return 1.2 + 0.02 * first_ft


def gained(putts: Putts) -> list[tuple[int, int, float]]:
    """Player, day and putting strokes gained over 18 holes of each round, in order of play."""
    rows = []
    for number in np.unique(putts.round):
        one = putts.select(putts.round == number)
        first = one.distance_ft[one.first]
        told = 18 * (float(np.sum(usual_putts(first))) - len(one)) / len(first)
        rows.append((int(one.player[0]), int(one.day[0]), told))
    return sorted(rows, key=lambda row: row[1])


@dataclass(frozen=True)
class Case:
    club: Club

    def play(self, rng: np.random.Generator) -> Mapping[str, Told]:
        golf = play(self.club, rng)
        cored = SEASON_START + CORINGS[-1]
        effect = fit_effect(golf.putts.select(golf.putts.day <= cored + ASKED_AFTER), golf.works)
        days = round(expected_days(effect, self.club.kind))
        chance = chance_healed(effect, self.club.kind, 1.0, "0", days)
        healed = was_healed(self.lost(gained(golf.putts), cored, cored + days))
        if healed is None:
            return {}
        if chance is None:
            return {"chance of being healed": Told(truth=float(healed))}
        return {
            "said to be 90% likely, and not so": Told(claimed=chance >= 0.9 and not healed, is_so=False),
            "said to be 10% likely, and so": Told(claimed=chance <= 0.1 and healed, is_so=False),
            "chance of being healed": Told(truth=float(healed), value=chance, low=0.0, high=1.0),
        }

    def lost(self, rounds: list[tuple[int, int, float]], cored: int, back_on: int) -> np.ndarray:
        spring = SEASON_START + CORINGS[0]
        sound = [row for row in rounds if row[1] < spring or spring + 25 < row[1] < cored]
        usual = {player: [row[2] for row in sound if row[0] == player] for player, *_ in sound}
        after = [row for row in rounds if row[1] >= back_on and len(usual.get(row[0], [])) >= USUAL_ROUNDS]
        return np.array([np.mean(usual[player]) - won for player, _, won in after][:ROUNDS_LOOKED_AT])


CLUBS = {
    "heals as usual": Club(0, 0, effect=EFFECT),
    "never hurt": Club(0, 0),
    "heals day by day alike": Club(0, 0, effect=EFFECT, profile=linear),
    "as bad for two weeks, then gone": Club(0, 0, effect=EFFECT, profile=plateau),
    "heals in twice the usual time": Club(0, 0, effect=EFFECT, kind="coring_medium"),
    "days go together": Club(0, 0, effect=EFFECT, weather=0.1),
    "the season turns": Club(0, 0, effect=EFFECT, season=swing(0.15)),
}

WORLDS = [
    World(
        name,
        "greens are healed by the day that was said, as often as was said",
        size,
        Case(replace(club, players=SIZES[size][0], rounds=SIZES[size][1], corings=CORINGS)).play,
        tries=(3, 40),
    )
    for size in SIZES
    for name, club in CLUBS.items()
]
