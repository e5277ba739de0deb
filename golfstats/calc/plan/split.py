"""A played shot taken apart: the choice, the stroke, the greens and the luck of the lie.

Against the player's own benchmark (the best way round on usual greens, U) a shot from s to s' with p penalty strokes
gains U(s) - U(s') - 1 - p. With the same values on the greens as they were, T, it is the sum of

- *greens*: (U(s) - T(s)) - (U(s') - T(s')), what today's greens took;
- *choice*: T(s) less the expected score of the club that was taken, aimed as well as it can be (never above 0);
- *luck of the lie*: what lies at the distance where the ball finished are worth on average, less the lie found;
- *execution*: the rest.

The four add up exactly. Where a shot was played from is known by its lie and its distance to the hole; its value is the
mean over the cells of that lie about that far away, those near the middle of the hole counting most.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from golfstats.calc.plan.greens import Greens
from golfstats.calc.plan.options import Options, ends, options_from, pattern_points
from golfstats.calc.plan.shots.pattern import LIE_EFFECTS, Bag
from golfstats.calc.plan.value import BestPlay
from golfstats.calc.record import Bools, Codes, Floats, Ints, Record, Table
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import UNKNOWN, Lie

NEAR_MIDDLE = 15.0
"""Yards: cells this far beside the middle of the hole count 60% as much as those on it."""
AROUND = 4.0
"""Yards of distance over which cells are taken together."""
LUCK_WITHIN = 0.15
"""Share of the distance left (at least 8 yards) within which finishes of the same club tell what lie to expect."""


@dataclass(frozen=True)
class HoleShots(Table):
    """Shots of one hole in order. Equally long columns."""

    lie: Codes
    distance: Floats
    """Yards to the hole before the shot."""
    club: Ints
    """Row in the bag; UNKNOWN if not recorded (the choice then counts as the best)."""
    lie_after: Codes
    distance_after: Floats
    holed: Bools
    penalty: Ints


@dataclass(frozen=True)
class Split(Table):
    """Strokes gained against the own benchmark, in four parts that add up to ``total``. One row a shot."""

    choice: Floats
    execution: Floats
    greens: Floats
    luck: Floats
    total: Floats
    better: Ints
    """Row in the bag of the club that was best; UNKNOWN where nothing was chosen."""


class HoleValues:
    """Values of one hole by lie and distance, on the greens of the day and on usual ones."""

    def __init__(
        self, best: BestPlay, usual: BestPlay, bag: Bag, greens: Greens, tee: float, usual_tee: float
    ) -> None:
        """``tee`` and ``usual_tee``: value of the tee shot on each."""
        self.best, self.usual, self.bag, self.greens = best, usual, bag, greens
        self.tee, self.usual_tee = tee, usual_tee

    def today(self, lie: int, distance: float) -> float:
        if lie == Lie.TEE:
            return self.tee
        if lie == Lie.GREEN:
            return float(self.greens.putts(np.array([distance * FEET_PER_YARD]))[0])
        return _mean_value(self.best, Lie(lie), distance)

    def on_usual_greens(self, lie: int, distance: float) -> float:
        if lie == Lie.TEE:
            return self.usual_tee
        if lie == Lie.GREEN:
            return float(self.greens.undisturbed().putts(np.array([distance * FEET_PER_YARD]))[0])
        return _mean_value(self.usual, Lie(lie), distance)


def split_hole(values: HoleValues, shots: HoleShots) -> Split:
    """The four parts of every shot of a hole that was holed out."""
    rows = [_split_shot(values, shots, row) for row in range(len(shots))]
    return Split(*(np.array(column) for column in zip(*rows, strict=True)))


def _split_shot(
    values: HoleValues, shots: HoleShots, row: int
) -> tuple[float, float, float, float, float, int]:
    lie, distance, holed = int(shots.lie[row]), float(shots.distance[row]), bool(shots.holed[row])
    lie_after, after = int(shots.lie_after[row]), float(shots.distance_after[row])
    cost = 1.0 + float(shots.penalty[row])
    today, usual = values.today(lie, distance), values.on_usual_greens(lie, distance)
    today_after = 0.0 if holed else values.today(lie_after, after)
    usual_after = 0.0 if holed else values.on_usual_greens(lie_after, after)
    total = usual - usual_after - cost
    greens = (usual - today) - (usual_after - today_after)
    choice, luck, better = 0.0, 0.0, UNKNOWN
    if lie in LIE_EFFECTS and lie != Lie.GREEN:
        place = spot(values.best, Lie(lie), distance)
        options = options_from(values.best, values.bag, place, Lie(lie))
        taken = options.best_of_club(int(shots.club[row])) if shots.club[row] != UNKNOWN else options.best
        if taken is not None:
            better = int(options.club[options.best])
            choice = float(options.expected[options.best] - options.expected[taken])
            if not holed and not shots.penalty[row]:
                luck = _luck(values, place, Lie(lie), options, taken, lie_after, after)
    execution = total - greens - choice - luck
    return choice, execution, greens, luck, total, better


def _luck(
    values: HoleValues,
    place: tuple[float, float],
    lie: Lie,
    options: Options,
    taken: int,
    lie_after: int,
    after: float,
) -> float:
    """Mean value of the lies that this shot finds at this distance from the hole, less that of the lie found."""
    x, y = ends(
        values.bag, place, lie, options.length[[taken]], options.direction[[taken]], pattern_points(11)
    )
    shape = values.best.shape
    left = np.hypot(x[0] - shape.pin[0], y[0] - shape.pin[1])
    lies = shape.look_up(shape.lie, x[0], y[0], float(UNKNOWN)).astype(np.int64)
    here = (np.abs(left - after) <= max(8.0, LUCK_WITHIN * after)) & np.isin(lies, _LIES)
    if not here.any():
        return 0.0
    kinds, counts = np.unique(lies[here], return_counts=True)
    if lie_after not in kinds:
        return 0.0
    worth = np.array([values.today(int(kind), after) for kind in kinds])
    return float(counts @ worth / counts.sum() - values.today(lie_after, after))


_LIES = (Lie.FAIRWAY, Lie.ROUGH, Lie.SAND, Lie.RECOVERY, Lie.GREEN)
_STANDS_FOR = {Lie.FRINGE: Lie.FAIRWAY, Lie.PENALTY: Lie.ROUGH, Lie.TEE: Lie.FAIRWAY}


def _cells(best: BestPlay, lie: Lie, distance: float) -> tuple[Ints, Ints, Floats]:
    """Cells that stand for a lie at a distance, with their weights; the nearest in distance if there are none."""
    shape = best.shape
    wanted = shape.lie == _STANDS_FOR.get(lie, lie)
    if not wanted.any():
        wanted = shape.lie == Lie.ROUGH
    away = np.where(wanted, np.abs(shape.distance - distance), np.inf)
    row, column = np.nonzero(away <= max(AROUND, float(away.min()) + shape.step))
    # Between the tee and the hole rather than beyond it, and near the middle of the hole.
    beyond = shape.y[row] > shape.pin[1] + shape.distance[row, column] * 0.7
    weight = np.exp(-0.5 * (shape.x[column] / NEAR_MIDDLE) ** 2) * np.where(beyond, 0.05, 1.0) + 1e-9
    return row, column, weight


def _mean_value(best: BestPlay, lie: Lie, distance: float) -> float:
    row, column, weight = _cells(best, lie, distance)
    value = best.value[row, column].astype(np.float64)
    return float(np.sum(weight * value) / np.sum(weight))


def spot(best: BestPlay, lie: Lie, distance: float) -> tuple[float, float]:
    """A typical place: the cell whose value is nearest the mean of those that stand for the lie and distance."""
    if lie == Lie.TEE:
        return best.shape.tee
    row, column, weight = _cells(best, lie, distance)
    value = best.value[row, column].astype(np.float64)
    mean = np.sum(weight * value) / np.sum(weight)
    nearest = int(np.argmin(np.abs(value - mean) - 1e-3 * weight))
    return float(best.shape.x[column[nearest]]), float(best.shape.y[row[nearest]])


def hole_shots(record: Record, hole: int, clubs: Mapping[int, int]) -> HoleShots:
    """The shots of one hole (a row of the record's holes); ``clubs`` gives the row in the bag of each club's number."""
    shots = record.shots.select(record.shots.hole == hole)
    rows = np.array([clubs.get(int(club), UNKNOWN) for club in shots.club], dtype=np.int64)
    return HoleShots(
        lie=shots.lie,
        distance=shots.distance,
        club=rows,
        lie_after=shots.lie_after,
        distance_after=shots.distance_after,
        holed=shots.holed,
        penalty=shots.penalty,
    )
