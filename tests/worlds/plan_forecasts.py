"""Worlds against a plan's forecast: golfers whose shots, days and putts follow other laws than the plan's own.

A round is walked shot by shot here: errors are Student's, a day pulls or pushes everything, putts fall by a logistic
law, and the short game is each golfer's own. The plan is made for the usual golfer and learns from their full
swings; then they play one round, by the plan.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np

from golfstats.calc.plan.day_form import Scorecards, day_form
from golfstats.calc.plan.forecast import HolePlan, RoundForecast, forecast
from golfstats.calc.plan.greens import Greens
from golfstats.calc.plan.hole.drawing import Surface, pin_position
from golfstats.calc.plan.hole.generic import generic_hole
from golfstats.calc.plan.hole.shape import shape_of
from golfstats.calc.plan.hole.words import read_words
from golfstats.calc.plan.options import options_from
from golfstats.calc.plan.play import best_aims
from golfstats.calc.plan.shots.learn import Swings, learn
from golfstats.calc.plan.shots.prior import usual_bag, usual_putting
from golfstats.calc.plan.value import best_play
from golfstats.calc.vocabulary import Lie
from tests.worlds.coaching_priorities import remembering
from tests.worlds.court import Told, World
from tests.worlds.putting_players import Putter

HANDICAP = 15
PRIOR = usual_bag(HANDICAP)
GREENS = Greens(*usual_putting(HANDICAP), disturbance=0.0, speed_ft=9.0)
HOLES = (
    (4, 385, "dogleg right 240, bunker left 230-260"),
    (5, 480, "water across 330-350"),
    (3, 165, "bunker green front"),
)
TIMES, DRAWS, SEEN = 6, 8, 250
HARDER = {Lie.ROUGH: 1.25, Lie.SAND: 1.5, Lie.RECOVERY: 1.6}
MOST = 15
OTHERS = 11


@cache
def plans() -> list[HolePlan]:
    made = []
    for number, (par, yards, words) in enumerate(HOLES, start=1):
        drawing = generic_hole(par, yards, read_words(words))
        best = best_play(shape_of(drawing, pin_position(drawing, "middle"), 4.0), PRIOR, GREENS)
        options = options_from(best, PRIOR, best.shape.tee, Lie.TEE)
        tee = (float(options.length[options.best]), float(options.direction[options.best]))
        made.append(HolePlan(number, par, best, *tee, float(options.expected[options.best])))
    return made


@dataclass(frozen=True)
class Days:
    """One value a round."""

    factor: np.ndarray
    """On all errors."""
    pull: np.ndarray
    """Radians by which all shots are pulled or pushed."""
    stroke: np.ndarray
    """Log odds of holing."""


@dataclass(frozen=True)
class Golfer:
    along: float
    across: float
    short: float
    """Spread of short shots, share of their length."""
    bias: float
    freedom: float
    putter: Putter

    def errors(self, rng: np.random.Generator, length: np.ndarray, day: np.ndarray, pull: np.ndarray):
        """Yards long and right, of Student's law with the spread that it is said to have."""
        unit = np.sqrt((self.freedom - 2) / self.freedom)
        along, across = unit * rng.standard_t(self.freedom, (2, len(length)))
        share = np.clip((length - 20) / 80, 0, 1)
        size = share * self.along + (1 - share) * self.short
        return day * size * length * along, length * (
            self.bias + pull + day * self.across * across * (0.7 + 0.3 * share)
        )

    def swings(self, rng: np.random.Generator, form: float) -> Swings:
        club = rng.integers(0, len(PRIOR.clubs), SEEN)
        length = np.array([one.length for one in PRIOR.clubs])[club]
        day = np.exp(form * rng.standard_normal(SEEN // 25)).repeat(25)
        still = np.zeros(SEEN)
        along, across = self.errors(rng, length, still + 1.0, still)
        return Swings(
            club,
            np.round(length + day * along),
            np.round(day * across),
            np.full(SEEN, int(Lie.FAIRWAY)),
            np.arange(SEEN) // 25,
        )

    def hole(self, plan: HolePlan, rng: np.random.Generator, days: Days) -> np.ndarray:
        """Score on a hole on each of these days."""
        shape, aims = plan.best.shape, best_aims(plan.best)
        x, y = (np.full(len(days.factor), at) for at in shape.tee)
        lie = np.full(len(x), int(Lie.TEE))
        score = np.zeros(len(x), dtype=int)
        for _ in range(MOST):
            on = np.flatnonzero(lie != Lie.GREEN)
            if not len(on):
                break
            to_x, to_y = aims(x[on], y[on], lie[on])
            tee = lie[on] == Lie.TEE
            length = np.where(tee, plan.tee_length, np.hypot(to_x - x[on], to_y - y[on]))
            heading = np.where(tee, plan.tee_direction, np.arctan2(to_x - x[on], to_y - y[on]))
            harder = np.array([HARDER.get(Lie(one), 1.0) for one in lie[on]])
            along, across = self.errors(rng, length, days.factor[on] * harder, days.pull[on])
            ahead = length + along
            end_x = x[on] + ahead * np.sin(heading) + across * np.cos(heading)
            end_y = y[on] + ahead * np.cos(heading) - across * np.sin(heading)
            surface = shape.surface_at(end_x, end_y)
            out, wet = surface == Surface.OUT, surface == Surface.WATER
            score[on] += 1 + out + wet
            row, column = np.divmod(shape.drop[shape.cells(end_x, end_y)], len(shape.x))
            end_x, end_y = np.where(wet, shape.x[column], end_x), np.where(wet, shape.y[row], end_y)
            x[on], y[on] = np.where(out, x[on], end_x), np.where(out, y[on], end_y)
            lie[on] = np.where(out, lie[on], shape.lie[shape.cells(x[on], y[on])])
        green = np.flatnonzero(lie == Lie.GREEN)
        feet = np.maximum(3 * np.hypot(x[green] - shape.pin[0], y[green] - shape.pin[1]), 1.0)
        putted, *_ = self.putter.play(feet, days.stroke[green], rng)
        score[green] += np.bincount(putted, minlength=len(green))
        return score

    def rounds(self, rng: np.random.Generator, days: Days) -> np.ndarray:
        """Scores, rounds × holes: each hole of the plan six times."""
        often = Days(*(np.tile(one, TIMES) for one in (days.factor, days.pull, days.stroke)))
        played = [self.hole(one, rng, often).reshape(TIMES, -1) for one in plans()]
        return np.concatenate(played).T


@dataclass(frozen=True)
class Case:
    name: str
    freedom: float = 30.0
    form: float = 0.0
    """Spread of the logarithm of the day's factor on all errors."""
    pull: float = 0.0
    """Degrees by which a day pulls or pushes all shots (its spread)."""
    differ: float = 0.0
    """Spread of the logarithm of a golfer's short game, about the usual of their handicap."""
    stroke: float = 0.0
    """Spread of the day's putting in log odds."""
    windy: bool = False
    """Days are not a player's own alone: wind that keeps for days troubles the club, and form comes and goes slowly."""
    known: int = 10
    """Rounds with scorecards before the one that is forecast."""

    def days(self, rng: np.random.Generator) -> tuple[Days, np.ndarray]:
        """Those known and the one to come; and what each costs anybody, in strokes a hole."""
        number = self.known + 1
        if self.windy:
            wind = np.exp(np.log(7) + 0.6 * remembering(rng, number, 0.5))
            form = 0.07 * remembering(rng, number, 0.8) + 0.04 * rng.standard_t(3, number)
            factor = np.exp(form + 0.012 * (wind - 7))
            pull = np.radians(0.12 * wind * np.sin(rng.uniform(0, 2 * np.pi, number)))
            return Days(factor, pull, 0.15 * rng.standard_normal(number) - 0.02 * (wind - 7)), wind / 50
        return Days(
            np.exp(self.form * rng.standard_normal(number)),
            np.radians(self.pull) * rng.standard_normal(number),
            self.stroke * rng.standard_normal(number),
        ), np.zeros(number)

    def others(self, rng: np.random.Generator, costs: np.ndarray) -> list[Scorecards]:
        """Those who played on the same days, where days are anybody's: a gamma law of strokes over par."""
        if not self.windy:
            return []
        own = 0.06 * rng.standard_t(3, (OTHERS, self.known, 1))
        mean = np.maximum(0.9 + own + costs[: self.known, None], 0.2)
        scores = 4 + np.floor(rng.gamma(2.0, mean / 2.0, (OTHERS, self.known, TIMES * len(HOLES))))
        return [cards(one) for one in scores.astype(int)]

    def play(self, rng: np.random.Generator) -> Mapping[str, Told]:
        told, score = self.told(rng)
        low, high = told.range()
        return {"score of the round": Told(float(score), told.expected, float(low), float(high))}

    def told(self, rng: np.random.Generator) -> tuple[RoundForecast, int]:
        """What was forecast, and the score."""
        usual = PRIOR.clubs[len(PRIOR.clubs) // 2]
        golfer = Golfer(
            along=1.35 * usual.along * np.exp(0.15 * rng.standard_normal()),
            across=1.3 * usual.across * np.exp(0.15 * rng.standard_normal()),
            short=1.25 * PRIOR.short_along * np.exp(self.differ * rng.standard_normal()),
            bias=float(np.radians(rng.normal(0, 0.7))),
            freedom=self.freedom,
            putter=Putter("log feet"),
        )
        learnt = learn(PRIOR, golfer.swings(rng, self.form))
        days, costs = self.days(rng)
        scores = golfer.rounds(rng, days)
        form = day_form(cards(scores[:-1]), self.others(rng, costs))
        draws = [[bag] * len(HOLES) * TIMES for bag in learnt.draws(DRAWS, rng)]
        told = forecast(plans() * TIMES, draws, GREENS, form, rng, rounds=400)
        return told, int(scores[-1].sum())


def cards(scores: np.ndarray) -> Scorecards:
    rounds, holes = scores.shape
    return Scorecards(np.repeat(np.arange(rounds), holes), np.tile(np.arange(holes), rounds), scores.ravel())


CASES = [
    Case("other shots than the plan's"),
    Case("long-tailed shots", freedom=3.0),
    Case("days differ", form=0.12, pull=1.5, stroke=0.25),
    Case("days differ, three rounds known", form=0.12, pull=1.5, stroke=0.25, known=3),
    Case("wind that lasts for days, form that comes and goes", windy=True),
    Case("short games differ", differ=0.3),
    Case("all of it", freedom=4.0, form=0.12, pull=1.5, differ=0.2, stroke=0.25),
]
WORLDS = [
    World(
        case.name,
        "nine rounds in ten lie where the plan says",
        "1 x 1",
        case.play,
        tries=(3, 150),
    )
    for case in CASES
]
