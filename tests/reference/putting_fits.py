"""Fits of the make model to counts of putts holed by distance, as the published studies made them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy import optimize

from golfstats.calc.putting.make_model import log_make_and_miss
from golfstats.calc.record import Floats


@dataclass(frozen=True)
class PuttCounts:
    """Putts tried and holed from each distance (equally long columns)."""

    feet: Floats
    tries: Floats
    makes: Floats


@dataclass(frozen=True)
class MakeFit:
    """Fitted spreads with standard errors: direction in radians, distance as a fraction of the roll."""

    direction_sd: float
    direction_se: float
    distance_sd: float
    distance_se: float
    extra_sd: float
    """Spread of the observed share around the model beyond sampling; 0 where the fit has none."""


def fit_angle(counts: PuttCounts) -> MakeFit:
    """The model with the angle alone, by maximum likelihood of the binomial counts."""

    def loss(log_spread: Floats) -> float:
        log_make, log_miss = log_make_and_miss(counts.feet, np.exp(log_spread[0]), 0.0)
        return -float(np.sum(counts.makes * log_make + (counts.tries - counts.makes) * log_miss))

    spread, standard_error = _minimise(loss, np.log([0.025]))
    return MakeFit(float(spread[0]), float(standard_error[0]), 0.0, 0.0, 0.0)


def fit_angle_and_distance(counts: PuttCounts) -> MakeFit:
    """Both spreads from large counts, where no smooth curve fits within the sampling error alone.

    The observed share is normal around the model with variance p (1 - p) / n + extra_sd^2 (Gelman
    2019, last model of the case study; his half-normal(0, 1) priors are too wide to matter and are
    left out), by maximum likelihood.
    """
    share = counts.makes / counts.tries

    def loss(log_parameters: Floats) -> float:
        direction_sd, distance_sd, extra_sd = np.exp(log_parameters)
        log_make, log_miss = log_make_and_miss(counts.feet, direction_sd, distance_sd)
        variance = np.exp(log_make + log_miss) / counts.tries + extra_sd**2
        return float(np.sum((share - np.exp(log_make)) ** 2 / variance + np.log(variance))) / 2

    (direction_sd, distance_sd, extra_sd), errors = _minimise(loss, np.log([0.02, 0.1, 0.005]))
    return MakeFit(
        float(direction_sd), float(errors[0]), float(distance_sd), float(errors[1]), float(extra_sd)
    )


def _minimise(loss: Callable[[Floats], float], start: Floats) -> tuple[Floats, Floats]:
    """Parameters (not their logarithms) at the minimum of a negative log-likelihood, and standard errors."""
    found = optimize.minimize(
        loss, start, method="Nelder-Mead", options={"xatol": 1e-8, "fatol": 1e-9, "maxiter": 4000}
    )
    if not found.success:
        raise RuntimeError(f"the putting fit did not converge: {found.message}")
    value = np.exp(found.x)
    return value, value * np.sqrt(np.diag(np.linalg.inv(_hessian(loss, found.x))))


def _hessian(function: Callable[[Floats], float], at: Floats, step: float = 1e-3) -> Floats:
    """Second derivatives by central differences."""
    moves = step * np.eye(len(at))
    return np.array(
        [
            [
                (
                    function(at + one + two)
                    - function(at + one - two)
                    - function(at - one + two)
                    + function(at - one - two)
                )
                / (4 * step**2)
                for two in moves
            ]
            for one in moves
        ]
    )
