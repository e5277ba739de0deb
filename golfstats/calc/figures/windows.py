"""Windows over a record: the last rounds.

A window is a mask over rounds. Every figure of the catalogue is observed within rounds, so observing once
and then selecting (:func:`observations_in`) gives the same as observing the smaller record
(:meth:`~golfstats.calc.observations.AnalysedRecord.of_rounds`), cheaply and with row numbers that still
point into the whole record. The figures of a club are the exception: full swings and the median that a
spread is measured from are those of the record in which they are observed.
"""

from __future__ import annotations

import numpy as np

from golfstats.calc.record import Bools, Rounds


def last_rounds(rounds: Rounds, count: int) -> Bools:
    """The last ``count`` rounds in order of play (all of them if there are fewer)."""
    return np.arange(len(rounds)) >= len(rounds) - count
