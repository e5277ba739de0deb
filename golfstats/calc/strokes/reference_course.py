"""The reference course: eighteen holes and the way a hole's shots run on them.

A course of par 72, rated 72.0 with slope 113. Its 6,842 yards are what the course-rating formula for
men gives for 72.0 where nothing but length matters (length / 220 + 40.9; from memory). The holes and
the positions are ours; they only fix how a golfer's expected strokes are spread.

On each hole three positions matter, because strokes gained between them telescope: the tee; where the
long game ends (on the green on six holes, within 100 yards of it on twelve, which is about what a
golfer who scores 90 does: our assumption); and the first putt.
"""

from __future__ import annotations

from typing import NamedTuple

from golfstats.calc.vocabulary import Lie

REFERENCE_RATING = 72.0


class ReferenceHole(NamedTuple):
    par: int
    yards: float
    lie_after_long_game: Lie
    yards_after_long_game: float
    first_putt_feet: float


def _onto_green(par: int, yards: float, first_putt_feet: float) -> ReferenceHole:
    return ReferenceHole(par, yards, Lie.GREEN, first_putt_feet / 3, first_putt_feet)


REFERENCE_HOLES = (
    ReferenceHole(4, 390, Lie.ROUGH, 20, 10),
    _onto_green(4, 360, 25),
    ReferenceHole(5, 520, Lie.FAIRWAY, 70, 20),
    ReferenceHole(3, 175, Lie.SAND, 12, 12),
    ReferenceHole(4, 425, Lie.FAIRWAY, 40, 15),
    _onto_green(4, 400, 35),
    _onto_green(3, 160, 30),
    ReferenceHole(5, 555, Lie.FAIRWAY, 90, 25),
    ReferenceHole(4, 435, Lie.ROUGH, 50, 18),
    ReferenceHole(4, 405, Lie.FAIRWAY, 15, 8),
    _onto_green(4, 340, 20),
    ReferenceHole(3, 190, Lie.ROUGH, 12, 6),
    ReferenceHole(4, 415, Lie.SAND, 20, 15),
    _onto_green(5, 500, 40),
    ReferenceHole(4, 447, Lie.ROUGH, 30, 12),
    ReferenceHole(3, 205, Lie.ROUGH, 15, 8),
    _onto_green(4, 380, 45),
    ReferenceHole(5, 540, Lie.FAIRWAY, 25, 30),
)
