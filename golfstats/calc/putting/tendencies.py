"""Habits that show in a player's putts: first-putt distance, lag putting, sides, pace and faults of misses.

That misreads are mostly under-reads is common practice, no source for its share; 313 golfers measured
under-read break (Science and Golf II, 1994, chapter 29). Here it is tested on the player's own putts.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np
from scipy import stats

from golfstats.calc.figure import Figure, share_figure
from golfstats.calc.observations import AnalysedRecord, FigureSpec, Observations
from golfstats.calc.record import Bools, Ints, Record, Shots
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import UNKNOWN, Lie, MissDepth, MissSide, PuttBreak, PuttFault

LAG_FT = 30.0
"""First putts from here or farther are lag putts: holing is luck, leaving it close is the task."""
LAG_CIRCLE_FT = 3.0
"""A lag putt left nearer than this is well left (common practice, no source)."""
MINIMUM_MISSES = 10
"""Observations behind a share (our choice)."""


@dataclass(frozen=True)
class SideTest:
    """Misses below the hole against misses above it, and whether chance alone would do as much."""

    low: int
    high: int
    share_low: Figure
    p_value: float | None
    """Exact two-sided binomial test against one half; None when there are too few."""


@dataclass(frozen=True)
class UnderReading:
    """Too little break played shows as misses on the low side."""

    read_faults: SideTest
    """Misses that the player put down to his read."""
    breaking_misses: SideTest
    """All misses to one side of a break, whatever the fault."""


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
    rows = _misses(shots) & (shots.fault != UNKNOWN)
    return Observations.of_shots(analysed.record, shots.fault == fault, rows)


def under_reading(record: Record) -> UnderReading:
    """Whether misses gather on the low side more than a coin would put them there."""
    shots = record.shots
    side = break_side(shots)
    misses = _misses(shots)
    return UnderReading(
        read_faults=_side_test(side[misses & (shots.fault == PuttFault.READ)]),
        breaking_misses=_side_test(side[misses]),
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
    told = np.where(shots.miss_side == toward_low, MissSide.LOW, MissSide.HIGH)
    noted = np.isin(shots.miss_side, (MissSide.LOW, MissSide.HIGH))
    side = np.where(sided, told, np.where(noted, shots.miss_side, UNKNOWN))
    return np.where(shots.putt_break == PuttBreak.STRAIGHT, UNKNOWN, side).astype(np.int64)


def _putts(shots: Shots) -> Bools:
    return np.asarray(shots.lie == Lie.GREEN)


def _misses(shots: Shots) -> Bools:
    return _putts(shots) & ~shots.holed


def _lags(shots: Shots) -> Bools:
    lags: Bools = first_putts(shots) & (shots.distance * FEET_PER_YARD >= LAG_FT)
    return lags & ~np.isnan(shots.distance_after)


def _side_test(sides: Ints) -> SideTest:
    low, high = int(np.sum(sides == MissSide.LOW)), int(np.sum(sides == MissSide.HIGH))
    share_low = share_figure(low, low + high, MINIMUM_MISSES)
    p_value = float(stats.binomtest(low, low + high).pvalue) if share_low.enough else None
    return SideTest(low, high, share_low, p_value)


def _share(key: str, words: str, observe: Callable[[AnalysedRecord], Observations]) -> FigureSpec:
    return FigureSpec(key, words, "share", "lower", "shot", "mean", MINIMUM_MISSES, observe)


FIGURES = (
    FigureSpec(
        "putting.first_distance",
        "Length of the first putt",
        "ft",
        "lower",
        "shot",
        "median",
        18,
        first_putt_feet,
    ),
    FigureSpec(
        "putting.lag.leave",
        "Left after first putts from 30 feet",
        "ft",
        "lower",
        "shot",
        "median",
        10,
        lag_leave_feet,
    ),
    _share("putting.lag.outside", "First putts from 30 feet left outside 3 feet", lags_outside_circle),
    _share("putting.miss.low", "Missed putts on the low side", low_misses),
    _share("putting.miss.short", "Missed putts that were short", short_misses),
    *(
        _share(
            f"putting.fault.{fault.word}",
            f"Missed putts put down to the {fault.word}",
            partial(misses_by_fault, fault=fault),
        )
        for fault in PuttFault
    ),
)
"""Figures of putting beyond the count of putts, for the catalogue."""
