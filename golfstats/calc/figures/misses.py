"""Missed greens and fairways: how often, which way, and what a miss costs.

The cost of a miss is its strokes gained with the sign turned: positive is strokes lost. It is settled by
where the ball finished, so it splits by kind of finish; each kind's part is a mean over all misses,
hence the parts add up to the cost. What the shot after added (positive) or saved (negative) is a figure
of its own, and the two together are what the miss cost once the next shot was played.
"""

from __future__ import annotations

from functools import partial
from typing import Literal

import numpy as np

from golfstats.calc.figures.targets import at_fairway, at_green, fairway_hit, green_hit, greenside
from golfstats.calc.observations import AnalysedRecord, FigureSpec, Observations
from golfstats.calc.record import Bools, Codes, Floats, Shots
from golfstats.calc.vocabulary import UNKNOWN, Lie, MissDepth, MissSide, Word

Target = Literal["green", "fairway"]
TARGETS: tuple[Target, ...] = ("green", "fairway")


class Finish(Word):
    """Where a missed shot left the ball. The first that applies counts."""

    PENALTY = 0
    RECOVERY = 1
    SHORT_SIDED = 2
    SAND = 3
    OTHER = 4


FINISH_WORDS = {
    Finish.PENALTY: "with a penalty",
    Finish.RECOVERY: "in recovery",
    Finish.SHORT_SIDED: "short-sided",
    Finish.SAND: "in sand",
    Finish.OTHER: "elsewhere",
}


def attempts(analysed: AnalysedRecord, target: Target) -> Bools:
    """Shots at the target; from beside the green it can hardly be missed, so those are no attempts."""
    shots = analysed.record.shots
    if target == "fairway":
        return at_fairway(shots)
    return at_green(shots) & ~greenside(shots)


def missed(analysed: AnalysedRecord, target: Target) -> Bools:
    shots = analysed.record.shots
    hit = fairway_hit(shots) if target == "fairway" else green_hit(shots)
    return attempts(analysed, target) & ~hit


def finish_of(shots: Shots) -> Codes:
    """The :class:`Finish` of each shot, meaningful for misses."""
    kinds = [
        (shots.penalty > 0) | (shots.lie_after == Lie.PENALTY),
        shots.lie_after == Lie.RECOVERY,
        shots.short_sided == 1,
        shots.lie_after == Lie.SAND,
    ]
    return np.select(kinds, [int(kind) for kind in Finish if kind != Finish.OTHER], int(Finish.OTHER)).astype(
        np.int8
    )


def miss_rate(analysed: AnalysedRecord, target: Target) -> Observations:
    return Observations.of_shots(analysed.record, missed(analysed, target), attempts(analysed, target))


def to_side(analysed: AnalysedRecord, target: Target, side: MissSide) -> Observations:
    """Whether each miss with a known side, noted or measured, was on this side."""
    shots = analysed.record.shots
    measured = _sign_code(shots.offline, MissSide.LEFT, MissSide.RIGHT)
    known = np.where(shots.miss_side == UNKNOWN, measured, shots.miss_side)
    rows = missed(analysed, target) & ((known == MissSide.LEFT) | (known == MissSide.RIGHT))
    return Observations.of_shots(analysed.record, known == side, rows)


def to_depth(analysed: AnalysedRecord, target: Target, depth: MissDepth) -> Observations:
    """Whether each miss with a known depth, noted or measured, was short or long."""
    shots = analysed.record.shots
    intended = np.where(np.isnan(shots.target), shots.distance, shots.target)
    measured = _sign_code(shots.travel - intended, MissDepth.SHORT, MissDepth.LONG)
    known = np.where(shots.miss_depth == UNKNOWN, measured, shots.miss_depth)
    return Observations.of_shots(
        analysed.record, known == depth, missed(analysed, target) & (known != UNKNOWN)
    )


def finish_share(analysed: AnalysedRecord, target: Target, finish: Finish) -> Observations:
    shots = analysed.record.shots
    return Observations.of_shots(analysed.record, finish_of(shots) == finish, missed(analysed, target))


def cost(analysed: AnalysedRecord, target: Target) -> Observations:
    return Observations.of_shots(analysed.record, -analysed.strokes_gained, _valued_misses(analysed, target))


def cost_by_finish(analysed: AnalysedRecord, target: Target, finish: Finish) -> Observations:
    """Cost of the misses with this finish, 0 for the other misses."""
    here = finish_of(analysed.record.shots) == finish
    values = np.where(here, -analysed.strokes_gained, 0.0)
    return Observations.of_shots(analysed.record, values, _valued_misses(analysed, target))


def cost_of_shot_after(analysed: AnalysedRecord, target: Target) -> Observations:
    """Cost of the next shot, at the row of the missed one."""
    rows = _valued_misses(analysed, target)
    return Observations.of_shots(analysed.record, -_gained_next(analysed), rows)


def cost_with_shot_after(analysed: AnalysedRecord, target: Target) -> Observations:
    rows = _valued_misses(analysed, target)
    both = -analysed.strokes_gained - _gained_next(analysed)
    return Observations.of_shots(analysed.record, both, rows)


def _gained_next(analysed: AnalysedRecord) -> Floats:
    """Strokes gained of the next shot on the hole; NaN for a last shot."""
    hole = analysed.record.shots.hole
    after = np.full(len(hole), np.nan)
    same = hole[1:] == hole[:-1]
    after[:-1][same] = analysed.strokes_gained[1:][same]
    return after


def _valued_misses(analysed: AnalysedRecord, target: Target) -> Bools:
    """Misses whose strokes gained are known, and those of the shot after: one sample for all cost figures."""
    valued = ~np.isnan(analysed.strokes_gained) & ~np.isnan(_gained_next(analysed))
    return missed(analysed, target) & valued


def _sign_code(values: Floats, negative: int, positive: int) -> Codes:
    return np.select([values < 0, values > 0], [negative, positive], UNKNOWN).astype(np.int8)


def specs(target: Target) -> list[FigureSpec]:
    key = f"misses.{target}"
    sides = [
        FigureSpec(
            f"{key}.{side.word}",
            f"Missed {target}s on the {side.word}",
            "share",
            "lower",
            "shot",
            "mean",
            10,
            partial(to_side, target=target, side=side),
        )
        for side in (MissSide.LEFT, MissSide.RIGHT)
    ]
    depths = [
        FigureSpec(
            f"{key}.{depth.word}",
            f"Missed {target}s finishing {depth.word}",
            "share",
            "lower",
            "shot",
            "mean",
            10,
            partial(to_depth, target=target, depth=depth),
        )
        for depth in MissDepth
    ]
    finishes = [
        FigureSpec(
            f"{key}.finish.{finish.word}",
            f"Missed {target}s finishing {words}",
            "share",
            "lower",
            "shot",
            "mean",
            10,
            partial(finish_share, target=target, finish=finish),
        )
        for finish, words in FINISH_WORDS.items()
    ]
    costs_by_finish = [
        FigureSpec(
            f"{key}.cost.{finish.word}",
            f"Part of the cost of a missed {target} from finishing {words}",
            "strokes",
            "lower",
            "shot",
            "mean",
            10,
            partial(cost_by_finish, target=target, finish=finish),
        )
        for finish, words in FINISH_WORDS.items()
    ]
    costs = [
        FigureSpec(
            f"{key}.{name}",
            words,
            "strokes",
            "lower",
            "shot",
            "mean",
            10,
            partial(observe, target=target),
        )
        for name, words, observe in (
            ("cost", f"Strokes a missed {target} costs", cost),
            ("shot_after", f"Strokes lost by the shot after a missed {target}", cost_of_shot_after),
            (
                "cost_with_shot_after",
                f"Strokes a missed {target} and the shot after cost",
                cost_with_shot_after,
            ),
        )
    ]
    rate = FigureSpec(
        f"{key}.rate",
        f"{target.capitalize()}s missed",
        "share",
        "lower",
        "shot",
        "mean",
        10,
        partial(miss_rate, target=target),
    )
    return [rate, *sides, *depths, *finishes, *costs, *costs_by_finish]


SPECS = [spec for target in TARGETS for spec in specs(target)]
