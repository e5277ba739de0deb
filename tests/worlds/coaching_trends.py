"""Worlds against trends and level shifts: form that comes and goes, courses of many difficulties, odd days, real change.

A player's truth is a level; what a round shows adds a course, a spell of form and the luck of the day. Spells are
of fixed lengths (blocks) in some worlds, so that no smooth memory is the right model.
"""

from dataclasses import dataclass

import numpy as np

from golfstats.calc.coaching.level_shifts import level_shift
from golfstats.calc.coaching.series import Series, course_columns
from golfstats.calc.coaching.trends import chance_better, fit_trend, level_on
from tests.worlds.coaching_priorities import remembering
from tests.worlds.court import Told, World

BACK = 90


@dataclass(frozen=True)
class Life:
    """How a player's rounds come about, in units of one round's luck."""

    memory: float = 0.0
    """Autocorrelation of the luck of neighbouring rounds."""
    spells: int = 0
    """Rounds that a spell of form lasts; it is as large as the luck of a round."""
    courses: float = 0.0
    """Spread of the difficulties of six courses, three of them seldom played."""
    odd_days: float = 0.0
    """Chance of a round of four times the luck."""
    climb: float = 0.0
    """True change of the level in a year."""
    jump: float = 0.0
    """True step of the level in the middle."""
    days: int = 7


def season(life, rounds, rng):
    day = np.cumsum(rng.integers(1, 2 * life.days, rounds)).astype(float)
    level = life.climb * (day - day[0]) / 365 + life.jump * (np.arange(rounds) >= rounds // 2)
    luck = remembering(rng, rounds, life.memory)
    luck = np.where(rng.random(rounds) < life.odd_days, 4 * luck, luck)
    if life.spells:
        spell = (np.arange(rounds) + rng.integers(life.spells)) // life.spells
        luck = luck + rng.standard_normal(spell[-1] + 1)[spell]
    course = rng.choice(6, rounds, p=(0.4, 0.25, 0.2, 0.05, 0.05, 0.05))
    difficulty = life.courses * rng.standard_normal(6)
    difficulty -= difficulty[course].mean()
    covariates = None
    if life.courses:
        columns = course_columns(course)
        covariates = columns - columns.mean(axis=0)
    return Series(day, level + luck + difficulty[course], np.ones(rounds), covariates), level


def level_at(series, level, day):
    return float(np.interp(day, series.day, level))


@dataclass(frozen=True)
class Case:
    name: str
    life: Life
    rounds: int = 30

    @property
    def steady(self):
        return self.life.climb == 0 and self.life.jump == 0

    def play(self, rng):
        series, level = season(self.life, self.rounds, rng)
        trend = fit_trend(series)
        today = series.day[-1]
        then = max(today - BACK, series.day[0])
        change = trend.change_between(then, today).figure(self.rounds, "x", 6)
        now = level_on(trend, today).figure(self.rounds, "x", 6)
        better = chance_better(trend, then, today, "higher")
        truly = level[-1] - level_at(series, level, then)
        return {
            "level today": Told.of(now, level[-1]),
            "change in three months": Told.of(change, truly),
            "90% likely better": Told(claimed=better >= 0.9, is_so=truly > 0),
            "90% likely worse": Told(claimed=better <= 0.1, is_so=truly < 0),
        }

    def shift(self, rng):
        series, _ = season(self.life, self.rounds, rng)
        found = level_shift(series, "x")
        return {"level shift": Told(claimed=found is not None, is_so=self.life.jump != 0)}


CASES = [
    Case("steady, rounds by chance", Life()),
    Case("steady, neighbouring rounds alike", Life(memory=0.5)),
    Case("steady, neighbouring rounds alike", Life(memory=0.5), rounds=15),
    Case("steady, neighbouring rounds alike", Life(memory=0.5), rounds=80),
    Case("steady, rounds close together alike", Life(memory=0.5, days=3), rounds=50),
    Case("steady, spells of four rounds", Life(spells=4)),
    Case("steady, courses of many difficulties", Life(courses=1.5)),
    Case("steady, odd days", Life(odd_days=0.1)),
    Case("climbing", Life(climb=1.5), rounds=50),
    Case("climbing, neighbouring rounds alike", Life(climb=2.0, memory=0.5), rounds=50),
    Case("a jump", Life(jump=2.5), rounds=50),
    Case("a jump, neighbouring rounds alike", Life(jump=2.5, memory=0.5), rounds=50),
]

WORLDS = [
    World(
        case.name,
        "a level is where it is said to be, and better means better",
        f"1 x {case.rounds}",
        case.play,
    )
    for case in CASES
] + [
    World(
        f"{case.name}: level shift",
        "a level shift is one",
        f"1 x {case.rounds}",
        case.shift,
        most_false_alarms=0.05,
    )
    for case in CASES
    if case.life.climb == 0
]
