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
    """The teeing area, whatever the par of the hole."""
    FAIRWAY = 1
    """Grass cut short between tee and green."""
    ROUGH = 2
    """Longer grass beside the fairway, and whatever else lies outside the other kinds."""
    SAND = 3
    """A bunker."""
    RECOVERY = 4
    """The way to the hole is blocked: among trees, behind an obstacle."""
    FRINGE = 5
    """The closely mown collar around a green."""
    GREEN = 6
    """The putting green."""
    PENALTY = 7
    """A penalty area, played from where it lies."""


class Part(Word):
    """Part of the game that a shot belongs to."""

    TEE = 0
    """Tee shots on holes of par 4 or more."""
    APPROACH = 1
    """Other shots from further away than the short game, and every tee shot on a par 3."""
    SHORT_GAME = 2
    """Other shots from within the club's short-game distance, 100 yards unless it chose another."""
    PUTTING = 3
    """Shots from the green."""


class PenaltyKind(Word):
    STROKE_AND_DISTANCE = 0
    """Played again from where the last shot was: lost or out of bounds."""
    LATERAL_DROP = 1
    """Dropped beside a penalty area."""
    UNPLAYABLE = 2
    """Declared unplayable and dropped."""
    OTHER = 3
    """Any other, a breach of a rule for instance."""


class MissSide(Word):
    """Side of the target on which the ball finished; LOW and HIGH are for putts."""

    LEFT = 0
    """Left of the target, as the player looks."""
    RIGHT = 1
    """Right of the target, as the player looks."""
    LOW = 2
    """Of a putt: on the side to which the green falls; too little break was played."""
    HIGH = 3
    """Of a putt: on the side from which the green falls; too much break was played."""


class MissDepth(Word):
    SHORT = 0
    """It did not reach the target."""
    LONG = 1
    """It went past the target."""


class LieQuality(Word):
    GOOD = 0
    """Clean, as one would place it."""
    POOR = 1
    """Hindered by what the ball lies in or on."""
    PLUGGED = 2
    """Sunk in, as in its own pitch mark."""


class Swing(Word):
    FULL = 0
    """A full swing of the club."""
    PART = 1
    """Less than a full swing."""


class Wind(Word):
    """Direction of the wind for the player: INTO the face, HELPING from behind, or across."""

    CALM = 0
    """None that matters."""
    INTO = 1
    """Into the player's face."""
    HELPING = 2
    """From behind the player."""
    FROM_LEFT = 3
    """Across, from the player's left."""
    FROM_RIGHT = 4
    """Across, from the player's right."""


class Slope(Word):
    """Slope of a putt or of the stance, seen along the shot."""

    LEVEL = 0
    """No slope that matters."""
    UPHILL = 1
    """Up along the shot."""
    DOWNHILL = 2
    """Down along the shot."""
    SIDEHILL = 3
    """Across the shot."""


class PuttBreak(Word):
    STRAIGHT = 0
    """No break that matters."""
    LEFT_TO_RIGHT = 1
    """The ball turns to the right."""
    RIGHT_TO_LEFT = 2
    """The ball turns to the left."""


class PuttFault(Word):
    """What the player holds responsible for a missed putt."""

    READ = 0
    """The break was seen wrongly."""
    LINE = 1
    """It did not start where it was aimed."""
    PACE = 2
    """It was hit too hard or too softly."""
