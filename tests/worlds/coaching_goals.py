"""Worlds against goals: players who stand still, whose rounds resemble the round before, or who truly get better."""

from dataclasses import dataclass

import numpy as np

from golfstats.calc.coaching.goals import Goal, GoalState, Window, progress
from golfstats.calc.coaching.trends import Series, fit_trend
from golfstats.calc.observations import FigureSpec, Observations
from tests.worlds.coaching_trends import Life, season
from tests.worlds.court import Told, World

PUTTS = FigureSpec("putts", "Putts", "putts", "lower", "round", "median", 5, lambda _: None)
KNOWN, WINDOW, AHEAD = 30, 10, 10


@dataclass(frozen=True)
class Case:
    name: str
    life: Life

    def play(self, rng):
        series, _ = season(self.life, KNOWN + AHEAD, rng)
        none = np.full(KNOWN, -1)
        known = Observations(series.value[:KNOWN], np.arange(KNOWN), none, none)
        days, today = series.day[:KNOWN].astype(int), float(series.day[KNOWN - 1])
        trend = fit_trend(Series.of(known, days, median=True))
        by = float(series.day[-1])

        def ask(target):
            goal = Goal(target, "lower", Window(rounds=WINDOW), by)
            later = np.median(series.value[-WINDOW:])
            return progress(goal, PUTTS, known, days, trend, today), goal.meets(later)

        stands = float(np.median(series.value[KNOWN - WINDOW : KNOWN]))
        on_the_day, _ = ask(stands)
        tried, met = ask(stands + rng.normal(0, 0.6))
        return {
            "met on the day it is set where one stands": Told(
                claimed=on_the_day.state is GoalState.MET, is_so=False
            ),
            "said to be 90% likely and missed": Told(claimed=tried.chance >= 0.9 and not met, is_so=False),
            "said to be 10% likely and met": Told(claimed=tried.chance <= 0.1 and bool(met), is_so=False),
            "chance of meeting it": Told(truth=float(met), value=tried.chance, low=0.0, high=1.0),
        }


CASES = [
    Case("standing still", Life()),
    Case("standing still, neighbouring rounds alike", Life(memory=0.5)),
    Case("standing still, spells of four rounds", Life(spells=4)),
    Case("getting better", Life(climb=-1.5)),
]

WORLDS = [
    World(case.name, "a goal that is met is met, and its chance keeps its word", f"1 x {KNOWN}", case.play)
    for case in CASES
]
