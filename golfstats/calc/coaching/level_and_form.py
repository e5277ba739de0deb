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

from collections.abc import Sequence
from dataclasses import dataclass, replace

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


State = tuple[Floats, Floats]
"""Level and form given the rows so far, and their variance; (settings, 2, columns) and (settings, 2, 2)."""


@dataclass(frozen=True)
class Filtered:
    """Arrays over (rows, settings, …). A row of weight 0 is a date without an observation."""

    settings: Settings
    states: Floats
    """Level and form given the rows so far, of all columns that were filtered; (rows, settings, 2, columns)."""
    variance: Floats
    """Shape (rows, settings, 2, 2)."""
    predicted_variance: Floats
    kept: Floats
    """How much of level and form is kept from the row before; shape (rows, settings, 2)."""
    innovations: Floats
    """Of all columns; (rows, settings, columns)."""
    innovation_variance: Floats
    """Infinite at the first row and at rows of weight 0, which say nothing about the fit; (rows, settings)."""
    columns: Sequence[int]
    """Those that are looked at: taken out where they are asked for, as several figures share one filter."""

    def state(self, row: int) -> Floats:
        """Level and form given the rows up to this one; (settings, 2, columns)."""
        state: Floats = self.states[row][..., self.columns]
        return state

    def of_columns(self, columns: Sequence[int]) -> Filtered:
        """Some columns alone, as if they had been filtered alone."""
        return replace(self, columns=[self.columns[one] for one in columns])

    def standardised(self) -> Floats:
        """Innovations of unit variance; shape (settings, rows, columns)."""
        innovation = _of_columns(self.innovations, self.columns)
        scaled: Floats = innovation / np.sqrt(self.innovation_variance)[..., None]
        return np.swapaxes(scaled, 0, 1)

    def log_variances(self) -> Floats:
        """Sum over observed rows of the logarithm of the innovation's variance; shape (settings,)."""
        observed = np.isfinite(self.innovation_variance[:, 0])
        total: Floats = np.sum(np.log(self.innovation_variance[observed]), axis=0)
        return total


@dataclass(frozen=True)
class Smoothed:
    """Level given all rows. What is asked of some rows alone is worked out for these alone: a trend of years shows its
    last rounds.
    """

    filtered: Filtered
    scores: Floats
    """Of a step of level or form that begins at each row, for all columns that were filtered; (rows, settings, 2,
    columns). See :attr:`score`."""
    informations: Floats
    """Of both together; (rows, settings, 2, 2)."""

    @property
    def score(self) -> Floats:
        """Of a step of the level that begins at each row, for each column; (rows, settings, columns). The best step is
        score / information, and it lowers the sum of squared standardised innovations by score² / information: the
        auxiliary residuals of the state (Harvey and Koopman 1992; de Jong and Penzer 1998, from memory). At the first
        row a step is the start itself, and this says nothing.
        """
        return _of_columns(self.scores[:, :, 0], self.filtered.columns)

    @property
    def information(self) -> Floats:
        """Shape (rows, settings)."""
        return self.informations[:, :, 0, 0]

    def level(self, first: int = 0) -> Floats:
        """At the rows from this one on; (rows, settings, columns)."""
        found, columns = self.filtered, self.filtered.columns
        expected = (
            found.states[max(first - 1, 0) : -1, ..., columns] * found.kept[max(first, 1) :, :, :, None]
        )
        if first == 0:
            expected = np.concatenate([found.states[:1, ..., columns], expected])
        ahead, scores = found.predicted_variance[first:], self.scores[first:, ..., columns]
        level: Floats = (
            expected[:, :, 0]
            + ahead[:, :, 0, 0, None] * scores[:, :, 0]
            + ahead[:, :, 0, 1, None] * scores[:, :, 1]
        )
        return level

    def variance(self, first: int = 0) -> Floats:
        """Of the level at the rows from this one on; (rows, settings)."""
        return self._state_variance(slice(first, None))[:, :, 0, 0]

    def _state_variance(self, rows: slice) -> Floats:
        """Of level and form; (rows, settings, 2, 2)."""
        ahead, informations = map(
            _settings_last, (self.filtered.predicted_variance[rows], self.informations[rows])
        )
        return _settings_first(ahead - _product(_product(ahead, informations), ahead))

    def of_columns(self, columns: Sequence[int]) -> Smoothed:
        """Some columns alone, as if they had been filtered alone."""
        return replace(self, filtered=self.filtered.of_columns(columns))

    def covariance(self, earlier: int, later: int) -> Floats:
        """Joint covariance of the levels at two rows given all observations; shape (settings,)."""
        found, rows, next_rows = self.filtered, slice(earlier, later), slice(earlier + 1, later + 1)
        # How a change of the next row's state carries back to each row's.
        crossed = found.variance[rows] * found.kept[next_rows, :, None, :]
        gains = crossed @ np.linalg.inv(found.predicted_variance[next_rows])
        (of_later,) = self._state_variance(slice(later, later + 1))
        carried = np.zeros_like(of_later[:, 0, :])
        carried[:, 0] = 1.0
        for gain in gains:
            carried = np.einsum("gi,gij->gj", carried, gain)
        covariance: Floats = np.einsum("gi,gi->g", carried, of_later[:, :, 0])
        return covariance


def filter_series(
    day: Floats, columns: Floats, weight: Floats, settings: Settings, start: State | None = None
) -> Filtered:
    """Kalman filter. ``day`` ascends, ``weight`` >= 0 and the first one > 0; ``columns`` is rows × columns.

    ``start`` is what an earlier filter came to with the first row.
    """
    rows, count = columns.shape
    grid = len(settings)
    # The settings stand last while the rows are gone through: so each step is a few long sums and products.
    state = np.zeros((rows, 2, count, grid))
    variance = np.empty((rows, 2, 2, grid))
    predicted = np.zeros((rows, 2, 2, grid))
    innovation = np.zeros((rows, count, grid))
    innovation_variance = np.full((rows, grid), np.inf)
    days = np.diff(day, prepend=day[0])[:, None]
    kept = np.stack([np.ones((rows, grid)), np.exp(-days / settings.memory)], axis=1)
    both_kept = kept[:, :, None] * kept[:, None, :]
    added = np.zeros((rows, 2, 2, grid))
    added[:, 0, 0] = settings.drift * days
    added[:, 1, 1] = settings.share * (1 - kept[:, 1] ** 2)
    noise = 1 - settings.share
    if start is None:
        state[0, 0] = columns[0][:, None]
        first = [[settings.share + noise / weight[0], -settings.share], [-settings.share, settings.share]]
        variance[0] = predicted[0] = np.array(first)
    else:
        state[0], variance[0] = (np.moveaxis(one, 0, -1) for one in start)
    for row in range(1, rows):
        ahead = variance[row - 1] * both_kept[row] + added[row]
        mean = state[row - 1] * kept[row][:, None]
        predicted[row] = ahead
        if weight[row] > 0:
            towards = ahead[0] + ahead[1]
            innovation_variance[row] = towards[0] + towards[1] + noise / weight[row]
            innovation[row] = columns[row][:, None] - mean[0] - mean[1]
            gain = towards / innovation_variance[row]
            mean += gain[:, None] * innovation[row]
            ahead = ahead - gain[:, None] * towards
        state[row], variance[row] = mean, ahead
    state, variance, predicted, kept, innovation = map(
        _settings_first, (state, variance, predicted, kept, innovation)
    )
    return Filtered(settings, state, variance, predicted, kept, innovation, innovation_variance, range(count))


def smooth(filtered: Filtered) -> Smoothed:
    """Fixed-interval smoother: what each row and the later ones say of the state beyond what earlier rows do, first
    (Durbin and Koopman, 4.4).
    """
    ahead, kept, innovation, state = map(
        _settings_last, (filtered.predicted_variance, filtered.kept, filtered.innovations, filtered.states)
    )
    precision = 1 / filtered.innovation_variance
    gain = (ahead[:, 0] + ahead[:, 1]) * precision[:, None]
    scaled = innovation * precision[:, None]
    both_kept = kept[:, :, None] * kept[:, None, :]
    scores, informations = np.empty_like(state), np.empty_like(ahead)
    score, information = np.zeros_like(state[0]), np.zeros_like(ahead[0])
    for row in range(len(state) - 1, -1, -1):
        # Through I - gain [1, 1], transposed on the left: each column less what of it is gained.
        first, second = gain[row]
        score = score + (scaled[row] - first * score[0] - second * score[1])
        gained = information[0] * first + information[1] * second
        twice = precision[row] + first * gained[0] + second * gained[1]
        information = information + twice - gained - gained[:, None]
        scores[row], informations[row] = score, information
        score = score * kept[row][:, None]
        information = information * both_kept[row]
    return Smoothed(filtered, *map(_settings_first, (scores, informations)))


def _of_columns(arrays: Floats, columns: Sequence[int]) -> Floats:
    """Some columns, which are the last axis: copied as they lie in memory, the settings last."""
    return _settings_first(_settings_last(arrays)[..., columns, :])


def _settings_last(arrays: Floats) -> Floats:
    """From (rows, settings, …) to (rows, …, settings)."""
    return np.moveaxis(arrays, 1, -1)


def _settings_first(arrays: Floats) -> Floats:
    return np.moveaxis(arrays, -1, 1)


def _product(left: Floats, right: Floats) -> Floats:
    """Of matrices of two columns and two rows; the settings stand last."""
    product: Floats = (
        left[..., 0, None, :] * right[..., None, 0, :, :] + left[..., 1, None, :] * right[..., None, 1, :, :]
    )
    return product
