"""Habits that show in a player's putts: first-putt distance, lag putting, sides, pace and faults of misses.

That misreads are mostly under-reads is common practice, no source for its share; 313 golfers measured
under-read break (Science and Golf II, 1994, chapter 29). Here it is tested on the player's own putts. A miss on the
low side is no proof: putts that are hit too softly die low whatever was read, and a player who pulls every putt misses
putts from right to left low and putts from left to right high. So only putts that had the length are judged, and
the two directions of break against each other: what pull and push do to one they undo in the other.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np
from scipy import stats

from golfstats.calc.figure import Figure, difference_figure, share_figure
from golfstats.calc.observations import AnalysedRecord, FigureSpec, Observations
from golfstats.calc.record import Bools, Ints, Record, Shots
from golfstats.calc.units import FEET_PER_YARD, Unit
from golfstats.calc.vocabulary import UNKNOWN, Lie, MissDepth, MissSide, PuttBreak, PuttFault

LAG_FT = 30.0
"""First putts from here or farther are lag putts: holing is luck, leaving it close is the task."""
LAG_CIRCLE_FT = 3.0
"""A lag putt left nearer than this is well left (common practice, no source)."""
MINIMUM_MISSES = 10
"""Observations behind a share (our choice)."""
MINIMUM_EACH_WAY = 4
"""Judged misses with each direction of break (our choice)."""


@dataclass(frozen=True)
class SideTest:
    """Misses below the hole against misses above it, of putts that had the length and broke one way or the other."""

    low: int
    high: int
    share_low: Figure
    """Mean of the shares with the two directions of break, so that neither pull nor push counts."""
    p_value: float | None
    """Fisher's exact test of left and right misses by direction of break; None when there are too few of either."""
    set_aside: int
    """Misses to a known side that say nothing: too soft, of unknown length or break."""


@dataclass(frozen=True)
class UnderReading:
    """Too little break played shows as misses on the low side."""

    read_faults: SideTest
    """Misses that the player put down to the read: what they believe, which is no evidence of how they read."""
    breaking_misses: SideTest
    """All misses to one side of a break, whatever they were put down to."""


def first_putt_feet(analysed: AnalysedRecord) -> Observations:
    shots = analysed.record.shots
    return Observations.of_shots(analysed.record, shots.distance * FEET_PER_YARD, first_putts(shots))


def lag_leave_feet(analysed: AnalysedRecord) -> Observations:
    """Feet left after first putts from :data:`LAG_FT` or farther, 0 when holed."""
    shots = analysed.record.shots
    return Observations.of_shots(analysed.record, shots.distance_after * FEET_PER_YARD, _lags(shots))


def lags_outside_circle(analysed: AnalysedRecord) -> Observations:
    """Whether a lag putt finished farther than :data:`LAG_CIRCLE_FT` from the hole."""
    shots = analysed.record.shots
    outside = shots.distance_after * FEET_PER_YARD > LAG_CIRCLE_FT
    return Observations.of_shots(analysed.record, outside, _lags(shots))


def low_misses(analysed: AnalysedRecord) -> Observations:
    """Whether a miss to a known side of the break was on the low side."""
    side = break_side(analysed.record.shots)
    rows = _misses(analysed.record.shots) & (side != UNKNOWN)
    return Observations.of_shots(analysed.record, side == MissSide.LOW, rows)


def short_misses(analysed: AnalysedRecord) -> Observations:
    """Whether a miss with a known depth finished short."""
    shots = analysed.record.shots
    rows = _misses(shots) & (shots.miss_depth != UNKNOWN)
    return Observations.of_shots(analysed.record, shots.miss_depth == MissDepth.SHORT, rows)


def misses_by_fault(analysed: AnalysedRecord, fault: PuttFault) -> Observations:
    """Whether a miss with a noted fault had this one."""
    shots = analysed.record.shots
    rows = _misses(shots, fringe=True) & (shots.fault != UNKNOWN)
    return Observations.of_shots(analysed.record, shots.fault == fault, rows)


def under_reading(record: Record) -> UnderReading:
    """Whether misses gather on the low side of both kinds of break more than pull, push and pace explain.

    A putt that was not short had the length if it finished long; of those put down to the read, unless it was short.
    """
    shots = record.shots
    misses = _misses(shots, fringe=True) & (break_side(shots) != UNKNOWN)
    read = misses & (shots.fault == PuttFault.READ)
    return UnderReading(
        read_faults=_side_test(shots, read, read & (shots.miss_depth != MissDepth.SHORT)),
        breaking_misses=_side_test(shots, misses, misses & (shots.miss_depth == MissDepth.LONG)),
    )


def first_putts(shots: Shots) -> Bools:
    """The first stroke from the green on each hole."""
    rows = np.flatnonzero(_putts(shots))
    _, first = np.unique(shots.hole[rows], return_index=True)
    chosen = np.zeros(len(shots), dtype=np.bool_)
    chosen[rows[first]] = True
    return chosen


def break_side(shots: Shots) -> Ints:
    """LOW, HIGH or UNKNOWN; left and right are told by the break, and a straight putt has neither."""
    toward_low = np.where(shots.putt_break == PuttBreak.LEFT_TO_RIGHT, MissSide.RIGHT, MissSide.LEFT)
    breaks = np.isin(shots.putt_break, (PuttBreak.LEFT_TO_RIGHT, PuttBreak.RIGHT_TO_LEFT))
    sided = breaks & np.isin(shots.miss_side, (MissSide.LEFT, MissSide.RIGHT))
    by_break = np.where(shots.miss_side == toward_low, MissSide.LOW, MissSide.HIGH)
    noted = np.isin(shots.miss_side, (MissSide.LOW, MissSide.HIGH))
    side = np.where(sided, by_break, np.where(noted, shots.miss_side, UNKNOWN))
    return np.where(shots.putt_break == PuttBreak.STRAIGHT, UNKNOWN, side).astype(np.int64)


def _putts(shots: Shots) -> Bools:
    return np.asarray(shots.lie == Lie.GREEN)


def _misses(shots: Shots, *, fringe: bool = False) -> Bools:
    """Missed putts; on request those from the fringe as well, where break or fault were noted of them."""
    putts = _putts(shots)
    if fringe:
        noted = (shots.fault != UNKNOWN) | (shots.putt_break != UNKNOWN)
        putts |= (shots.lie == Lie.FRINGE) & noted
    return putts & ~shots.holed


def _lags(shots: Shots) -> Bools:
    lags: Bools = first_putts(shots) & (shots.distance * FEET_PER_YARD >= LAG_FT)
    return lags & ~np.isnan(shots.distance_after)


def _side_test(shots: Shots, misses: Bools, judged: Bools) -> SideTest:
    side = break_side(shots)
    counts = np.array(
        [
            [int(np.sum(judged & (shots.putt_break == way) & (side == end))) for end in _SIDES]
            for way in (PuttBreak.LEFT_TO_RIGHT, PuttBreak.RIGHT_TO_LEFT)
        ]
    )
    low, high = (int(total) for total in np.sum(counts, axis=0))
    aside = int(np.sum(misses)) - low - high
    each = np.sum(counts, axis=1)
    if low + high < MINIMUM_MISSES or np.min(each) < MINIMUM_EACH_WAY:
        return SideTest(low, high, Figure.too_few(low + high, MINIMUM_MISSES, Unit.SHARE), None, aside)
    # low of one break and high of the other are the same side of the player
    table = np.array([counts[0], counts[1][::-1]])
    return SideTest(low, high, _mean_share(counts), float(stats.fisher_exact(table).pvalue), aside)


_SIDES = (MissSide.LOW, MissSide.HIGH)


def _mean_share(counts: Ints) -> Figure:
    """Mean of the shares of two samples, its interval joined from theirs (as in ``difference_figure``)."""
    first, second = (share_figure(int(row[0]), int(np.sum(row))) for row in counts)
    if second.value is None or second.low is None or second.high is None:
        raise ValueError("both samples have a share")
    mirrored = Figure(-second.value, -second.high, -second.low, second.n, 1, Unit.SHARE)
    both = difference_figure(first, mirrored)
    if both.value is None or both.low is None or both.high is None:
        raise ValueError("both samples have a share")
    return Figure(
        both.value / 2, both.low / 2, both.high / 2, int(np.sum(counts)), MINIMUM_MISSES, Unit.SHARE
    )


def _share(
    key: str, words: str, observe: Callable[[AnalysedRecord], Observations], meaning: str
) -> FigureSpec:
    return FigureSpec(
        key, words, Unit.SHARE, "lower", "shot", "mean", MINIMUM_MISSES, observe, meaning=meaning
    )


FIGURES = (
    FigureSpec(
        "putting.first_distance",
        "Length of the first putt",
        Unit.FEET,
        "lower",
        "shot",
        "median",
        18,
        first_putt_feet,
        meaning="How far from the hole the first putt is played, in the middle: what approaches and "
        "chips leave, not how well is putted.",
        least=0.0,
    ),
    FigureSpec(
        "putting.lag.leave",
        "Left after first putts from 30 feet",
        Unit.FEET,
        "lower",
        "shot",
        "median",
        10,
        lag_leave_feet,
        meaning="How much first putts from 30 feet and beyond leave, in the middle; one that is "
        "holed leaves nothing.",
        least=0.0,
    ),
    _share(
        "putting.lag.outside",
        "First putts from 30 feet left outside 3 feet",
        lags_outside_circle,
        "Of the first putts from 30 feet and beyond, how many leave more than 3 feet.",
    ),
    _share(
        "putting.miss.low",
        "Missed putts on the low side",
        low_misses,
        "Of the missed putts with a break, how many passed below the hole: too little break or too "
        "little pace. Half is even.",
    ),
    _share(
        "putting.miss.short",
        "Missed putts that were short",
        short_misses,
        "Of the missed putts whose length is known, how many did not reach the hole.",
    ),
    *(
        _share(
            f"putting.fault.{fault.word}",
            f"Missed putts put down to the {fault.word}",
            partial(misses_by_fault, fault=fault),
            "Of the missed putts for which the player noted a reason, how many had this one.",
        )
        for fault in PuttFault
    ),
)
"""Figures of putting beyond the count of putts, for the catalogue."""
