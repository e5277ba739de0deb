"""The chance to hole a putt from its distance: direction and length of the roll must both be right.

The ball starts within ``direction_sd`` radians of the right line and rolls ``distance_sd`` times the
intended length off it (both normal, independent). It drops if its line stays within
``HOLE_RADIUS_FT - BALL_RADIUS_FT`` of the centre and it would stop between the hole and
``TOLERANCE_FT`` past it; the intended stop is ``OVERSHOT_FT`` past the hole:

    P = [2 Phi(asin((R - r) / x) / direction_sd) - 1]
        x [Phi((tolerance - over) / ((x + over) distance_sd)) - Phi(-over / ((x + over) distance_sd))]

Source: Gelman, Model building and expansion for golf putting (Stan case study, 2019), after Gelman
and Nolan (2002) for the angle and Broadie (2018) for the length. ``distance_sd = 0`` is the model
with the angle alone.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from golfstats.calc.record import Floats

BALL_RADIUS_FT = 1.68 / 2 / 12
HOLE_RADIUS_FT = 4.25 / 2 / 12
"""Diameters of 1.68 and 4.25 inches by the Rules of Golf."""
OVERSHOT_FT = 1.0
TOLERANCE_FT = 3.0
"""Both as Gelman 2019 has them."""


def make_probability(distance_ft: ArrayLike, direction_sd: ArrayLike, distance_sd: ArrayLike) -> Floats:
    """Chance to hole from ``distance_ft``; the arguments broadcast against each other.

    ``direction_sd`` is in radians, ``distance_sd`` a fraction of the roll; zero means perfect.
    """
    log_make, _ = log_make_and_miss(distance_ft, direction_sd, distance_sd)
    return np.exp(log_make)


def log_make_and_miss(
    distance_ft: ArrayLike, direction_sd: ArrayLike, distance_sd: ArrayLike
) -> tuple[Floats, Floats]:
    """Natural logarithms of the chance to hole and of the chance to miss, broadcast.

    From a few inches the chance to miss is far below the smallest difference from 1 that a double
    can hold, so it is built from survival functions and never as 1 - P.
    """
    distance = np.asarray(distance_ft, dtype=np.float64)
    with np.errstate(divide="ignore", over="ignore"):  # with a spread of zero the edge is infinitely far
        sideways = capture_angle(distance) / np.asarray(direction_sd)
        roll_sd = (distance + OVERSHOT_FT) * np.asarray(distance_sd)
        too_long = (TOLERANCE_FT - OVERSHOT_FT) / roll_sd
        too_short = OVERSHOT_FT / roll_sd
    log_wide = np.log(2) + special.log_ndtr(-sideways)
    log_on_line = _log_complement(log_wide)
    with np.errstate(invalid="ignore"):  # a distance that is not known (NaN) stays so
        log_wrong_length = np.logaddexp(special.log_ndtr(-too_long), special.log_ndtr(-too_short))
        log_miss = np.logaddexp(log_wide, log_on_line + log_wrong_length)
    return log_on_line + _log_complement(log_wrong_length), log_miss


def capture_angle(distance_ft: ArrayLike) -> Floats:
    """Largest error of the starting line, in radians, with which the ball still meets the hole.

    A quarter turn within a ball's reach of the hole.
    """
    reach = HOLE_RADIUS_FT - BALL_RADIUS_FT
    return np.arcsin(reach / np.maximum(np.asarray(distance_ft, dtype=np.float64), reach))


def _log_complement(log_p: Floats) -> Floats:
    """log(1 - exp(log_p)) without loss near either end (Maechler 2012, log1mexp note, from memory)."""
    near_one = log_p > -np.log(2)
    return np.where(
        near_one,
        np.log(-np.expm1(np.where(near_one, log_p, -1.0))),
        np.log1p(-np.exp(np.where(near_one, -1.0, log_p))),
    )
