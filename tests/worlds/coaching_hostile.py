"""Worlds against trends that are other in kind than those of :mod:`tests.worlds.coaching_trends`.

There the luck of a round was normal and a level stayed, climbed or jumped while a player went on playing. Here days are
far from normal, the year itself moves the level, players stop and come back, play in bursts, or post what is not
a round of theirs.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from golfstats.calc.coaching.level_shifts import level_shift
from golfstats.calc.coaching.series import Series
from golfstats.calc.coaching.trends import chance_better, fit_trend, level_on
from golfstats.calc.forecasts import ROUNDS_AHEAD, chance_of_next_rounds
from tests.worlds.court import Told, World

BACK = 90
AHEAD = ROUNDS_AHEAD

Golf = tuple[np.ndarray, np.ndarray, np.ndarray]
"""Day, value and level of each round, the last five still to come."""


def every_week(rng: np.random.Generator, rounds: int) -> np.ndarray:
    return np.cumsum(rng.integers(1, 14, rounds + AHEAD)).astype(float)


def heavy_days(rng: np.random.Generator, rounds: int) -> Golf:
    """Student's t with two and a half degrees of freedom: most days alike, some far off either way."""
    day = every_week(rng, rounds)
    return day, rng.standard_t(2.5, len(day)), np.zeros(len(day))


def bad_days_only(rng: np.random.Generator, rounds: int) -> Golf:
    """Days are never much better than usual, and now and then far worse."""
    day = every_week(rng, rounds)
    return day, 1.0 - rng.gamma(1.0, 1.0, len(day)), np.zeros(len(day))


def the_year(rng: np.random.Generator, rounds: int) -> Golf:
    """Everybody plays better in summer: the level goes round with the year."""
    day = every_week(rng, rounds)
    level = 1.0 * np.sin(2 * np.pi * (day - day[0] + rng.integers(365)) / 365)
    return day, level + rng.standard_normal(len(day)), level


def away(rng: np.random.Generator, rounds: int) -> Golf:
    """Four months without golf, and the player who comes back is not the same."""
    day = every_week(rng, rounds)
    back = rounds - 8
    day[back:] += 120
    level = np.where(np.arange(len(day)) >= back, rng.normal(0.0, 1.5), 0.0)
    return day, level + rng.standard_normal(len(day)), level


def bursts(rng: np.random.Generator, rounds: int) -> Golf:
    """Four rounds in four days, then three weeks of nothing; each burst has its own form."""
    burst = np.arange(rounds + AHEAD) // 4
    day = 21.0 * burst + np.arange(len(burst)) % 4
    form = rng.standard_normal(burst[-1] + 1)[burst]
    return day, form + rng.standard_normal(len(day)), np.zeros(len(day))


def sharing(rng: np.random.Generator, rounds: int) -> Golf:
    """One round in eight was played by somebody else, who is three rounds' spread worse."""
    day = every_week(rng, rounds)
    level = np.full(len(day), -3.0 / 8)
    return day, rng.standard_normal(len(day)) - 3.0 * (rng.random(len(day)) < 1 / 8), level


@dataclass(frozen=True)
class Case:
    made: Callable[[np.random.Generator, int], Golf]
    rounds: int
    steady: bool = True

    def play(self, rng: np.random.Generator) -> Mapping[str, Told]:
        day, value, level = self.made(rng, self.rounds)
        known = slice(0, self.rounds)
        series = Series(day[known], value[known], np.ones(self.rounds))
        trend = fit_trend(series)
        today = float(series.day[-1])
        then = max(today - BACK, float(series.day[0]))
        now, was = float(level[self.rounds - 1]), float(np.interp(then, day, level))
        change = trend.change_between(then, today).figure(self.rounds, "x", 6)
        told = {
            "level today": Told.of(level_on(trend, today).figure(self.rounds, "x", 6), now),
            "change in three months": Told.of(change, now - was),
            "the next five rounds": self.forecast(trend, today, value),
        }
        if self.steady:
            better = chance_better(trend, then, today, "higher")
            told["90% likely better"] = Told(claimed=better >= 0.9, is_so=False)
            told["90% likely worse"] = Told(claimed=better <= 0.1, is_so=False)
        return told

    def forecast(self, trend, today: float, value: np.ndarray) -> Told:
        """The range in which five rounds should lie nine times in ten, and where their mean lay."""
        limits = np.linspace(-8, 8, 41)
        chance = np.array([chance_of_next_rounds(trend, today, limit, "lower") for limit in limits])
        low, middle, high = np.interp([0.05, 0.5, 0.95], chance, limits)
        return Told(float(np.mean(value[self.rounds :])), middle, low, high)

    def shift(self, rng: np.random.Generator) -> Mapping[str, Told]:
        day, value, _ = self.made(rng, self.rounds)
        known = slice(0, self.rounds)
        found = level_shift(Series(day[known], value[known], np.ones(self.rounds)), "x")
        return {"level shift": Told(claimed=found is not None, is_so=False)}


WHERE = "a level is where it is said to be, and the next rounds come as they are forecast"
CASES = {
    "days far from normal": Case(heavy_days, 40),
    "days far from normal, few rounds": Case(heavy_days, 15),
    "bad days, no good ones": Case(bad_days_only, 40),
    "the year moves the level": Case(the_year, 60, steady=False),
    "away for four months": Case(away, 40, steady=False),
    "rounds in bursts of form": Case(bursts, 40),
    "one round in eight is somebody else's": Case(sharing, 40),
}
WORLDS = [World(name, WHERE, f"1 x {case.rounds}", case.play) for name, case in CASES.items()] + [
    World(
        f"{name}: level shift",
        "a level shift is one",
        f"1 x {case.rounds}",
        case.shift,
        most_false_alarms=0.05,
    )
    for name, case in CASES.items()
    if case.steady
]
