"""The closed sets of trade words, each with the small integer it has inside an array.

The word (``Lie.FAIRWAY.word == "fairway"``) is what the database stores and the API speaks;
the integer is what the arrays of :mod:`golfstats.calc.record` hold. ``UNKNOWN`` (-1) in an
array always means "not recorded".
"""

from __future__ import annotations

from enum import IntEnum
from typing import Self

UNKNOWN = -1


class Word(IntEnum):
    """An enumeration whose members are known outside by a lower-case word."""

    @property
    def word(self) -> str:
        return self.name.lower()

    @classmethod
    def words(cls) -> list[str]:
        return [member.word for member in cls]

    @classmethod
    def of(cls, word: str) -> Self:
        """The member with this word; ``KeyError`` if there is none."""
        return cls[word.upper()]


class Lie(Word):
    """Where the ball lies before a shot."""

    TEE = 0
    FAIRWAY = 1
    ROUGH = 2
    SAND = 3
    RECOVERY = 4
    FRINGE = 5
    GREEN = 6
    PENALTY = 7


class Part(Word):
    """Part of the game that a shot belongs to."""

    TEE = 0
    APPROACH = 1
    SHORT_GAME = 2
    PUTTING = 3


class PenaltyKind(Word):
    STROKE_AND_DISTANCE = 0
    LATERAL_DROP = 1
    UNPLAYABLE = 2
    OTHER = 3


class MissSide(Word):
    """Side of the target on which the ball finished; LOW and HIGH are for putts."""

    LEFT = 0
    RIGHT = 1
    LOW = 2
    HIGH = 3


class MissDepth(Word):
    SHORT = 0
    LONG = 1


class LieQuality(Word):
    GOOD = 0
    POOR = 1
    PLUGGED = 2


class Swing(Word):
    FULL = 0
    PART = 1


class Wind(Word):
    """Direction of the wind for the player: INTO the face, HELPING from behind, or across."""

    CALM = 0
    INTO = 1
    HELPING = 2
    FROM_LEFT = 3
    FROM_RIGHT = 4


class Slope(Word):
    """Slope of a putt or of the stance, seen along the shot."""

    LEVEL = 0
    UPHILL = 1
    DOWNHILL = 2
    SIDEHILL = 3


class PuttBreak(Word):
    STRAIGHT = 0
    LEFT_TO_RIGHT = 1
    RIGHT_TO_LEFT = 2


class PuttFault(Word):
    """What the player holds responsible for a missed putt."""

    READ = 0
    LINE = 1
    PACE = 2
