"""Penalised likelihood of binned putts: what the spreads of the players are, and how they grow with disturbance.

A player's direction spread on a green with disturbance d is his own times (1 + e_direction d), his distance
spread his own times (1 + e_distance d). Putts drop by the make model; misses leave log(1 + feet) with the mean
that the two spreads give. Beside the players (normal around the club's mean: partial pooling) there are club-wide
corrections by distance, so that nothing rests on the exact shape of either curve, and a slope on green speed where
it was measured. Fitted by Fisher scoring.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import linalg, sparse, special

from golfstats.calc.greens.leave_moments import leave_moments
from golfstats.calc.greens.putts import EDGES_FT, PuttBins, PuttSums
from golfstats.calc.putting.make_model import OVERSHOT_FT, TOLERANCE_FT, capture_angle
from golfstats.calc.record import Floats, Ints

LAPSE = 0.002
"""Share of putts missed whatever the spreads, so that one missed tap-in does not rule a player's figures."""
START_LOG_SPREADS = np.log([0.027, 0.13])
"""A club golfer's spreads (radians; share of the roll), where the fit starts."""
CLUB_SD, DISTANCE_SD, LEAVE_SD, SPEED_SD = 0.7, 0.15, 0.15, 0.1
"""Prior spreads: club means (log), corrections by distance (log spread; log(1 + ft)), slope per foot of speed."""
EFFECT_SD_WHILE_FITTING = 1.0
"""Loose prior on the effects that keeps the fit steady; taken out of the result."""
SMALLEST_EFFECT, LARGEST_EFFECT = -0.7, 4.0
MOST_STEPS, LONGEST_STEP = 40, 0.5
CLOSE_ENOUGH = 1e-2
"""The fit stops when another step promises a smaller gain of log likelihood."""
USUAL_SPEED_FT = 9.0
"""Stimpmeter speed where none was measured (common practice, no source)."""
SAME_SURFACE = 0.02
"""Disturbances within one step of this size are not told apart; undisturbed greens are."""


@dataclass(frozen=True)
class Mode:
    """The best fit at one disturbance profile, and the curvature there."""

    parameters: Floats
    effects: Floats
    """Growth of the direction and of the distance spread at full disturbance."""
    information: Floats
    """Negative second derivatives, parameters first and the two effects last."""
    effect_precision: Floats
    """2 × 2 for the effects, the other parameters integrated out, without the loose prior."""
    log_evidence: float
    """Log likelihood at the mode with the other parameters integrated out (Laplace), up to a constant."""


@dataclass(frozen=True)
class Terms:
    """One kind of observation (makes, or leaves) by row of the sums."""

    score: Floats
    """Derivative of the log likelihood by the row's predictor."""
    weight: Floats
    """Its Fisher information."""
    by_direction: Floats
    """Derivative of the predictor by the logarithm of the direction spread."""
    by_distance: Floats


def one_surface_one_condition(bins: PuttBins, weight: Floats, recovery_scales: Floats) -> PuttSums:
    """Sums over conditions of the same surface and speed, each condition times its weight.

    Surfaces are the same where their disturbance agrees to 0.02 at every recovery scale that will be tried.
    The condition of a row is one that stands for all of its surface.
    """
    conditions = bins.conditions
    profile = np.column_stack([conditions.disturbance(scale) for scale in recovery_scales.tolist()])
    surface = np.column_stack([np.ceil(profile / SAME_SURFACE), np.nan_to_num(conditions.speed_ft, nan=-1.0)])
    _, stand_in, group = np.unique(surface, axis=0, return_index=True, return_inverse=True)
    of = bins.sums.condition
    return bins.sums.grouped(stand_in[group.ravel()[of]], weight[of])


class PuttLikelihood:
    """The likelihood of given sums.

    Parameters in order: the club's two log spreads; the players' deviations of direction, then of distance;
    corrections by distance of the direction spread, then of the leave; slopes on speed of the two spreads.
    ``player_sd`` holds the standard deviations of the players' deviations.
    """

    def __init__(self, sums: PuttSums, bins: PuttBins, player_sd: tuple[float, float]) -> None:
        self.sums = sums
        self.players = bins.players
        distances = len(EDGES_FT) - 1
        speed = np.nan_to_num(bins.conditions.speed_ft[sums.condition] - USUAL_SPEED_FT)
        ones = np.ones(len(sums))
        player, place = 2 + sums.player, 2 + 2 * bins.players + sums.distance_bin
        size = 2 + 2 * bins.players + 2 * distances + 2
        self.to_direction = _design(size, (0, ones), (player, ones), (place, ones), (size - 2, speed))
        self.to_distance = _design(size, (1, ones), (player + bins.players, ones), (size - 1, speed))
        self.to_leave = _design(size, (place + distances, ones))
        self.prior_mean = np.zeros(size)
        self.prior_mean[:2] = START_LOG_SPREADS
        self.prior_precision = (
            np.repeat(
                [CLUB_SD, player_sd[0], player_sd[1], DISTANCE_SD, LEAVE_SD, SPEED_SD],
                [2, bins.players, bins.players, distances, distances, 2],
            )
            ** -2.0
        )
        spreads = self._log_spreads(self.prior_mean, np.zeros(2), np.zeros(len(sums)))
        self.leave_variance = leave_moments(sums.log_distance, *spreads).variance

    def set_leave_variance(self, parameters: Floats, effects: Floats, disturbance: Floats) -> None:
        """Take the variance of single leaves from the model at this fit, times the overdispersion seen.

        It is then held, so that fits at different disturbance profiles share one likelihood.
        """
        sums = self.sums
        moments = leave_moments(sums.log_distance, *self._log_spreads(parameters, effects, disturbance))
        mean = moments.mean + self.to_leave @ parameters
        squares = sums.leave_squares - 2 * mean * sums.leave_sum + sums.leaves * mean**2
        over = float(np.sum(squares / moments.variance) / max(float(np.sum(sums.leaves)), 1.0))
        self.leave_variance = moments.variance * max(over, 0.05)

    def fit(self, disturbance: Floats, start: Floats, effects: Floats, *, with_effects: bool) -> Mode:
        """Fisher scoring from a start; ``disturbance`` by row. Without effects they are held at zero."""
        parameters = start.copy()
        effects = effects.copy() if with_effects else np.zeros(2)
        free = len(start) + 2 if with_effects else len(start)
        for _ in range(MOST_STEPS):
            value, gradient, information = self._expand(parameters, effects, disturbance)
            step = linalg.solve(information[:free, :free], gradient[:free], assume_a="pos")
            step *= min(1.0, LONGEST_STEP / max(float(np.max(np.abs(step))), 1e-12))
            parameters = parameters + step[: len(start)]
            if with_effects:
                effects = np.clip(effects + step[len(start) :], SMALLEST_EFFECT, LARGEST_EFFECT)
            gain = float(gradient[:free] @ step)
            if gain < CLOSE_ENOUGH:
                break
        return _mode(value + gain / 2, parameters, effects, information)

    def player_spreads(self, mode: Mode) -> tuple[float, float]:
        """Standard deviations of the players' deviations, by one step of expectation-maximisation."""
        variance = np.diag(linalg.inv(mode.information))[: len(mode.parameters)]
        squares = (mode.parameters**2 + variance)[2 : 2 + 2 * self.players].reshape(2, self.players)
        direction, distance = np.maximum(np.sqrt(squares.mean(axis=1)), 0.02).tolist()
        return direction, distance

    def spread_score(self, mode: Mode, disturbance: Floats) -> tuple[Floats, Floats]:
        """Score and information, by row, of a change of both log spreads alike."""
        _, kinds = self._terms(mode.parameters, mode.effects, disturbance)
        slopes = [terms.by_direction + terms.by_distance for terms in kinds]
        score = sum(
            (t.score * slope for t, slope in zip(kinds, slopes, strict=True)), np.zeros(len(self.sums))
        )
        information = sum(
            (t.weight * slope**2 for t, slope in zip(kinds, slopes, strict=True)), np.zeros(len(self.sums))
        )
        return score, information

    def _log_spreads(self, parameters: Floats, effects: Floats, disturbance: Floats) -> tuple[Floats, Floats]:
        return (
            self.to_direction @ parameters + np.log1p(effects[0] * disturbance),
            self.to_distance @ parameters + np.log1p(effects[1] * disturbance),
        )

    def _terms(
        self, parameters: Floats, effects: Floats, disturbance: Floats
    ) -> tuple[float, tuple[Terms, Terms]]:
        """Log likelihood, and its parts for makes (predictor: log chance) and leaves (predictor: the mean)."""
        sums = self.sums
        direction, pace = self._log_spreads(parameters, effects, disturbance)
        chance, by_direction, by_distance = make_and_slopes(np.exp(sums.log_distance), direction, pace)
        make = (1 - LAPSE) * chance
        miss = 1 - make
        moments = leave_moments(sums.log_distance, direction, pace)
        surplus = sums.leave_sum - sums.leaves * (moments.mean + self.to_leave @ parameters)
        squares = np.divide(surplus**2, sums.leaves, out=np.zeros_like(surplus), where=sums.leaves > 0)
        log_likelihood = float(
            np.sum(sums.makes * np.log(make) + (sums.tries - sums.makes) * np.log(miss))
            - 0.5 * np.sum(squares / self.leave_variance)
        )
        makes = Terms(
            (sums.makes - sums.tries * make) / miss, sums.tries * make / miss, by_direction, by_distance
        )
        leaves = Terms(
            surplus / self.leave_variance,
            sums.leaves / self.leave_variance,
            moments.by_direction,
            moments.by_distance,
        )
        return log_likelihood, (makes, leaves)

    def _expand(
        self, parameters: Floats, effects: Floats, disturbance: Floats
    ) -> tuple[float, Floats, Floats]:
        """Penalised log likelihood, its gradient and its expected information; effects come last."""
        value, (makes, leaves) = self._terms(parameters, effects, disturbance)
        growth = disturbance[:, None] / (1 + effects * disturbance[:, None])
        size = len(parameters)
        gradient, information = np.zeros(size + 2), np.zeros((size + 2, size + 2))
        for terms, extra in ((makes, None), (leaves, self.to_leave)):
            steady = _rows_times(terms.by_direction, self.to_direction)
            steady = steady + _rows_times(terms.by_distance, self.to_distance)
            steady = steady if extra is None else steady + extra
            moving = np.stack([terms.by_direction, terms.by_distance], axis=1) * growth
            weighted = terms.weight[:, None] * moving
            cross = steady.T @ weighted
            information[:size, :size] += (steady.T @ _rows_times(terms.weight, steady)).toarray()
            information[:size, size:] += cross
            information[size:, :size] += cross.T
            information[size:, size:] += moving.T @ weighted
            gradient[:size] += steady.T @ terms.score
            gradient[size:] += moving.T @ terms.score
        away = np.concatenate([parameters - self.prior_mean, effects])
        precision = np.append(self.prior_precision, np.full(2, EFFECT_SD_WHILE_FITTING**-2))
        gradient -= precision * away
        information[np.diag_indices(size + 2)] += precision
        return value - 0.5 * float(np.sum((precision * away**2)[:size])), gradient, information


def make_and_slopes(
    distance_ft: Floats, log_direction_sd: Floats, log_distance_sd: Floats
) -> tuple[Floats, Floats, Floats]:
    """Chance to hole by the make model, and the slopes of its logarithm by the logarithms of the spreads.

    The make model's own function guards the last digits of a sure putt; behind the lapse they do not matter,
    and one pass for chance and slopes halves the time of a fit.
    """
    sideways = capture_angle(distance_ft) * np.exp(-log_direction_sd)
    per_foot = np.exp(-log_distance_sd) / (distance_ft + OVERSHOT_FT)
    long, short = (TOLERANCE_FT - OVERSHOT_FT) * per_foot, OVERSHOT_FT * per_foot
    on_line = special.erf(sideways / np.sqrt(2))
    right_length = special.ndtr(long) - special.ndtr(-short)
    by_direction = -2 * sideways * _normal_density(sideways) / on_line
    by_distance = -(long * _normal_density(long) + short * _normal_density(short)) / right_length
    return on_line * right_length, by_direction, by_distance


def _normal_density(z: Floats) -> Floats:
    density: Floats = np.exp(-0.5 * z * z) / np.sqrt(2 * np.pi)
    return density


def _design(size: int, *parts: tuple[Ints | int, Floats]) -> sparse.csr_array:
    """Sparse design matrix: for every row these columns hold these values."""
    rows = len(parts[0][1])
    columns = np.concatenate([np.broadcast_to(column, rows) for column, _ in parts])
    values = np.concatenate([value for _, value in parts])
    return sparse.csr_array((values, (np.tile(np.arange(rows), len(parts)), columns)), shape=(rows, size))


def _rows_times(weight: Floats, matrix: sparse.csr_array) -> sparse.csr_array:
    """Each row of a sparse matrix times its weight."""
    scaled = matrix.copy()
    scaled.data = matrix.data * np.repeat(weight, np.diff(matrix.indptr))
    return scaled


def _mode(value: float, parameters: Floats, effects: Floats, information: Floats) -> Mode:
    size = len(parameters)
    factor = linalg.cho_factor(information[:size, :size], lower=True)
    log_determinant = 2 * float(np.sum(np.log(np.diag(factor[0]))))
    cross = information[:size, size:]
    precision = information[size:, size:] - cross.T @ linalg.cho_solve(factor, cross)
    precision = precision - np.eye(2) / EFFECT_SD_WHILE_FITTING**2
    return Mode(parameters, effects, information, precision, value - 0.5 * log_determinant)
