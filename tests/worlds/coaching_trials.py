"""Worlds against trials: a tag played in more wind, in blocks while the season turns, in spells of form; clubs kept for
certain holes; and one who looks after every other round and stops when a difference is told.
"""

from dataclasses import dataclass

import numpy as np

from golfstats.calc.coaching.trials import TrialShots, Verdict, run_trial
from tests.worlds.coaching_priorities import remembering
from tests.worlds.court import Told, World

HOLES = 14
LENGTHS = np.array([520, 410, 390, 440, 365, 405, 430, 350, 505, 380, 415, 425, 372, 398])
TIGHT = LENGTHS < 395


@dataclass(frozen=True)
class Case:
    name: str
    tags: str
    """How the tags are chosen."""
    effect: float = 0.0
    """Strokes a shot by which A is better."""
    wind: float = 0.0
    """Strokes a shot lost in ten miles an hour of wind."""
    season: float = 0.0
    """Strokes a shot won from the first round to the last, most of it in the middle."""
    form: float = 0.05
    memory: float = 0.0
    rounds: int = 40

    def golf(self, rng):
        round = np.repeat(np.arange(self.rounds), HOLES)
        hole = np.tile(np.arange(HOLES), self.rounds)
        first, wind = self.tagged(rng, hole)
        course = (rng.random(self.rounds) < 0.3).astype(int)
        date = np.cumsum(rng.integers(2, 10, self.rounds)).astype(float)
        share = np.arange(self.rounds) / self.rounds
        turn = self.season / (1 + np.exp(-10 * (share - 0.5)))
        form = self.form * remembering(rng, self.rounds, self.memory)
        lie = rng.choice((1, 2), len(round), p=(0.7, 0.3))
        distance = LENGTHS[hole] + rng.normal(0, 6, len(round)) + 12 * course[round]
        luck = -rng.exponential(0.5, len(round)) * (rng.random(len(round)) < 0.5) + rng.normal(
            0.25, 0.3, len(round)
        )
        outcome = (
            luck
            + (form + turn)[round]
            - self.wind * (wind[round] / 10) ** 1.2
            - 0.1 * (lie == 2)
            - 0.0008 * (distance - 420)
            - 0.25 * TIGHT[hole]
            - 0.1 * course[round]
            + self.effect * first
        )
        return TrialShots(
            outcome,
            first,
            round,
            distance,
            lie,
            hole=hole + HOLES * course[round] if self.tags == "club" else None,
            wind=wind[round] + rng.normal(0, 1, self.rounds)[round],
            temperature=(14 + 8 * np.sin(date / 58) + rng.normal(0, 3, self.rounds))[round],
            course=course[round],
            day=date[round],
        )

    def tagged(self, rng, hole):
        """Whether each shot is A's, and the wind of each round."""
        number = np.arange(self.rounds)
        wind = rng.gamma(3, 3, self.rounds)
        each = np.repeat(rng.random(self.rounds) < 0.5, HOLES)
        if self.tags == "windy":
            each = np.repeat(rng.random(self.rounds) < np.where(wind > np.median(wind), 0.7, 0.3), HOLES)
        if self.tags == "blocks":
            each = np.repeat(number < self.rounds // 2, HOLES)
        if self.tags == "threes":
            each = np.repeat((number // 3) % 2 == 0, HOLES)
        if self.tags == "shot":
            each = rng.random(len(hole)) < 0.5
        if self.tags == "club":
            each = rng.random(len(hole)) < np.where(TIGHT[hole], 0.2, 0.85)
        return each, wind

    def play(self, rng):
        """Looked at after every other round, until it is told or over."""
        shots = self.golf(rng)
        result = None
        for played in range(8, self.rounds + 1, 2):
            result = run_trial(shots.select(shots.round < played), "strokes", "higher")
            if result.verdict in (Verdict.FIRST, Verdict.SECOND):
                break
        told = result.verdict in (Verdict.FIRST, Verdict.SECOND)
        right = Verdict.FIRST if self.effect > 0 else None
        found = {
            "a difference is told": Told(claimed=told, is_so=self.effect != 0),
            "difference when stopping": Told.of(result.difference, self.effect),
        }
        if right:
            found["the wrong one is called better"] = Told(
                claimed=told and result.verdict is not right, is_so=False
            )
        return found


CASES = [
    Case("A in more wind", "windy", wind=0.06),
    Case("season turns, A before and B after", "blocks", season=0.3),
    Case("season turns, tags at random", "rounds", season=0.3),
    Case("form that lasts, tags for three rounds each", "threes", form=0.12, memory=0.6),
    Case("shot by shot, nothing in it", "shot"),
    Case("clubs kept for certain holes, nothing in it", "club"),
    Case("shot by shot, A better", "shot", effect=0.25),
    Case("round by round, A better", "rounds", effect=0.25, form=0.08),
    Case("driver against 3-wood, driver better", "club", effect=0.25),
]

WORLDS = [
    World(
        case.name,
        "A is better than B, and not the wind, the season or the holes",
        "1 x 40",
        case.play,
        most_false_alarms=0.05,
        tries=(3, 100),
    )
    for case in CASES
]
