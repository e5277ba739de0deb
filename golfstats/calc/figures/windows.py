"""Windows over a record: the last rounds, a range of days.

A window is a mask over rounds. Every figure of the catalogue is observed within rounds, so observing once
and then selecting (:func:`observations_in`) gives the same as analysing the smaller record
(:func:`record_in`), cheaply and with row numbers that still point into the whole record. The figures of a
club are the exception: full swings and the median that a spread is measured from are those of the record
in which they are observed.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from golfstats.calc.observations import AnalysedRecord, Observations
from golfstats.calc.record import Bools, Record, Rounds


def last_rounds(rounds: Rounds, count: int) -> Bools:
    """The last ``count`` rounds in order of play (all of them if there are fewer)."""
    return np.arange(len(rounds)) >= len(rounds) - count


def between_days(rounds: Rounds, first: int, last: int) -> Bools:
    """Rounds played from the day ``first`` to the day ``last``, both included (day numbers)."""
    return (rounds.day >= first) & (rounds.day <= last)


def observations_in(observations: Observations, window: Bools) -> Observations:
    return observations.select(window[observations.round])


def record_in(analysed: AnalysedRecord, window: Bools) -> AnalysedRecord:
    """The record of these rounds alone, with rows renumbered."""
    record = analysed.record
    hole_kept, shot_kept = window[record.holes.round], window[record.shots.round]
    new_round, new_hole = np.cumsum(window) - 1, np.cumsum(hole_kept) - 1
    holes, shots = record.holes.select(hole_kept), record.shots.select(shot_kept)
    return AnalysedRecord(
        Record(
            record.rounds.select(window),
            replace(holes, round=new_round[holes.round]),
            replace(shots, round=new_round[shots.round], hole=new_hole[shots.hole]),
        ),
        analysed.strokes_gained[shot_kept],
        analysed.part[shot_kept],
    )
