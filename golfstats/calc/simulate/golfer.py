"""An invented golfer: how far the ball is hit and how widely shots scatter.

Assumptions:

- Everything follows from the handicap, along smooth curves between the anchors of ``CURVES``. The shapes lean on
  published figures: men's drives a little longer than the R&A and the USGA measured in 2018 with whatever club (240
  yards below handicap 6, 220 at 6–12, 204 at 13–20, 187 above; as told by the golf press), a direction error of drives
  of 3.4 degrees on tour (Broadie 2014, as quoted) and about 6.5 for a 90-golfer (from memory); putting direction 0.018
  rad and distance 8% on tour (Gelman 2019), distance 10.6% for handicaps around 3 (Karlsen and Nilsson 2008). The rest
  is common practice, no source.
- ``SCATTER`` then multiplies all spreads off the green. It was fitted by trial so that the mean score on the
  calibration course, from the tees of the golfer's gender, is par + 2.4 + 1.04 × handicap (the simplified expected
  score of the German and Danish golf unions): the average score sits above the handicap because the
  handicap counts the better rounds. So the golfers of either gender neither gain nor lose against
  the benchmark golfer of their own handicap and gender.
- How much of the score is scatter and how much is length was fitted as well, so that the index that comes of a golfer's
  own rounds is the handicap they were made for: mis-hits, penalties and days of form are so few that the mean lies
  2.4 + 0.04 × handicap above the best 8 of 20. That expected score allows no more scatter than 3 strokes a round at a
  middle handicap; golfers may well scatter more (no published figure was found).
- Amateurs come up short: full swings from the ground lose ``short_by`` of their length, 5% for a 90-golfer, for whom
  13 of 150 yards were published (Broadie 2014, as quoted): mis-hits do the rest.
- Errors are shares of the shot's length and degrees, so long shots miss by more yards.
- Now and then a shot is mis-hit, more often at high handicaps; this gives the heavy tails that shot
  errors have (Ko 2012, Columbia thesis, abstract).
- Women of a handicap have a man's angles and shares but for their own ``SCATTER`` (no published spread of women's
  shots was found) and less reach: 0.83 of a man's at scratch and 0.76 for a bogey golfer, after the rating system's
  model golfers (210 of 250 yards, 150 of 200) and women's and men's drives measured by the R&A and the USGA in 2018
  (0.82 below handicap 6, 0.74 at 21–28; as told by the golf press).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from golfstats.calc.record import Floats
from golfstats.calc.strokes.reference_course import Gender
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
    "drive": np.array([262.0, 254.0, 237.0, 219.0, 206.0, 197.0, 187.5, 177.0, 167.0]),
    "direction_sd": np.array([3.5, 3.8, 4.6, 5.3, 5.9, 6.4, 6.8, 7.2, 7.8]),
    "distance_sd": np.array([0.044, 0.047, 0.056, 0.065, 0.073, 0.081, 0.088, 0.095, 0.103]),
    "short_by": np.array([0.0, 0.0, 0.01, 0.018, 0.035, 0.055, 0.09, 0.12, 0.145]),
    "mishit": np.array([0.002, 0.002, 0.005, 0.009, 0.011, 0.012, 0.013, 0.014, 0.016]),
    "short_direction_sd": np.array([4.0, 4.3, 5.5, 7.1, 8.1, 8.9, 8.6, 8.8, 9.9]),
    "short_distance_sd": np.array([0.132, 0.143, 0.181, 0.231, 0.268, 0.304, 0.299, 0.314, 0.362]),
    "short_mishit": np.array([0.002, 0.004, 0.007, 0.013, 0.017, 0.018, 0.019, 0.020, 0.024]),
    "putting_direction_sd": np.array(
        [0.0180, 0.0186, 0.0205, 0.0221, 0.0234, 0.0247, 0.0259, 0.0271, 0.0286]
    ),
    "putting_distance_sd": np.array([0.082, 0.086, 0.098, 0.106, 0.113, 0.121, 0.129, 0.137, 0.147]),
}
"""Value at each anchor: yards, degrees, share of the length, chance; putting in radians and share of the roll."""

SCATTER: Mapping[Gender, Floats] = MappingProxyType(
    {
        "men": np.array([1.062, 1.110, 1.068, 0.981, 0.940, 0.938, 0.987, 0.996, 0.947]),
        "women": np.array([1.199, 1.224, 1.162, 0.978, 0.890, 0.867, 0.956, 0.944, 0.862]),
    }
)
"""The calibration: factor on the spreads off the green at each anchor."""

WOMENS_REACH = np.array([0.836, 0.830, 0.816, 0.802, 0.788, 0.774, 0.760, 0.760, 0.760])
"""Length of a woman's shots as a share of a man's of the same handicap, at each anchor."""

PERSONAL_SD = 0.08
"""Standard deviation of the logarithm of one golfer's personal factors, when there are any."""


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
    short_by: float
    """Share of the length by which full swings from the ground finish short on average."""
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


def golfer_of_handicap(
    handicap: float, rng: np.random.Generator | None = None, gender: Gender = "men"
) -> Golfer:
    """The typical golfer of this handicap (−2 to 36), or one with personal ups and downs if ``rng`` is given.

    Personal factors keep their geometric mean near one, so the handicap stays about right. ``ValueError``
    outside the range.
    """
    if not ANCHORS[0] <= handicap <= ANCHORS[-1]:
        raise ValueError(f"the simulator knows golfers from +2 to 36, not {handicap}")
    value = {name: float(np.interp(handicap, ANCHORS, curve)) for name, curve in CURVES.items()}
    scatter = float(np.interp(handicap, ANCHORS, SCATTER[gender]))
    reach = float(np.interp(handicap, ANCHORS, WOMENS_REACH)) if gender == "women" else 1.0
    long_game, short_game, putting = np.ones(3) if rng is None else _personal_factors(rng)
    return Golfer(
        handicap=handicap,
        drive=value["drive"] * reach,
        direction_sd=value["direction_sd"] * scatter * long_game,
        distance_sd=value["distance_sd"] * scatter * long_game,
        short_by=value["short_by"],
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
