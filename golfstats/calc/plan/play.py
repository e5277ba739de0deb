"""A plan simulated: many balls follow the best aims of a hole, each shot scattered by the player's pattern.

Balls lie anywhere, not in the middles of cells, so a simulation also checks what the grid leaves out.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from golfstats.calc.plan.greens import DROPS_WITHIN, FEET, Greens
from golfstats.calc.plan.hole.drawing import Surface
from golfstats.calc.plan.shots.pattern import Bag, drawn_errors, finish
from golfstats.calc.plan.value import BestPlay
from golfstats.calc.record import Bools, Codes, Floats, Ints, Table
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import Lie

MOST_SHOTS = 30
OFFSET_ABOVE = 70.0
"""Yards: a longer shot keeps the length and line meant from the middle of its cell, a shorter one its target."""

Aim = Callable[[Floats, Floats, Codes], tuple[Floats, Floats]]
"""Given where balls off the green lie, where the centre of each shot's pattern is to be (x, y)."""


@dataclass(frozen=True)
class Played(Table):
    """One row a ball."""

    score: Ints
    putts: Ints
    """Strokes from the green."""
    penalties: Ints
    first_putt_feet: Floats
    """Length of the first putt from the green; NaN without one."""
    tee_x: Floats
    """Where the tee shot came to rest, before any drop."""
    tee_y: Floats


def play_hole(
    best: BestPlay,
    bag: Bag,
    greens: Greens,
    tee_shot: tuple[float, float],
    balls: int,
    rng: np.random.Generator,
    aim: Aim | None = None,
) -> Played:
    """Play a hole with many balls: ``tee_shot`` (length and direction) first, then by the aims of the plan.

    ``aim`` replaces those aims (another way to play). ``bag`` and ``greens`` may differ from those that the
    plan was made for.
    """
    state = _State(best, bag, greens, balls, rng)
    heading = np.full(balls, tee_shot[1])
    length = np.full(balls, tee_shot[0])
    x, y = np.full(balls, best.shape.tee[0]), np.full(balls, best.shape.tee[1])
    end_x, end_y = state.hit(np.arange(balls), x, y, np.full(balls, Lie.TEE, dtype=np.int8), length, heading)
    tee_x, tee_y = end_x.copy(), end_y.copy()
    for _ in range(MOST_SHOTS):
        out = state.settle(end_x, end_y)
        ball = state.in_play
        if not len(ball):
            break
        x, y, lie = state.x[ball], state.y[ball], state.lie[ball]
        to_x, to_y = (aim or best_aims(best))(x, y, lie)
        length, heading = np.hypot(to_x - x, to_y - y), np.arctan2(to_x - x, to_y - y)
        # A ball out of bounds from the tee is teed up again.
        teed = out[ball] & (lie == Lie.TEE)
        length, heading = np.where(teed, tee_shot[0], length), np.where(teed, tee_shot[1], heading)
        end_x, end_y = state.hit(ball, x, y, lie, length, heading)
    return Played(state.score, state.putts, state.penalties, state.first_putt, tee_x, tee_y)


def best_aims(best: BestPlay) -> Aim:
    """The aims of the plan."""
    shape = best.shape

    def aims(x: Floats, y: Floats, lie: Codes) -> tuple[Floats, Floats]:
        del lie
        row, column = shape.cells(x, y)
        to_row, to_column = best.aim[row, column].astype(np.int64).T
        to_x, to_y = shape.x[to_column], shape.y[to_row]
        far = np.hypot(to_x - shape.x[column], to_y - shape.y[row]) > OFFSET_ABOVE
        return (
            np.where(far, to_x + x - shape.x[column], to_x),
            np.where(far, to_y + y - shape.y[row], to_y),
        )

    return aims


class _State:
    """The balls: where they lie and what they have cost."""

    def __init__(
        self, best: BestPlay, bag: Bag, greens: Greens, balls: int, rng: np.random.Generator
    ) -> None:
        self.best, self.bag, self.greens, self.rng = best, bag, greens, rng
        self.x, self.y = np.full(balls, best.shape.tee[0]), np.full(balls, best.shape.tee[1])
        self.lie = np.full(balls, Lie.TEE, dtype=np.int8)
        self.score, self.putts = np.zeros(balls, dtype=np.int64), np.zeros(balls, dtype=np.int64)
        self.penalties = np.zeros(balls, dtype=np.int64)
        self.first_putt = np.full(balls, np.nan)
        self.in_play = np.arange(balls)

    def hit(
        self, ball: Ints, x: Floats, y: Floats, lie: Codes, length: Floats, heading: Floats
    ) -> tuple[Floats, Floats]:
        errors = drawn_errors(len(ball), self.rng)
        along, across = np.zeros(len(ball)), np.zeros(len(ball))
        for each in np.unique(lie):
            rows = lie == each
            spreads = self.bag.spreads(Lie(int(each)), length[rows])
            picked = type(errors)(errors.along[rows], errors.across[rows], errors.uniform[rows])
            along[rows], across[rows] = finish(*spreads, length[rows], picked)
        self.score[ball] += 1
        sin, cos = np.sin(heading), np.cos(heading)
        ahead = length + along
        return x + ahead * sin + across * cos, y + ahead * cos - across * sin

    def settle(self, end_x: Floats, end_y: Floats) -> Bools:
        """Lies and penalties after a shot of every ball in play; putts out what reached the green.

        Returns which balls must play again from where they were.
        """
        shape, ball = self.best.shape, self.in_play
        surface = shape.surface_at(end_x, end_y)
        out, wet = surface == Surface.OUT, surface == Surface.WATER
        again = np.zeros(len(self.x), dtype=np.bool_)
        again[ball[out]] = True
        self.score[ball[out | wet]] += 1
        self.penalties[ball[out | wet]] += 1
        row, column = np.divmod(shape.drop[shape.cells(end_x, end_y)], len(shape.x))
        x = np.where(wet, shape.x[column], end_x)
        y = np.where(wet, shape.y[row], end_y)
        stays = ball[~out]
        self.x[stays], self.y[stays] = x[~out], y[~out]
        self.lie[stays] = shape.lie[shape.cells(x, y)][~out]
        self._hole_out(stays)
        done = (self.lie == Lie.GREEN) | self._putter(ball)
        self.in_play = ball[~done[ball]]
        return again

    def _putter(self, ball: Ints) -> Bools:
        """Balls off the green that are putted out; their strokes are counted here."""
        flagged = np.zeros(len(self.x), dtype=np.bool_)
        shape = self.best.shape
        here = ball[(self.lie[ball] == Lie.FAIRWAY)]
        putted = here[self.best.putter[shape.cells(self.x[here], self.y[here])]]
        if len(putted):
            feet = self._feet(putted)
            self.score[putted] += self._count(feet, self.greens.putts_from_off(feet))
            flagged[putted] = True
        return flagged

    def _hole_out(self, ball: Ints) -> None:
        green = ball[self.lie[ball] == Lie.GREEN]
        if not len(green):
            return
        feet = self._feet(green)
        falls = np.array(self.best.shape.falls_to)
        if falls.any():
            x, y = self.x[green] - self.best.shape.pin[0], self.y[green] - self.best.shape.pin[1]
            away = np.maximum(np.hypot(x, y), 1e-6)
            expected = self.greens.putts_on_slope(
                feet, (falls[0] * x + falls[1] * y) / away, np.abs(falls[0] * y - falls[1] * x) / away
            )
        else:
            expected = self.greens.putts(feet)
        count = np.where(feet <= DROPS_WITHIN * FEET_PER_YARD, 0, self._count(feet, expected))
        self.first_putt[green] = np.where(count > 0, feet, np.nan)
        self.putts[green] += count
        self.score[green] += count

    def _feet(self, ball: Ints) -> Floats:
        pin = self.best.shape.pin
        return np.hypot(self.x[ball] - pin[0], self.y[ball] - pin[1]) * FEET_PER_YARD

    def _count(self, feet: Floats, expected: Floats) -> Ints:
        """Putts drawn for the level, then one more or one less here and there so that the mean is as expected."""
        outcomes = self.greens.outcomes
        one, two = np.interp(feet, FEET, outcomes.one), np.interp(feet, FEET, outcomes.two)
        level = np.interp(feet, FEET, outcomes.expected_putts)
        beyond = np.clip(level - one - 2 * two - 3 * (1 - one - two), 0.0, 1.0)
        chance, extra = self.rng.random((2, len(feet)))
        putts = 1 + (chance > one).astype(np.int64) + (chance > one + two) + (chance > 1 - beyond)
        more = expected - level
        putts += (extra < more) & (more > 0)
        at_least_two = np.maximum(1 - one, 1e-9)
        putts -= (putts > 1) & (extra < -more / at_least_two)
        drawn: Ints = putts
        return drawn
