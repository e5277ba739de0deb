"""Worlds against what moves a round (wind, cold, competition, first visits): days, players and records of other kinds.

The mathematics takes days and players as normal and alike. Here the rest of a round has long tails, form lasts, wind
troubles one player more than another, the weather is written down when it was bad, and winter is worse for
reasons that no thermometer knows.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from golfstats.calc.greens.context import context_effects
from golfstats.calc.record import Rounds
from tests.worlds.coaching_priorities import remembering
from tests.worlds.court import Told, World

SEASON, YEAR = 300, 365
WIND, FIRST_VISIT, COMPETITION = 1.2, 2.0, 0.8
"""True costs in strokes: each 10 mph, the first round on a course, a competition."""


@dataclass(frozen=True)
class Case:
    name: str
    players: int = 12
    rounds: int = 25
    tails: bool = False
    memory: float = 0.0
    """Of a player's form from round to round, and of the days' difficulty from day to day."""
    wind_differs: bool = False
    written_when_bad: bool = False
    winter: float = 0.0
    """Strokes that the middle of winter costs, warm or cold."""

    def weather(self, rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
        wind = np.exp(np.log(8) + 0.6 * remembering(rng, SEASON, 0.6))
        warmth = 14 - 8 * winter_of(np.arange(SEASON)) + 4 * remembering(rng, SEASON, 0.7)
        return wind, warmth

    def play(self, rng: np.random.Generator) -> Mapping[str, Told]:
        n = self.players * self.rounds
        player = np.repeat(np.arange(self.players), self.rounds)
        day = np.sort(rng.integers(0, SEASON, (self.players, self.rounds)), axis=1).ravel()
        form = np.concatenate([remembering(rng, self.rounds, self.memory) for _ in range(self.players)])
        rest = rng.standard_t(2.5, n) if self.tails else rng.standard_normal(n)
        by_day = 0.8 * remembering(rng, SEASON, self.memory)
        wind, warmth = self.weather(rng)
        course = np.where(rng.random(n) < 0.2, rng.integers(1, 12, n), 0)
        competition = rng.random(n) < 0.25
        trouble = WIND * (
            rng.gamma(1.5, 1 / 1.5, self.players) if self.wind_differs else np.ones(self.players)
        )
        strokes = (
            rng.gamma(2.0, 1.5, self.players)[player]
            + 1.5 * form
            + 2.5 * rest
            + by_day[day]
            + trouble[player] * wind[day] / 10
            + COMPETITION * competition
            + FIRST_VISIT * first_visits(player, course)
            + self.winter * winter_of(day)
        )
        written = wind[day].copy()
        if self.written_when_bad:
            written[rng.random(n) < np.where(wind[day] < 12, 0.6, 0.05)] = np.nan
        order = np.argsort(day, kind="stable")
        rounds = Rounds(
            player=player,
            day=day + 738_000,
            course=course,
            counting=np.ones(n, bool),
            competition=competition,
            start_hour=rng.uniform(7, 17, n),
            temperature=np.round(warmth[day]),
            wind_speed=np.round(written),
        ).select(order)
        found = {one.key: one.strokes for one in context_effects(rounds, strokes[order])}
        told = {
            "each 10 mph of wind": Told.of(found["wind"], float(np.mean(trouble))),
            "competition": Told.of(found["competition"], COMPETITION),
            "first visit": Told.of(found["first_visit"], FIRST_VISIT),
        }
        for key, words in (("afternoon", "a start after noon"), ("cold", "each 10 °C of cold")):
            figure = found[key]
            sure = figure.value is not None and (figure.low > 0 or figure.high < 0)
            told[words] = Told.of(figure, 0.0, claimed=sure, is_so=False)
        return told


def winter_of(day: np.ndarray) -> np.ndarray:
    """1 in the middle of winter, 0 half a year later."""
    return 0.5 + 0.5 * np.cos(2 * np.pi * day / YEAR)


def first_visits(player: np.ndarray, course: np.ndarray) -> np.ndarray:
    """Whether nobody saw this player on this course before; the home course is known to all."""
    _, first = np.unique(player * 100 + course, return_index=True)
    return np.isin(np.arange(len(player)), first) & (course > 0)


CASES = [
    Case("long-tailed rounds", tails=True),
    Case("form and weather last", memory=0.6),
    Case("wind troubles some more than others", wind_differs=True),
    Case("wind is written down when it blows", written_when_bad=True),
    Case("winter is worse, whatever the thermometer says", winter=3.0),
    Case("all of it", tails=True, memory=0.6, wind_differs=True, written_when_bad=True),
    Case(
        "all of it", players=40, rounds=20, tails=True, memory=0.6, wind_differs=True, written_when_bad=True
    ),
]
WORLDS = [
    World(
        case.name,
        "a context costs what it is said to cost, and one that costs nothing is not called dear",
        f"{case.players} x {case.rounds}",
        case.play,
        tries=(4, 100 if case.players < 40 else 40),
    )
    for case in CASES
]
