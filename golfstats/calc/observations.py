"""The common shape of every statistic: observations, and a statistic over them.

A green hit, the strokes gained of one shot, the putts of one round are observations: a value,
the round it belongs to, and the shot or hole it came from. A :class:`FigureSpec` names a figure
and says how to observe it in a record. From the same observations come the figure over a window,
its series by round (trends, goals), the comparison of two players, and the shots behind it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from golfstats.calc.figure import (
    Figure,
    clustered_mean_figure,
    clustered_median_figure,
    clustered_share_figure,
    mean_figure,
)
from golfstats.calc.record import Bools, Floats, Ints, Record
from golfstats.calc.units import Unit
from golfstats.calc.vocabulary import UNKNOWN
from golfstats.sentences import Sentence


@dataclass(frozen=True)
class Observations:
    """Equally long columns: value, row of the round, row of the hole and of the shot (UNKNOWN if none)."""

    value: Floats
    round: Ints
    hole: Ints
    shot: Ints
    estimated: Ints | None = None
    """How many holes behind each value were picked up and so end in an estimate; None: not one."""

    def __len__(self) -> int:
        return len(self.value)

    @classmethod
    def of_shots(cls, record: Record, values: ArrayLike, rows: Bools | Ints) -> Observations:
        """``values`` holds one value a shot of the record; ``rows`` says which shots were observed."""
        shot = _row_numbers(rows)
        hole = record.shots.hole[shot]
        return cls(_floats(values)[shot], record.shots.round[shot], hole, shot)

    @classmethod
    def of_holes(
        cls, record: Record, values: ArrayLike, rows: Bools | Ints, estimated: Bools | None = None
    ) -> Observations:
        """``values`` holds one value a hole of the record; ``rows`` says which holes were observed, ``estimated``
        on which of them the value rests on an estimate.
        """
        hole = _row_numbers(rows)
        none = np.full(len(hole), UNKNOWN)
        return cls(_floats(values)[hole], record.holes.round[hole], hole, none, _estimated(estimated, hole))

    @classmethod
    def of_rounds(
        cls, values: ArrayLike, rows: Bools | Ints, estimated: ArrayLike | None = None
    ) -> Observations:
        """``values`` holds one value a round of the record; ``rows`` says which rounds were observed, ``estimated``
        how many holes of each end in an estimate.
        """
        round = _row_numbers(rows)
        none = np.full(len(round), UNKNOWN)
        return cls(_floats(values)[round], round, none, none, _estimated(estimated, round))

    def select(self, rows: Bools | Ints) -> Observations:
        estimated = None if self.estimated is None else self.estimated[rows]
        return Observations(self.value[rows], self.round[rows], self.hole[rows], self.shot[rows], estimated)

    @cached_property
    def by_round(self) -> tuple[Ints, Floats, Ints]:
        """Rounds that have any observation, their mean value, and the number of observations in each."""
        rounds, index, counts = np.unique(self.round, return_inverse=True, return_counts=True)
        return rounds, np.bincount(index, weights=self.value) / counts, counts


@dataclass(frozen=True)
class AnalysedRecord:
    """A record with the strokes gained of its shots against the chosen benchmark."""

    record: Record
    strokes_gained: Floats
    """One value a shot; NaN where it or the next position is not known."""
    part: Ints
    """Part of the game of each shot (:class:`~golfstats.calc.vocabulary.Part`)."""
    altitude: Floats | None = None
    """Of the course in each round, metres above the sea; NaN or None where nobody knows it."""

    def of_rounds(self, kept: Bools) -> AnalysedRecord:
        """Some rounds alone (a mask over the rounds), with rows renumbered."""
        shots = kept[self.record.shots.round]
        altitude = None if self.altitude is None else self.altitude[kept]
        return AnalysedRecord(
            self.record.of_rounds(kept), self.strokes_gained[shots], self.part[shots], altitude
        )


@dataclass(frozen=True)
class FigureSpec:
    """A named figure: what it is called, in what unit, which way is better, and how to observe it.

    A mean whose unit is "share" is a share of hits: its observations are 0 or 1.
    """

    key: str
    words: str
    """What it is called: a sentence always, so that rooms can say it in the reader's language."""
    unit: Unit
    better: Literal["higher", "lower"]
    per: Literal["shot", "hole", "round"]
    statistic: Literal["mean", "median"]
    minimum_n: int
    observe: Callable[[AnalysedRecord], Observations]
    least: float | None = None
    """What it can never be below, nor its interval: a count is not negative."""
    apart: float = 1.0
    """By how much an observation of a mean usually differs from others where it is not like them: what its interval
    reckons with where all are alike (:func:`~golfstats.calc.figure.mean_figure`)."""
    meaning: str = field(kw_only=True)
    """What it tells, in a sentence or two, for who meets it the first time, and whom it compares with. Unit, which way
    is better and the minimum sample are said from the other fields.
    """

    def __post_init__(self) -> None:
        if not isinstance(self.words, Sentence):
            object.__setattr__(self, "words", Sentence(self.words))  # as a frozen class's own field is set

    def figure(self, observations: Observations) -> Figure:
        """The figure over all the given observations, with a 90% interval that respects rounds."""
        figure = self._figure(observations.value, observations.round)
        if self.least is not None and figure.low is not None:
            figure = replace(figure, low=max(figure.low, self.least))
        estimated = 0 if observations.estimated is None else int(observations.estimated.sum())
        return replace(figure, estimated=estimated) if estimated else figure

    def _figure(self, value: Floats, round: Ints) -> Figure:
        if self.statistic == "median":
            return clustered_median_figure(value, round, self.unit, self.minimum_n)
        if self.unit == Unit.SHARE:
            return clustered_share_figure(value, round, self.minimum_n)
        if self.per == "round":
            return mean_figure(value, self.unit, self.minimum_n, self.apart)
        return clustered_mean_figure(value, round, self.unit, self.minimum_n, self.apart)


def _row_numbers(rows: Bools | Ints) -> Ints:
    return np.flatnonzero(rows) if rows.dtype == np.bool_ else rows.astype(np.int64)


def _estimated(counts: ArrayLike | None, rows: Ints) -> Ints | None:
    return None if counts is None else np.asarray(counts, dtype=np.int64)[rows]


def _floats(values: ArrayLike) -> Floats:
    return np.asarray(values, dtype=np.float64)
