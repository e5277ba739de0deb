"""Where one shot may finish: a centre, and a scatter with heavy tails along and across the line.

Shot errors are heavier in the tails than normal: t distributions or mixtures of t and normal (Ko, thesis, Columbia
2012). Here a shot is one of three things, so that its characteristic function is closed form:

- a usual shot, normal along and across;
- with chance ``WIDE_SHARE`` one that scatters twice as much both ways (together much like a t distribution);
- now and then a mis-hit, which loses a good third of its length and strays twice as far.

Along is a share of the length, across an angle. A player who knows that their 7-iron starts to the right aims left
of the place they want: the pattern's centre is what they choose, its bias what they must allow for.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from types import MappingProxyType

import numpy as np
from scipy import special, stats

from golfstats.calc.record import Floats, Ints
from golfstats.calc.vocabulary import Lie

WIDE_SHARE, WIDE = 0.2, 2.0
MISHIT_LENGTH, MISHIT_ALONG, MISHIT_ACROSS = 0.62, 0.18, 2.0
"""Mean length and spread of a mis-hit as shares of the length meant; its side spread as a multiple of the usual."""
LEAST_ALONG, LEAST_ACROSS = 0.8, 0.5
"""Yards: nobody lands a ball to the inch."""
SHORT_BELOW, FULL_ABOVE = 20.0, 100.0
"""Yards: up to the first the short-game spreads hold, from the second those of full swings; between them the spread
in yards grows as a power of the length, so that a longer shot is never the tighter one."""
TOTAL_OF_CORE = math.sqrt(1 - WIDE_SHARE + WIDE_SHARE * WIDE**2)
"""Standard deviation of usual and wide shots together, as a multiple of the usual ones'."""

HALF_WITHIN, NINE_TENTHS_WITHIN = 1.311, 2.712
"""Spreads about the centre, both ways, within which half and nine in ten of usual and wide shots finish."""


@dataclass(frozen=True)
class LieEffect:
    """What a lie does to a shot. Factors on length, spreads and the chance of a mis-hit."""

    length: float
    along: float
    across: float
    mishit: float
    longest: float
    """Longest shot that can be tried, as a share of the drive."""


LIE_EFFECTS: Mapping[Lie, LieEffect] = MappingProxyType(
    {
        Lie.TEE: LieEffect(1.0, 0.95, 0.95, 0.8, 1.0),
        Lie.FAIRWAY: LieEffect(1.0, 1.0, 1.0, 1.0, 0.93),
        Lie.ROUGH: LieEffect(0.94, 1.3, 1.2, 1.2, 0.81),
        Lie.SAND: LieEffect(0.90, 1.6, 1.4, 1.4, 0.65),
        Lie.RECOVERY: LieEffect(0.85, 1.6, 1.5, 1.8, 0.5),
    }
)
"""The spreads lean on mean misses of short approaches of 7.8% from the fairway, 12.8% from light rough and 15.8% from
sand (Cochran and Stobbs 1968, as quoted); a shot from the tee is tighter than from the ground (Broadie, column). The
rest is common practice, no source."""


@dataclass(frozen=True)
class Spread:
    """Scatter of one shot round its centre, in yards."""

    along: float
    across: float
    mishit: float
    length: float
    """Of the shot: a mis-hit falls short by a share of it."""

    def within(self, spreads: float) -> tuple[float, float]:
        """Half-axes of the ellipse of so many spreads about the centre, along and across, yards.

        :data:`HALF_WITHIN` and :data:`NINE_TENTHS_WITHIN` say which shares of the shots finish in it.
        """
        return spreads * self.along, spreads * self.across


@dataclass(frozen=True)
class ClubPattern:
    """Full swings with one club from the fairway in neutral air."""

    name: str
    length: float
    """Mean length of a shot that is no mis-hit, carry and roll, yards."""
    along: float
    """Spread of the length, share of it."""
    across: float
    """Spread of the direction, radians."""
    bias: float = 0.0
    """Mean direction, radians right of where the player means to send it."""
    shots: int = 0
    """Own shots behind these numbers; 0 means that they are the usual ones of the handicap."""

    def off_line(self, length: float) -> float:
        """Yards right of where they are sent that shots of ``length`` yards finish on the mean; left is negative."""
        return math.tan(self.bias) * length


@dataclass(frozen=True, eq=False)
class Bag:
    """A player's patterns: full swings by club, the driver first, and the short game.

    The row of a club is its number in everything that has clubs as numbers.
    """

    clubs: tuple[ClubPattern, ...]
    mishit: float
    """Chance of a mis-hit of a full swing from the fairway."""
    short_along: float
    """Spread of the length of chips and pitches, share of it."""
    short_across: float
    """Radians."""
    short_mishit: float

    @property
    def drive(self) -> float:
        return self.clubs[0].length

    @cached_property
    def _curves(self) -> tuple[Floats, Floats, Floats]:
        """Lengths ascending with the spreads of the clubs there."""
        ordered = sorted(self.clubs, key=lambda club: club.length)
        table = np.array([(club.length, club.along, club.across) for club in ordered])
        return table[:, 0], table[:, 1], table[:, 2]

    def spread(self, lie: Lie, length: float) -> Spread:
        """Scatter of a shot meant to go ``length`` yards from this lie."""
        along, across, mishit = self.spreads(lie, np.array([length]))
        return Spread(float(along[0]), float(across[0]), float(mishit[0]), length)

    def spreads(self, lie: Lie, length: Floats) -> tuple[Floats, Floats, Floats]:
        """Spread along and across (yards) and the chance of a mis-hit, for each length meant."""
        effect = LIE_EFFECTS[lie]
        full = np.clip((length - SHORT_BELOW) / (FULL_ABOVE - SHORT_BELOW), 0.0, 1.0)
        lengths, along, across = self._curves
        mishit = full * self.mishit + (1 - full) * self.short_mishit
        return (
            np.hypot(effect.along * _yards(length, lengths, along, self.short_along), LEAST_ALONG),
            np.hypot(effect.across * _yards(length, lengths, across, self.short_across), LEAST_ACROSS),
            np.minimum(mishit * effect.mishit, 0.5),
        )

    def reach(self, lie: Lie) -> float:
        """Longest shot from this lie, yards: the longest club that may be tried there."""
        effect = LIE_EFFECTS[lie]
        limit = effect.longest * self.drive
        return effect.length * max(
            [club.length for club in self.clubs if club.length <= limit * 1.001], default=limit
        )

    def club_for(self, lie: Lie, length: float) -> ClubPattern:
        """The club for a shot of this length: the shortest that reaches it, give or take 2%."""
        swung = length / LIE_EFFECTS[lie].length
        usable = [club for club in self.clubs if club.length <= LIE_EFFECTS[lie].longest * self.drive * 1.001]
        usable = usable or [self.clubs[-1]]
        enough = [club for club in usable if club.length * 1.02 >= swung]
        return min(enough, key=lambda club: club.length) if enough else usable[0]

    def scaled(self, length: float = 1.0, along: float = 1.0, across: float = 1.0) -> Bag:
        """The same bag with all lengths and spreads multiplied (short game and full swings)."""
        clubs = tuple(
            replace(c, length=c.length * length, along=c.along * along, across=c.across * across)
            for c in self.clubs
        )
        return replace(
            self, clubs=clubs, short_along=self.short_along * along, short_across=self.short_across * across
        )


def _yards(length: Floats, club_lengths: Floats, of_clubs: Floats, short: float) -> Floats:
    """Spread in yards of shots of each length; the spreads given are shares of the length (or radians)."""
    at_full = np.interp(np.maximum(length, FULL_ABOVE), club_lengths, of_clubs)
    low, high = short * SHORT_BELOW, at_full * FULL_ABOVE
    way = np.clip(np.log(np.maximum(length, 1e-6) / SHORT_BELOW) / np.log(FULL_ABOVE / SHORT_BELOW), 0.0, 1.0)
    between = low ** (1 - way) * high**way
    spread: Floats = np.where(
        length <= SHORT_BELOW, short * length, np.where(length < FULL_ABOVE, between, at_full * length)
    )
    return spread


@dataclass(frozen=True)
class Errors:
    """Standard errors drawn or laid out: one row a shot. ``along`` and ``across`` are in units of the spread."""

    along: Floats
    across: Floats
    uniform: Floats
    """Decides between a usual, a wide and a mis-hit shot."""


def drawn_errors(n: int, rng: np.random.Generator) -> Errors:
    return Errors(rng.standard_normal(n), rng.standard_normal(n), rng.random(n))


def laid_out_errors(power: int = 10) -> Errors:
    """2^power points that fill the pattern evenly (Sobol's sequence), the same every time."""
    points = stats.qmc.Sobol(3, scramble=False).random_base2(power) + 0.5 / 2**power
    normal = special.ndtri(points[:, :2])
    return Errors(normal[:, 0], normal[:, 1], points[:, 2])


def finish(
    along_sd: Floats, across_sd: Floats, mishit: Floats, length: Floats, errors: Errors
) -> tuple[Floats, Floats]:
    """Yards beyond the centre along the line and to its right where each shot ends; arguments broadcast."""
    bad = errors.uniform < mishit
    wide = ~bad & (errors.uniform < mishit + (1 - mishit) * WIDE_SHARE)
    factor = np.where(wide, WIDE, 1.0)
    along = np.where(
        bad, (MISHIT_LENGTH - 1 + MISHIT_ALONG * errors.along) * length, factor * along_sd * errors.along
    )
    across = np.where(bad, MISHIT_ACROSS, factor) * across_sd * errors.across
    return along, across


def usable_lengths(bag: Bag, lie: Lie) -> Floats:
    """Lengths worth trying from a lie: every club full and half-way to the next, and part swings below the shortest."""
    effect = LIE_EFFECTS[lie]
    full = np.sort([c.length for c in bag.clubs if c.length <= effect.longest * bag.drive * 1.001])
    if not len(full):
        full = np.array([effect.longest * bag.drive])
    between = (full[1:] + full[:-1]) / 2
    part = np.arange(20.0, full[0] - 3.0, 8.0)
    return np.sort(np.concatenate([part, full, between])) * effect.length


def club_numbers(bag: Bag, lie: Lie, lengths: Floats) -> Ints:
    """Row of the club in the bag for each length."""
    each, which = np.unique(lengths, return_inverse=True)
    rows = np.array([bag.clubs.index(bag.club_for(lie, float(length))) for length in each], dtype=np.int64)
    numbers: Ints = rows[which]
    return numbers
