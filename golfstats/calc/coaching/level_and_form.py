"""Kalman filter and smoother of a level, form that passes, and noise, on irregular dates.

    value_i = level_i + form_i + covariates_i · effects + noise_i
    level walks:        variance s² · drift · days between
    form comes and goes: variance s² · share, correlation exp(-days / memory)
    noise_i:            variance s² · (1 - share) / weight_i

Form is what makes neighbouring rounds alike without the player being any better (a first-order autoregressive
process that accepts irregular dates). All variances are in units of ``s²``, the variance of a round about
its level, which drops out of the recursions and is estimated from the innovations. Everything runs over a grid of
settings at once, so that drift, share and memory can be integrated out; covariates run along as further columns
of values, so that their effects come by least squares on innovations. The first observation starts the level
(exact diffuse start). Durbin and Koopman, Time Series Analysis by State Space Methods, 2nd ed. 2012, chapters 4 to
6 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from golfstats.calc.record import Floats


@dataclass(frozen=True)
class Settings:
    """Equally long columns: one setting of the model an element, with the logarithm of its prior weight."""

    drift: Floats
    """Variance that the level gains in a day."""
    share: Floats
    """Share of a round's variance that is form, above 0."""
    memory: Floats
    """Days in which form loses all but 1/e of itself."""
    log_prior: Floats

    def __len__(self) -> int:
        return len(self.drift)


@dataclass(frozen=True)
class Filtered:
    """Arrays over (rows, settings, …). A row of weight 0 is a date without an observation."""

    settings: Settings
    state: Floats
    """Level and form given the rows so far; shape (rows, settings, 2, columns)."""
    variance: Floats
    """Shape (rows, settings, 2, 2)."""
    predicted_variance: Floats
    kept: Floats
    """How much of level and form is kept from the row before; shape (rows, settings, 2)."""
    innovation: Floats
    """Shape (rows, settings, columns)."""
    innovation_variance: Floats
    """Infinite at the first row and at rows of weight 0, which say nothing about the fit; (rows, settings)."""

    def standardised(self) -> Floats:
        """Innovations of unit variance; shape (settings, rows, columns)."""
        scaled: Floats = self.innovation / np.sqrt(self.innovation_variance)[..., None]
        return np.swapaxes(scaled, 0, 1)

    def log_variances(self) -> Floats:
        """Sum over observed rows of the logarithm of the innovation's variance; shape (settings,)."""
        observed = np.isfinite(self.innovation_variance[:, 0])
        total: Floats = np.sum(np.log(self.innovation_variance[observed]), axis=0)
        return total


@dataclass(frozen=True)
class Smoothed:
    """Level given all rows: shape (rows, settings, columns) and (rows, settings)."""

    level: Floats
    variance: Floats
    gain: Floats
    """How a change of the next row's state carries back to this row's; (rows - 1, settings, 2, 2)."""
    state_variance: Floats

    def covariance(self, earlier: int, later: int) -> Floats:
        """Joint covariance of the levels at two rows given all observations; shape (settings,)."""
        carried = np.zeros_like(self.state_variance[later][:, 0, :])
        carried[:, 0] = 1.0
        for row in range(earlier, later):
            carried = np.einsum("gi,gij->gj", carried, self.gain[row])
        covariance: Floats = np.einsum("gi,gi->g", carried, self.state_variance[later][:, :, 0])
        return covariance


def filter_series(day: Floats, columns: Floats, weight: Floats, settings: Settings) -> Filtered:
    """Kalman filter. ``day`` ascends, ``weight`` >= 0 and the first one > 0; ``columns`` is rows × columns."""
    rows, count = columns.shape
    grid = len(settings)
    state = np.zeros((rows, grid, 2, count))
    variance = np.empty((rows, grid, 2, 2))
    predicted = np.empty((rows, grid, 2, 2))
    kept = np.ones((rows, grid, 2))
    innovation = np.zeros((rows, grid, count))
    innovation_variance = np.full((rows, grid), np.inf)
    noise = 1 - settings.share
    state[0, :, 0] = columns[0]
    start = np.stack(
        [settings.share + noise / weight[0], -settings.share, -settings.share, settings.share], -1
    )
    variance[0] = predicted[0] = start.reshape(grid, 2, 2)
    for row in range(1, rows):
        days = day[row] - day[row - 1]
        kept[row, :, 1] = np.exp(-days / settings.memory)
        keeps = kept[row]
        ahead = variance[row - 1] * keeps[:, :, None] * keeps[:, None, :]
        ahead[:, 0, 0] += settings.drift * days
        ahead[:, 1, 1] += settings.share * (1 - keeps[:, 1] ** 2)
        mean = state[row - 1] * keeps[:, :, None]
        predicted[row] = ahead
        if weight[row] > 0:
            towards = ahead[:, :, 0] + ahead[:, :, 1]
            innovation_variance[row] = towards[:, 0] + towards[:, 1] + noise / weight[row]
            innovation[row] = columns[row] - mean[:, 0] - mean[:, 1]
            gain = towards / innovation_variance[row][:, None]
            mean = mean + gain[:, :, None] * innovation[row][:, None, :]
            ahead = ahead - gain[:, :, None] * towards[:, None, :]
        state[row], variance[row] = mean, ahead
    return Filtered(settings, state, variance, predicted, kept, innovation, innovation_variance)


def smooth(filtered: Filtered) -> Smoothed:
    """Fixed-interval smoother (Rauch, Tung and Striebel 1965)."""
    state, variance = filtered.state.copy(), filtered.variance.copy()
    kept = filtered.kept[1:]
    crossed = filtered.variance[:-1] * kept[:, :, None, :]
    gain = crossed @ _inverse(filtered.predicted_variance[1:])
    for row in range(len(state) - 2, -1, -1):
        surprise = state[row + 1] - filtered.state[row] * kept[row][:, :, None]
        state[row] += gain[row] @ surprise
        more = variance[row + 1] - filtered.predicted_variance[row + 1]
        variance[row] += gain[row] @ more @ np.swapaxes(gain[row], 1, 2)
    return Smoothed(state[:, :, 0], variance[:, :, 0, 0], gain, variance)


def step_scores(filtered: Filtered, innovation: Floats) -> tuple[Floats, Floats]:
    """Score and information of a step of the level that begins at each row; shape (rows, settings).

    ``innovation`` (rows, settings) are those of the values less the covariates' effects. The best step is
    score / information, and it lowers the sum of squared standardised innovations by score² / information: the
    auxiliary residuals of the state (Harvey and Koopman 1992; de Jong and Penzer 1998, from memory). The first
    row's are zero, a step there being the start itself.
    """
    rows, grid = innovation.shape
    score, information = np.zeros((rows, grid)), np.zeros((rows, grid))
    after, spread = np.zeros((grid, 2)), np.zeros((grid, 2, 2))
    for row in range(rows - 1, 0, -1):
        size = filtered.innovation_variance[row]
        ahead = filtered.predicted_variance[row]
        gain = (ahead[:, :, 0] + ahead[:, :, 1]) / size[:, None]
        left = np.eye(2) - gain[:, :, None]  # (I - gain [1, 1]): each column less the gain
        after = innovation[row][:, None] / size[:, None] + np.einsum("gij,gi->gj", left, after)
        spread = 1 / size[:, None, None] + np.swapaxes(left, 1, 2) @ spread @ left
        score[row], information[row] = after[:, 0], spread[:, 0, 0]
        keeps = filtered.kept[row]
        after = after * keeps
        spread = spread * keeps[:, :, None] * keeps[:, None, :]
    return score, information


def _inverse(matrices: Floats) -> Floats:
    """Of symmetric 2 × 2 matrices."""
    first, cross, second = matrices[..., 0, 0], matrices[..., 0, 1], matrices[..., 1, 1]
    swapped = np.stack([second, -cross, -cross, first], axis=-1).reshape(matrices.shape)
    inverse: Floats = swapped / (first * second - cross**2)[..., None, None]
    return inverse
