"""A player's shots before any was seen: from handicap and gender.

Lengths: mean drives of men at handicaps below 6, 6-12, 13-20 and above were 240, 220, 204 and 187 yards in about 2018,
of women 196, 178, 153 and 138, of women above 28 118 (surveys of the governing bodies, as quoted in the press); a
good strike goes about 6% farther than the mean of all. Women's spreads are men's angles and shares: no published
table for women was found, so this is an assumption. Spreads: drives of professionals stray 3.4 degrees (Broadie 2014,
as quoted), of a 90-golfer 6.5 (from memory); a 90-golfer's 150-yard shots spread by 4.8 degrees and 11%
(worked out from Broadie's column). Everything else is ours, set so that the best way round the reference course costs
what a golfer of the handicap needs there (tested).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np

from golfstats.calc.plan.shots.clubs import SHARES, clubs_in_bag
from golfstats.calc.plan.shots.pattern import Bag, ClubPattern
from golfstats.calc.record import Floats

Gender = Literal["men", "women"]

HANDICAPS = np.array([-6.0, -3.0, 0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 36.0, 54.0])
_DRIVE = {
    "men": np.array([290, 275, 265, 250, 236, 223, 210, 198, 186, 174, 150], dtype=float),
    "women": np.array([245, 230, 220, 205, 190, 172, 155, 145, 132, 120, 100], dtype=float),
}
_CURVES = {
    "across": np.radians([2.7, 2.9, 3.25, 3.75, 4.3, 4.9, 5.4, 5.9, 6.35, 6.9, 8.1]),
    "along": np.array([0.043, 0.047, 0.053, 0.064, 0.077, 0.091, 0.104, 0.115, 0.125, 0.136, 0.165]),
    "mishit": np.array([0.006, 0.010, 0.015, 0.030, 0.048, 0.063, 0.076, 0.087, 0.097, 0.109, 0.145]),
    "short_along": np.array([0.125, 0.145, 0.165, 0.20, 0.235, 0.27, 0.305, 0.34, 0.375, 0.415, 0.52]),
    "short_across": np.radians([3.0, 3.4, 4.0, 4.9, 5.8, 6.7, 7.6, 8.5, 9.3, 10.2, 12.5]),
    "short_mishit": np.array([0.012, 0.020, 0.032, 0.060, 0.095, 0.128, 0.16, 0.19, 0.22, 0.25, 0.34]),
}
"""Value at each handicap: radians, shares of the length, chances."""
_PUTTING = {
    "direction": np.array(
        [0.0172, 0.0175, 0.0184, 0.0206, 0.0228, 0.0249, 0.0270, 0.0290, 0.0310, 0.0334, 0.040]
    ),
    "distance": np.array([0.078, 0.080, 0.086, 0.095, 0.103, 0.111, 0.118, 0.125, 0.132, 0.140, 0.17]),
}
"""Spreads of putting before any putt was seen: radians and share of the roll. Professionals 0.0178 and 0.080
(Gelman 2019), handicaps about 3 10.6% (Karlsen and Nilsson 2008)."""


def usual_bag(handicap: float, gender: Gender = "men", clubs: Sequence[str] = ()) -> Bag:
    """The bag of the usual player of this handicap (+3 is -3), from -6 (a touring professional) to 54."""
    drive = _at(handicap, _DRIVE[gender])
    value = {name: _at(handicap, curve) for name, curve in _CURVES.items()}
    patterns = tuple(
        ClubPattern(
            name=name,
            length=SHARES[name] * drive,
            along=value["along"],
            # Shorter clubs start straighter than the driver.
            across=value["across"] * (0.75 + 0.25 * SHARES[name]),
        )
        for name in clubs_in_bag(clubs)
    )
    return Bag(patterns, value["mishit"], value["short_along"], value["short_across"], value["short_mishit"])


def usual_putting(handicap: float) -> tuple[float, float]:
    """Spread of direction (radians) and of distance (share of the roll) of the usual player of this handicap."""
    return _at(handicap, _PUTTING["direction"]), _at(handicap, _PUTTING["distance"])


def _at(handicap: float, curve: Floats) -> float:
    return float(np.interp(handicap, HANDICAPS, curve))
