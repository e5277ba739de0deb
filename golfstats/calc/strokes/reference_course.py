"""The reference course: eighteen holes and the way a hole's shots run on them, from the tees of either gender.

A course of par 72, rated 72.0 with slope 113 for men from 6,842 yards and for women from 5,742: what the
rating formulae give for 72.0 where nothing but length matters. The holes and the positions are ours;
they only fix how a golfer's expected strokes are spread.

On each hole three positions matter, because strokes gained between them telescope: the tee; where the
long game ends (on the green on six holes, within 100 yards of it on twelve, which is about what a
golfer who scores 90 does: our assumption; better golfers more often on the green); and the first putt.

**How far a yard is.** A woman's yards play longer than a man's: beyond :data:`SAME_FOR_ALL_YARDS` each
yard of hers counts as :data:`STRETCH` of his, so that her 5,742 yards play as his 6,842. That is 1.23;
the rating system's model golfers drive 210 against 250 yards at scratch (1.19) and 130–150 against
170–200 at a bogey a hole (1.33). Putts and short shots are as far for everybody.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal, NamedTuple

import numpy as np
from scipy.special import ndtr

from golfstats.calc.record import Bools, Floats
from golfstats.calc.vocabulary import Lie

Gender = Literal["men", "women"]
"""The rating gender: whose ratings of a tee set apply to a player."""
GENDERS: tuple[Gender, ...] = ("men", "women")

REFERENCE_RATING = 72.0


@dataclass(frozen=True)
class LengthRating:
    """What scratch and bogey golfers score by the length of a course alone, before its obstacles.

    Rating = yards / divisor + constant, from memory of the course rating system; only the first of the four
    lines was seen elsewhere. Both are means over the better half of a golfer's scores. ``slope_factor`` was
    read: slope = (bogey rating − course rating) × factor.
    """

    scratch_divisor: float
    scratch_constant: float
    bogey_divisor: float
    bogey_constant: float
    slope_factor: float

    def scratch(self, yards: float) -> float:
        return yards / self.scratch_divisor + self.scratch_constant

    def slope(self, yards: float) -> float:
        bogey = yards / self.bogey_divisor + self.bogey_constant
        return (bogey - self.scratch(yards)) * self.slope_factor

    def yards_rated(self, rating: float) -> float:
        """The length whose scratch rating this is."""
        return (rating - self.scratch_constant) * self.scratch_divisor

    def expected_score(self, handicap: float, yards: float) -> float:
        """Mean score of a golfer: rating + 1.04 × handicap × slope / 113 + 2.4 (German and Danish golf unions)."""
        return self.scratch(yards) + 1.04 * handicap * self.slope(yards) / 113 + 2.4


LENGTH_RATINGS: MappingProxyType[Gender, LengthRating] = MappingProxyType(
    {
        "men": LengthRating(220.0, 40.9, 160.0, 50.7, 5.381),
        "women": LengthRating(180.0, 40.1, 120.0, 51.3, 4.24),
    }
)


class ReferenceHole(NamedTuple):
    """From the men's tee; yards."""

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

FAIRWAY_YARDS, CORRIDOR_YARDS = 16.0, 35.0
"""From the middle of a hole to the edge of the fairway, and to where trouble begins (common practice, no source)."""


class Drive(NamedTuple):
    """A golfer's drives on par 4 and 5."""

    yards: float
    """In the golfer's own yards."""
    lies: dict[Lie, float]
    """Share of them that ends on each."""
    penalty: float
    """Penalty strokes a drive."""


def drive_of(handicap: float, gender: Gender) -> Drive:
    """How far and where to a golfer of this handicap drives, all drives taken together.

    The rating system's model golfers drive 250 and 210 yards at scratch, 200 and 150 a bogey a hole (handicap 20 and
    24); drives shorten in that proportion. That gives men the 240, 220, 204 and 187 yards that the R&A and the USGA
    measured in 2018 below handicap 6, at 6-12, 13-20 and above, to 6 yards; women's were up to 14 shorter than it
    gives (as told by the golf press).
    The direction error is 3.4 degrees of touring professionals (Broadie 2014, as quoted) and 6.5 of a 90-golfer (from
    memory), and on the line between; women's as men's (an assumption, nothing is published). Beyond the
    corridor half of the balls have no way to the hole, and every seventh costs a stroke (our assumption).
    """
    yards = 250.0 * 0.8 ** (handicap / 20) if gender == "men" else 210.0 * (5 / 7) ** (handicap / 24)
    astray = yards * np.tan(np.radians(3.4 + (handicap + 6.0) * 3.1 / 21.0))
    missed, wild = (2 * float(ndtr(-edge / astray)) for edge in (FAIRWAY_YARDS, CORRIDOR_YARDS))
    lies = {Lie.FAIRWAY: 1 - missed, Lie.ROUGH: missed - wild / 2, Lie.RECOVERY: wild / 2}
    return Drive(yards, lies, wild / 7)


def share_onto_green(handicap: float) -> float:
    """Share of holes on which the long game ends on the green.

    A third of a 90-golfer's (35% of their shots from 150 yards hit it: Broadie's column), two thirds of a touring
    professional's (greens in regulation, from memory); so twice as often with every 21 strokes less.
    """
    return float(2.0 ** (-(handicap - 15.0) / 21.0) / 3.0)


SAME_FOR_ALL_YARDS = 50.0
"""Up to here nobody needs a full swing."""

_MENS_TEES = np.array([hole.yards for hole in REFERENCE_HOLES], dtype=np.float64)
_SHORT_PART = len(REFERENCE_HOLES) * SAME_FOR_ALL_YARDS
STRETCH = float(_MENS_TEES.sum() - _SHORT_PART) / (
    LENGTH_RATINGS["women"].yards_rated(REFERENCE_RATING) - _SHORT_PART
)
"""Men's yards to a woman's yard, beyond :data:`SAME_FOR_ALL_YARDS`."""


def as_mens_yards(yards: Floats, women: Bools) -> Floats:
    """The distance at which a man of the same handicap faces as long a way (yards)."""
    beyond = np.maximum(yards - SAME_FOR_ALL_YARDS, 0.0)
    return np.asarray(yards + np.where(women, (STRETCH - 1.0) * beyond, 0.0), dtype=np.float64)


def from_mens_yards(yards: Floats, women: Bools) -> Floats:
    """The inverse of :func:`as_mens_yards`."""
    beyond = np.maximum(yards - SAME_FOR_ALL_YARDS, 0.0)
    return np.asarray(yards - np.where(women, (1.0 - 1.0 / STRETCH) * beyond, 0.0), dtype=np.float64)


def reference_tees(gender: Gender) -> Floats:
    """Lengths of the eighteen holes from the tees of this gender, in yards."""
    return from_mens_yards(_MENS_TEES, np.array(gender == "women"))
