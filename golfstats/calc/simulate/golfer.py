"""An invented golfer: how far he hits the ball and how widely his shots scatter.

Assumptions:

- Everything follows from the handicap, along smooth curves between the anchors of ``CURVES``. The shapes lean on
  published figures: drives of about 250 yards for handicaps 0–9 (press, 2008, quoting 43,000 amateur shots),
  a direction error of drives of 3.4 degrees on tour (Broadie 2014, as quoted) and about 6.5 for a
  90-golfer (from memory); putting direction 0.018 rad and distance 8% on tour (Gelman 2019), distance
  10.6% for handicaps around 3 (Karlsen and Nilsson 2008). The rest is common practice, no source.
- ``SCATTER`` then multiplies all spreads off the green. It was fitted by trial so that the mean score on the
  calibration course is par + 2.4 + 1.04 × handicap: the average score sits above the handicap because the
  handicap counts the better rounds (common practice, no source). Over 10,000 rounds each, handicaps 0 to
  30 come within 0.2 strokes of it, with standard deviations from 2.8 to 4.9. Of the strokes that a
  10-handicap golfer loses to the professional table, 28% are lost from the tee, 36% by approaches, 21% in
  the short game and 15% by putting.
- Errors are shares of the shot's length and degrees, so long shots miss by more yards.
- Now and then a shot is mis-hit, more often at high handicaps; this gives the heavy tails that shot
  errors have (Ko 2012, Columbia thesis, abstract).
- Women of a handicap have the same angles and shares and a shorter reach (``reach`` below 1).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from golfstats.calc.record import Floats
from golfstats.calc.vocabulary import Part

CLUBS = (
    ("driver", 1.00),
    ("3-wood", 0.92),
    ("5-wood", 0.86),
    ("4-hybrid", 0.80),
    ("5-iron", 0.74),
    ("6-iron", 0.69),
    ("7-iron", 0.64),
    ("8-iron", 0.59),
    ("9-iron", 0.54),
    ("pitching-wedge", 0.49),
    ("gap-wedge", 0.44),
    ("sand-wedge", 0.38),
    ("lob-wedge", 0.32),
    ("putter", 0.0),
)
"""The bag, longest first, with each club's full length as a share of the drive. The position is the club's number."""

DRIVER, SAND_WEDGE, PUTTER = 0, 11, 13
LONGEST_FROM_FAIRWAY, LONGEST_FROM_ROUGH, LONGEST_FROM_SAND = 1, 3, 6

ANCHORS = np.array([-2.0, 0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 36.0])
"""Handicaps at which the curves are given; −2 is a +2 golfer."""

CURVES = {
    "drive": np.array([268.0, 262.0, 249.0, 237.0, 225.0, 211.0, 197.0, 184.0, 170.0]),
    "direction_sd": np.array([3.5, 3.8, 4.6, 5.3, 5.9, 6.4, 6.8, 7.2, 7.8]),
    "distance_sd": np.array([0.044, 0.047, 0.056, 0.065, 0.073, 0.081, 0.088, 0.095, 0.103]),
    "mishit": np.array([0.008, 0.012, 0.030, 0.048, 0.060, 0.068, 0.074, 0.079, 0.092]),
    "short_direction_sd": np.array([3.6, 3.9, 4.8, 5.6, 6.3, 6.9, 7.5, 8.0, 8.6]),
    "short_distance_sd": np.array([0.120, 0.130, 0.158, 0.184, 0.208, 0.234, 0.260, 0.285, 0.315]),
    "short_mishit": np.array([0.012, 0.016, 0.036, 0.058, 0.073, 0.084, 0.094, 0.102, 0.118]),
    "putting_direction_sd": np.array(
        [0.0180, 0.0186, 0.0205, 0.0221, 0.0234, 0.0247, 0.0259, 0.0271, 0.0286]
    ),
    "putting_distance_sd": np.array([0.082, 0.086, 0.098, 0.106, 0.113, 0.121, 0.129, 0.137, 0.147]),
}
"""Value at each anchor: yards, degrees, share of the length, chance; putting in radians and share of the roll."""

SCATTER = np.array([1.154, 1.160, 1.130, 1.115, 1.102, 1.077, 1.060, 1.054, 1.036])
"""The calibration: factor on the spreads off the green at each anchor."""

PERSONAL_SD = 0.08
"""Standard deviation of the logarithm of one golfer's personal factors, when he is given any."""


@dataclass(frozen=True)
class Spot:
    """A place in the game: tee shots on par 4 and 5, putts, or other shots from ``low`` to ``high`` yards.

    Approach and short game differ only in the distances they cover by default.
    """

    part: Part
    low: float
    high: float


def spot(part: str, low: float | None = None, high: float | None = None) -> Spot:
    """The spot named by a part of the game, or a band of distances (yards) within shots of that sort."""
    start, end = {"approach": (100.0, np.inf), "short_game": (0.0, 100.0)}.get(part, (0.0, np.inf))
    return Spot(Part.of(part), start if low is None else low, end if high is None else high)


@dataclass(frozen=True)
class Golfer:
    """What decides an invented golfer's shots. Distances are yards, directions degrees unless said."""

    handicap: float
    """Below zero for a plus golfer."""
    drive: float
    """Mean length of a good drive."""
    direction_sd: float
    distance_sd: float
    """Share of the length of a full swing."""
    mishit: float
    """Chance of a topped, fat or wild full swing."""
    short_direction_sd: float
    short_distance_sd: float
    short_mishit: float
    putting_direction_sd: float
    """Radians."""
    putting_distance_sd: float
    """Share of the roll."""
    under_read: float = 0.25
    """How far the reads of breaking putts lie below the true break, in units of ``putting_direction_sd``."""
    weak_spots: tuple[tuple[Spot, float], ...] = ()
    """Planted strengths and weaknesses: factor on both spreads of the shots in the spot."""

    def club_lengths(self) -> dict[str, float]:
        """Full length of every club in the bag, yards."""
        return {name: share * self.drive for name, share in CLUBS}


def golfer_of_handicap(handicap: float, rng: np.random.Generator | None = None, reach: float = 1.0) -> Golfer:
    """The typical golfer of this handicap (−2 to 36), or one with personal ups and downs if ``rng`` is given.

    ``reach`` multiplies the length of his shots. Personal factors keep their geometric mean near
    one, so the handicap stays about right. ``ValueError`` outside the range.
    """
    if not ANCHORS[0] <= handicap <= ANCHORS[-1]:
        raise ValueError(f"the simulator knows golfers from +2 to 36, not {handicap}")
    value = {name: float(np.interp(handicap, ANCHORS, curve)) for name, curve in CURVES.items()}
    scatter = float(np.interp(handicap, ANCHORS, SCATTER))
    long_game, short_game, putting = np.ones(3) if rng is None else _personal_factors(rng)
    return Golfer(
        handicap=handicap,
        drive=value["drive"] * reach,
        direction_sd=value["direction_sd"] * scatter * long_game,
        distance_sd=value["distance_sd"] * scatter * long_game,
        mishit=value["mishit"] * scatter,
        short_direction_sd=value["short_direction_sd"] * scatter * short_game,
        short_distance_sd=value["short_distance_sd"] * scatter * short_game,
        short_mishit=value["short_mishit"] * scatter,
        putting_direction_sd=value["putting_direction_sd"] * putting,
        putting_distance_sd=value["putting_distance_sd"] * putting,
    )


def _personal_factors(rng: np.random.Generator) -> Floats:
    logs = PERSONAL_SD * rng.standard_normal(3)
    factors: Floats = np.exp(logs - logs.mean())
    return factors


def weaken(
    golfer: Golfer, part: str, factor: float, low: float | None = None, high: float | None = None
) -> Golfer:
    """The golfer with his spreads multiplied by ``factor`` in one spot; below 1 makes him stronger there.

    ``part`` is a word of :class:`~golfstats.calc.vocabulary.Part`; ``low`` and ``high`` are yards.
    """
    return replace(golfer, weak_spots=(*golfer.weak_spots, (spot(part, low, high), factor)))
