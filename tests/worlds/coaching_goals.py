"""Worlds against goals: players who stand still, whose rounds resemble the round before, or who truly get better.

Half of the golf comes as in :mod:`tests.worlds.coaching_trends`, half as in :mod:`tests.worlds.coaching_hostile`: in
bursts of form, far from normal, or not all of the player's own.

A chance of one event has no interval that the event could fall out of: whether it keeps its word is judged by how often
what it calls near certain fails.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from golfstats.calc.coaching.goals import Goal, GoalState, Window, progress
from golfstats.calc.coaching.series import Series
from golfstats.calc.coaching.trends import fit_trend
from golfstats.calc.observations import FigureSpec, Observations
from tests.worlds.coaching_hostile import AHEAD as STILL_TO_COME
from tests.worlds.coaching_hostile import Golf, bad_days_only, bursts, heavy_days, sharing
from tests.worlds.coaching_trends import Life, season
from tests.worlds.court import Told, World

PUTTS = FigureSpec("putts", "Putts", "putts", "lower", "round", "median", 5, lambda _: None, meaning="Putts.")
KNOWN, WINDOW, AHEAD = 30, 10, 10


Rounds = tuple[np.ndarray, np.ndarray]
"""Day and value of each, those to come last; lower is better."""


@dataclass(frozen=True)
class Lived:
    life: Life

    def __call__(self, rng: np.random.Generator) -> Rounds:
        series, _ = season(self.life, KNOWN + AHEAD, rng)
        return series.day, series.value


@dataclass(frozen=True)
class Otherwise:
    made: Callable[[np.random.Generator, int], Golf]

    def __call__(self, rng: np.random.Generator) -> Rounds:
        day, value, _ = self.made(rng, KNOWN + AHEAD - STILL_TO_COME)
        return day, -value


@dataclass(frozen=True)
class Case:
    name: str
    rounds: Callable[[np.random.Generator], Rounds]

    def play(self, rng):
        day, value = self.rounds(rng)
        none = np.full(KNOWN, -1)
        known = Observations(value[:KNOWN], np.arange(KNOWN), none, none)
        days, today = day[:KNOWN].astype(int), float(day[KNOWN - 1])
        trend = fit_trend(Series.of(known, days, median=True))
        by = float(day[-1])

        def ask(target):
            goal = Goal(target, "lower", Window(rounds=WINDOW), by)
            later = np.median(value[-WINDOW:])
            return progress(goal, PUTTS, known, days, trend, today), goal.meets(later)

        stands = float(np.median(value[KNOWN - WINDOW : KNOWN]))
        on_the_day, _ = ask(stands)
        tried, met = ask(stands + rng.normal(0, 0.6))
        return {
            "met on the day it is set where one stands": Told(
                claimed=on_the_day.state is GoalState.MET, is_so=False
            ),
            "said to be 90% likely and missed": Told(claimed=tried.chance >= 0.9 and not met, is_so=False),
            "said to be 10% likely and met": Told(claimed=tried.chance <= 0.1 and bool(met), is_so=False),
        }


CASES = [
    Case("standing still", Lived(Life())),
    Case("standing still, neighbouring rounds alike", Lived(Life(memory=0.5))),
    Case("standing still, spells of four rounds", Lived(Life(spells=4))),
    Case("getting better", Lived(Life(climb=-1.5))),
    Case("rounds in bursts of form", Otherwise(bursts)),
    Case("days far from normal", Otherwise(heavy_days)),
    Case("bad days, no good ones", Otherwise(bad_days_only)),
    Case("one round in eight is somebody else's", Otherwise(sharing)),
]

WORLDS = [
    World(case.name, "a goal that is met is met, and its chance keeps its word", f"1 x {KNOWN}", case.play)
    for case in CASES
]
