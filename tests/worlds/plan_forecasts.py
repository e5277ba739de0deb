"""Worlds against a plan's forecast: golfers whose shots, days and putts follow other laws than the plan's own.

A round is walked shot by shot here: errors are Student's, a day pulls or pushes everything, putts fall by a logistic
law, and the short game is each golfer's own. The plan is made for the usual golfer and learns from their full
swings; then they play one round, by the plan.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np

from golfstats.calc.plan.forecast import HolePlan, forecast
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
class Golfer:
    along: float
    across: float
    short: float
    """Spread of short shots, share of their length."""
    bias: float
    freedom: float
    putter: Putter

    def errors(self, rng: np.random.Generator, length: np.ndarray, day: float, pull: float):
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
        along, across = self.errors(rng, length, 1.0, 0.0)
        return Swings(
            club, np.round(length + day * along), np.round(day * across), np.full(SEEN, int(Lie.FAIRWAY))
        )

    def hole(self, plan: HolePlan, rng: np.random.Generator, day: float, pull: float, stroke: float) -> int:
        shape, aims = plan.best.shape, best_aims(plan.best)
        (x, y), lie, score = shape.tee, Lie.TEE, 0
        for _ in range(MOST):
            if lie == Lie.TEE:
                length, heading = plan.tee_length, plan.tee_direction
            else:
                (to_x,), (to_y,) = aims(np.array([x]), np.array([y]), np.array([lie]))
                length, heading = np.hypot(to_x - x, to_y - y), np.arctan2(to_x - x, to_y - y)
            (along,), (across,) = self.errors(rng, np.array([length]), day * HARDER.get(lie, 1.0), pull)
            ahead, score = length + along, score + 1
            end = np.array([x + ahead * np.sin(heading) + across * np.cos(heading)])
            far = np.array([y + ahead * np.cos(heading) - across * np.sin(heading)])
            surface, cell = shape.surface_at(end, far)[0], shape.cells(end, far)
            if surface == Surface.OUT:
                score += 1
                continue
            x, y = float(end[0]), float(far[0])
            if surface == Surface.WATER:
                score += 1
                row, column = np.divmod(shape.drop[cell][0], len(shape.x))
                x, y = float(shape.x[column]), float(shape.y[row])
            lie = Lie(int(shape.lie[shape.cells(np.array([x]), np.array([y]))][0]))
            feet = 3 * np.hypot(x - shape.pin[0], y - shape.pin[1])
            if lie == Lie.GREEN:
                return score + len(self.putter.play(np.array([max(feet, 1.0)]), np.array([stroke]), rng)[0])
        return score


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

    def play(self, rng: np.random.Generator) -> Mapping[str, Told]:
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
        draws = [[bag] * len(HOLES) * TIMES for bag in learnt.draws(DRAWS, rng)]
        told = forecast(plans() * TIMES, draws, GREENS, rng, rounds=400)
        day, pull = np.exp(self.form * rng.standard_normal()), np.radians(self.pull) * rng.standard_normal()
        stroke = self.stroke * rng.standard_normal()
        score = sum(golfer.hole(one, rng, day, pull, stroke) for one in plans() * TIMES)
        low, high = told.range()
        return {"score of the round": Told(float(score), told.expected, float(low), float(high))}


CASES = [
    Case("other shots than the plan's"),
    Case("long-tailed shots", freedom=3.0),
    Case("days differ", form=0.12, pull=1.5, stroke=0.25),
    Case("short games differ", differ=0.3),
    Case("all of it", freedom=4.0, form=0.12, pull=1.5, differ=0.2, stroke=0.25),
]
WORLDS = [
    World(
        case.name,
        "nine rounds in ten lie where the plan says",
        "1 x 1",
        case.play,
        tries=(3, 40),
    )
    for case in CASES
]
