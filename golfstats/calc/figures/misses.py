"""Missed greens and fairways: how often, which way, and what a miss costs.

The cost of a miss is its strokes gained with the sign turned: positive is strokes lost. It is settled by the lie
and distance of the finish. What the shot after added (positive) or saved (negative) is a figure of its own, and
the two together are what the miss cost once the next shot was played.

The split by kind of finish is of the two together: lie and distance do not tell that a ball is short-sided, and by
them alone it looks the cheapest of misses, being near the hole; what came of it on the next shot tells. Each
kind's part is a mean over all misses, hence the parts add up to the cost with the shot after.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Literal

import numpy as np

from golfstats.calc.figures.targets import (
    AT_THE_GREEN,
    GREENSIDE_YARDS,
    at_fairway,
    at_green,
    fairway_hit,
    green_hit,
    greenside,
)
from golfstats.calc.observations import AnalysedRecord, FigureSpec, Observations
from golfstats.calc.record import Bools, Codes, Floats, Shots
from golfstats.calc.units import Unit
from golfstats.calc.vocabulary import UNKNOWN, Lie, MissDepth, MissSide, Word

Target = Literal["green", "fairway"]
TARGETS: tuple[Target, ...] = ("green", "fairway")
MINIMUM_SHOTS = 10
"""Attempts or misses behind a figure (our choice)."""


class Finish(Word):
    """Where a missed shot left the ball. The first that applies counts."""

    PENALTY = 0
    RECOVERY = 1
    SHORT_SIDED = 2
    SAND = 3
    OTHER = 4


AGAINST = "It is measured against the golfer compared with."
ATTEMPTED: dict[Target, str] = {
    "green": f"Of the shots at a green from {GREENSIDE_YARDS:.0f} yards and beyond, how many do not finish on it. "
    f"{AT_THE_GREEN}",
    "fairway": "Of the tee shots of par 4 and 5, how many do not finish on fairway, fringe or green.",
}
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


def finish_of(shots: Shots, target: Target) -> Codes:
    """The :class:`Finish` of each shot, meaningful for misses; only a green can be missed short-sided."""
    kinds = {
        Finish.PENALTY: (shots.penalty > 0) | (shots.lie_after == Lie.PENALTY),
        Finish.RECOVERY: shots.lie_after == Lie.RECOVERY,
        Finish.SHORT_SIDED: (shots.short_sided == 1) & (target == "green"),
        Finish.SAND: shots.lie_after == Lie.SAND,
    }
    return np.select(list(kinds.values()), [int(kind) for kind in kinds], int(Finish.OTHER)).astype(np.int8)


def finishes_of(target: Target) -> list[Finish]:
    return [finish for finish in Finish if target == "green" or finish != Finish.SHORT_SIDED]


def miss_rate(analysed: AnalysedRecord, target: Target) -> Observations:
    return Observations.of_shots(analysed.record, missed(analysed, target), attempts(analysed, target))


def to_side(analysed: AnalysedRecord, target: Target, side: MissSide) -> Observations:
    """Whether each miss with a known side, noted or measured, was on this side."""
    shots = analysed.record.shots
    measured = _sign_code(shots.offline, MissSide.LEFT, MissSide.RIGHT)
    known = np.where(shots.miss_side == UNKNOWN, measured, shots.miss_side)
    rows = missed(analysed, target) & ((known == MissSide.LEFT) | (known == MissSide.RIGHT))
    return Observations.of_shots(analysed.record, known == side, rows)


def to_depth(analysed: AnalysedRecord, depth: MissDepth) -> Observations:
    """Whether each missed green with a known depth, noted or measured, was short or long."""
    shots = analysed.record.shots
    intended = np.where(np.isnan(shots.target), shots.distance, shots.target)
    measured = _sign_code(shots.travel - intended, MissDepth.SHORT, MissDepth.LONG)
    known = np.where(shots.miss_depth == UNKNOWN, measured, shots.miss_depth)
    return Observations.of_shots(
        analysed.record, known == depth, missed(analysed, "green") & (known != UNKNOWN)
    )


def finish_share(analysed: AnalysedRecord, target: Target, finish: Finish) -> Observations:
    shots = analysed.record.shots
    return Observations.of_shots(
        analysed.record, finish_of(shots, target) == finish, missed(analysed, target)
    )


def cost(analysed: AnalysedRecord, target: Target) -> Observations:
    return Observations.of_shots(analysed.record, -analysed.strokes_gained, _valued_misses(analysed, target))


def cost_by_finish(analysed: AnalysedRecord, target: Target, finish: Finish) -> Observations:
    """Cost, with the shot after, of the misses with this finish; 0 for the other misses."""
    here = finish_of(analysed.record.shots, target) == finish
    values = np.where(here, -analysed.strokes_gained - _gained_next(analysed), 0.0)
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
    """Strokes gained of the next shot of the same hole; NaN after the last."""
    hole = analysed.record.shots.hole
    following = np.append(analysed.strokes_gained, np.nan)[1:]
    return np.where(np.append(hole[1:] == hole[:-1], False)[: len(hole)], following, np.nan)


def _valued_misses(analysed: AnalysedRecord, target: Target) -> Bools:
    """Misses whose strokes gained are known, and those of the shot after: one sample for all cost figures."""
    valued = ~np.isnan(analysed.strokes_gained) & ~np.isnan(_gained_next(analysed))
    return missed(analysed, target) & valued


def _sign_code(values: Floats, negative: int, positive: int) -> Codes:
    return np.select([values < 0, values > 0], [negative, positive], UNKNOWN).astype(np.int8)


def specs(target: Target) -> list[FigureSpec]:
    """Figures of one target. A fairway has no short or long: it is hit anywhere along its length."""

    def spec(
        name: str,
        words: str,
        unit: Unit,
        observe: Callable[[AnalysedRecord], Observations],
        meaning: str,
    ) -> FigureSpec:
        return FigureSpec(
            f"misses.{target}.{name}",
            words,
            unit,
            "lower",
            "shot",
            "mean",
            MINIMUM_SHOTS,
            observe,
            meaning=meaning,
        )

    figures = [
        spec(
            "rate",
            f"{target.capitalize()}s missed",
            Unit.SHARE,
            partial(miss_rate, target=target),
            ATTEMPTED[target],
        ),
        spec(
            "cost",
            f"Strokes a missed {target} costs",
            Unit.STROKES,
            partial(cost, target=target),
            f"What a shot that misses the {target} costs by where it finishes. {AGAINST}",
        ),
        spec(
            "shot_after",
            f"Strokes lost by the shot after a missed {target}",
            Unit.STROKES,
            partial(cost_of_shot_after, target=target),
            f"What the next shot adds to the cost of the missed {target}, or saves of it where it is "
            f"negative. {AGAINST}",
        ),
        spec(
            "cost_with_shot_after",
            f"Strokes a missed {target} and the shot after cost",
            Unit.STROKES,
            partial(cost_with_shot_after, target=target),
            f"What a missed {target} had cost once the next shot was played. {AGAINST}",
        ),
    ]
    ways = [
        spec(
            side.word,
            f"Missed {target}s on the {side.word}",
            Unit.SHARE,
            partial(to_side, target=target, side=side),
            f"Of the missed {target}s whose side is known, how many were on this one: half is even.",
        )
        for side in (MissSide.LEFT, MissSide.RIGHT)
    ]
    if target == "green":
        ways += [
            spec(
                depth.word,
                f"Missed greens finishing {depth.word}",
                Unit.SHARE,
                partial(to_depth, depth=depth),
                "Of the missed greens whose depth is known, how many finished this way: half is even.",
            )
            for depth in MissDepth
        ]
    finishes = [
        spec(
            f"finish.{finish.word}",
            f"Missed {target}s finishing {FINISH_WORDS[finish]}",
            Unit.SHARE,
            partial(finish_share, target=target, finish=finish),
            f"Of the missed {target}s, how many finished in this way; the first kind that applies counts.",
        )
        for finish in finishes_of(target)
    ]
    costs = [
        spec(
            f"cost.{finish.word}",
            f"Part of what a missed {target} and the shot after cost, from finishing {FINISH_WORDS[finish]}",
            Unit.STROKES,
            partial(cost_by_finish, target=target, finish=finish),
            f"The part of the cost of a missed {target} that finishes of this kind make; the parts "
            f"add up to it. {AGAINST}",
        )
        for finish in finishes_of(target)
    ]
    return [*figures, *ways, *finishes, *costs]


SPECS = [spec for target in TARGETS for spec in specs(target)]
