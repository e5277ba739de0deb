"""A figure over time: its level and 90% band at any date, and whether it changed.

The values of the rounds are a level that walks about a steady slope, form that passes, and noise
(:mod:`~golfstats.calc.coaching.level_and_form`), with effects of courses and the like where these are given. How
much the level walks, how much of a round is form and how long that lasts is not fixed at one estimate: it is
integrated out on a grid under a weak prior, and the noise variance under Jeffreys' prior, so bands stay honest
when there are few rounds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from golfstats.calc.coaching.belief import Belief
from golfstats.calc.coaching.level_and_form import Filtered, Settings, Smoothed, filter_series, smooth
from golfstats.calc.coaching.series import YEAR, Series, centred
from golfstats.calc.coaching.steps import Step, best_step
from golfstats.calc.coaching.words import Better
from golfstats.calc.figure import alike, t_half_width
from golfstats.calc.record import Floats

MINIMUM_ROUNDS = 6
"""A trend needs this many rounds."""

FEWEST_FREEDOM = 3.0

PRIOR_DRIFT = 2e-3
"""Centre of the prior of the drift: in a year the level moves by about 0.9 of a round's spread (our judgement)."""
PRIOR_LOG_SPREAD = 2.5
"""Standard deviation of the prior of ln drift: a year's move of 0.1 to 12 of a round's spread, a jump among them."""
MEMORIES = (4.0, 8.0, 14.0)
"""Days in which form fades to 1/e. What lasts much longer is a level, as a coach would see it (our choice)."""
STEADY = 0.2
"""Prior chance that rounds do not remember form at all (our choice; at 0.4 a climber's band was too narrow)."""

UNLIKELY_STEP = 0.05
"""Chance of a step below which a change is told without one."""
STEP = 4.0
"""Size of the covariate of a step: with the prior variance of effects (``series.EFFECT_VARIANCE``), jumps of nearly
three times a round's spread."""


def _settings() -> Settings:
    steps = np.linspace(-2.5, 2.5, 9)
    forms = [(1e-6, 10.0, STEADY)] + [
        (share, memory, (1 - STEADY) / 9) for share in (0.3, 0.6, 0.95) for memory in MEMORIES
    ]
    drift, share, memory, log_prior = zip(
        *[
            (PRIOR_DRIFT * np.exp(PRIOR_LOG_SPREAD * step), *form[:2], np.log(form[2]) - 0.5 * step**2)
            for step in steps
            for form in forms
        ],
        strict=True,
    )
    return Settings(np.array(drift), np.array(share), np.array(memory), np.array(log_prior))


SETTINGS = _settings()


@dataclass(frozen=True)
class Fit:
    """What the innovations say under each setting; first axis the settings."""

    filtered: Filtered
    effects: Floats
    """Of the covariates, the slope last; (settings, covariates)."""
    effects_covariance: Floats
    """In units of the round's variance."""
    residual_sum: Floats
    log_evidence: Floats
    """With the prior of the setting."""

    def less_effects(self, columns: Floats) -> Floats:
        """Values less what the covariates explain of them; (…, settings, columns) to (…, settings)."""
        if not self.effects.shape[1]:
            return columns[..., 0]
        explained: Floats = np.einsum("...gp,gp->...g", columns[..., 1:], self.effects)
        return columns[..., 0] - explained


@dataclass(frozen=True)
class Levels:
    """Levels at some rounds and their 90% band."""

    level: Floats
    low: Floats
    high: Floats


@dataclass(frozen=True, eq=False)
class Trend:
    """The fitted model: for each setting of the grid its probability and noise variance."""

    series: Series
    probability: Floats
    noise: Floats
    fit: Fit
    smoothed: Smoothed
    freedom: float
    """Degrees of freedom: fewer than rounds less one where rounds remember."""
    _changes: dict[tuple[float, float], Belief | None] = field(default_factory=dict, repr=False)
    """Told as a figure, as a chance and in every language: worked out once, like the levels from a round on."""
    _levels: dict[int, Levels] = field(default_factory=dict, repr=False)

    def levels(self, first: int = 0) -> Levels:
        """At each round from this one on, given all rounds."""
        if first not in self._levels:
            self._levels[first] = _levels_from(self, first)
        return self._levels[first]

    @cached_property
    def best_step(self) -> Step | None:
        """The best step whatever its statistic; ``None`` when there are too few rounds for any."""
        return _best_step(self)

    def change_between(self, earlier: float, later: float) -> Belief | None:
        """Level on the later day minus level on the earlier one, from their joint distribution.

        The two levels share the rounds between and around them, so their covariance counts. A level that jumped is
        taken for one that jumped, as far as that is likely: a walk alone would spread the jump over the months around
        it. ``None`` if the earlier day is before the first round or the days are not in order.
        """
        days = earlier, later
        if days not in self._changes:
            self._changes[days] = _change_between(self, earlier, later)
        return self._changes[days]


def fit_series(series: Series, filtered: Filtered) -> Fit:
    """Effects by least squares on the innovations, drawn to zero by their prior, under each setting.

    With Jeffreys' prior 1/s² the noise variance integrates out of the likelihood, leaving
    (residual sum)^(-(n-1)/2) times the innovations' variances to the power -1/2. The slope, which is the last column,
    may have been left out.
    """
    scaled = filtered.standardised()
    value, covariates = scaled[..., 0], scaled[..., 1:]
    prior = series.effect_variances()[: covariates.shape[-1]]
    precision = np.swapaxes(covariates, 1, 2) @ covariates + np.diag(1 / prior)
    covariance: Floats = np.linalg.inv(precision).astype(np.float64)
    crossed = np.einsum("grp,gr->gp", covariates, value)
    effects = np.einsum("gpq,gq->gp", covariance, crossed)
    residual_sum = np.sum(value**2, axis=1) - np.sum(effects * crossed, axis=1)
    log_evidence = (
        SETTINGS.log_prior
        - 0.5 * filtered.log_variances()
        - 0.5 * (np.linalg.slogdet(precision)[1] + np.sum(np.log(prior)))
        - 0.5 * (len(series) - 1) * np.log(residual_sum)
    )
    return Fit(filtered, effects, covariance, residual_sum, log_evidence)


def fit_trend(series: Series) -> Trend | None:
    """Fit the model; ``None`` with fewer than six rounds or when every round has the same value."""
    return fit_trends([series])[0]


def fit_trends(series: Sequence[Series]) -> list[Trend | None]:
    """As :func:`fit_trend` of each. Figures of the same rounds go through the filter side by side: what it goes through
    row by row are days and weights, and their values are columns of it.
    """
    trends: list[Trend | None] = [None] * len(series)
    for places in _of_the_same_rounds(series):
        together = [series[place] for place in places]
        columns, which = _side_by_side(together)
        filtered = filter_series(together[0].day, columns, together[0].relative_weight(), SETTINGS)
        smoothed = smooth(filtered)
        for place, one, own in zip(places, together, which, strict=True):
            trends[place] = _trend(one, smoothed.of_columns(own))
    return trends


def _of_the_same_rounds(series: Sequence[Series]) -> list[list[int]]:
    """Places of those that have a trend, grouped by all but the values and their doubt."""
    groups: dict[tuple[bytes, ...], list[int]] = {}
    for place, one in enumerate(series):
        if len(one) >= MINIMUM_ROUNDS and not alike(one.value):
            beside = b"" if one.covariates is None else one.covariates.tobytes()
            groups.setdefault((one.day.tobytes(), one.weight.tobytes(), beside), []).append(place)
    return list(groups.values())


def _side_by_side(series: Sequence[Series]) -> tuple[Floats, list[list[int]]]:
    """Columns for all of them, the covariates once; and which are a series' own, in the order of its ``columns``."""
    covariates, years = series[0].covariates, series[0].years()
    columns = [years] if covariates is None else [years, *covariates.T]
    shared, which = range(1, len(columns)), []
    for one in series:
        first = len(columns)
        columns += [one.value] if one.doubt is None else [one.value, one.doubt]
        which.append([first, *shared, *range(first + 1, len(columns)), 0])
    return np.column_stack(columns), which


def _trend(series: Series, smoothed: Smoothed) -> Trend:
    n, fit = len(series), fit_series(series, smoothed.filtered)
    probability = np.exp(fit.log_evidence - np.max(fit.log_evidence))
    probability /= np.sum(probability)
    noise = fit.residual_sum / (n - 1)
    return Trend(series, probability, noise, fit, smoothed, _freedom(series, probability))


def _levels_from(trend: Trend, first: int) -> Levels:
    columns = _with_slope(trend.smoothed.level(first), trend.series.years()[first:, None])
    by_setting = trend.fit.less_effects(columns)
    spread = trend.smoothed.variance(first) + _effect_variance(trend.fit, columns)
    level = by_setting @ trend.probability
    variance = (spread * trend.noise + by_setting**2) @ trend.probability - level**2
    half = t_half_width(trend.freedom) * np.sqrt(np.maximum(variance, 0))
    return Levels(level, level - half, level + half)


def _freedom(series: Series, probability: Floats) -> float:
    """Rounds less one, times (1 - r) / (1 + r): what rounds of autocorrelation r are worth for a mean."""
    gap = (series.day[-1] - series.day[0]) / (len(series) - 1)
    r = SETTINGS.share * np.exp(-gap / SETTINGS.memory)
    return max((len(series) - 1) * float(probability @ ((1 - r) / (1 + r))), FEWEST_FREEDOM)


def _effect_variance(fit: Fit, columns: Floats) -> Floats:
    """What the doubt about the effects adds to the variance of something linear in the columns; (…, settings)."""
    away = columns[..., 1:]
    settings, effects = away.shape[-2:]
    by_setting = np.swapaxes(away.reshape(-1, settings, effects), 0, 1)
    variance: Floats = np.sum((by_setting @ fit.effects_covariance) * by_setting, axis=-1)
    return variance.T.reshape(away.shape[:-1])


def _with_slope(columns: Floats, years: float | Floats) -> Floats:
    """So that taking off what the covariates explain adds the slope of so many years: (…, settings, columns)."""
    away = columns.copy()
    away[..., -1] -= years
    return away


def without_slope(trend: Trend) -> tuple[Fit, Smoothed]:
    """The same rounds with a level that only walks: a step is looked for beside a walk alone, or a slope would take
    a part of it.
    """
    smoothed = trend.smoothed.of_columns(range(len(trend.smoothed.filtered.columns) - 1))
    return fit_series(trend.series, smoothed.filtered), smoothed


def _best_step(trend: Trend) -> Step | None:
    fit, smoothed = without_slope(trend)
    score = fit.less_effects(smoothed.score)
    return best_step(score, smoothed.information, fit.residual_sum, fit.log_evidence)


def level_on(trend: Trend, day: float) -> Belief | None:
    """The level on any day, later ones included; ``None`` before the first round."""
    if day < trend.series.day[0]:
        return None
    ahead = day - trend.series.day[-1]
    if ahead >= 0:  # the level walks on from the last round: no other round has more to say
        last = trend.fit.filtered
        walked = last.variance[-1][:, 0, 0] + SETTINGS.drift * ahead
        return _belief(trend, last.state(-1)[:, 0], walked)
    smoothed, (row,) = _smooth_with_days(trend, [day])
    return _belief(trend, _with_slope(smoothed.level()[row], ahead / YEAR), smoothed.variance()[row])


def _change_between(trend: Trend, earlier: float, later: float) -> Belief | None:
    if earlier < trend.series.day[0] or later <= earlier:
        return None
    walked, step = _change(trend, earlier, later), trend.best_step
    if step is None or step.chance < UNLIKELY_STEP or (jumped := fit_trend(_with_step(trend, step))) is None:
        return walked
    day = trend.series.day[step.row]
    stepped = _change(jumped, earlier, later, STEP if earlier < day <= later else 0.0)
    return walked.mixed_with(stepped, step.chance)


def _change(trend: Trend, earlier: float, later: float, stepped: float = 0.0) -> Belief:
    """``stepped``: by how much the last covariate, a step, moves between the days."""
    smoothed, (first, second) = _smooth_with_days(trend, [earlier, later])
    level, variances = smoothed.level(), smoothed.variance()
    variance = variances[first] + variances[second] - 2 * smoothed.covariance(first, second)
    last = trend.series.day[-1]
    change = _with_slope(level[second] - level[first], (min(later, last) - min(earlier, last)) / YEAR)
    if stepped and trend.series.covariates is not None:
        change[..., trend.series.covariates.shape[1]] -= stepped
    return _belief(trend, change, variance)


def _with_step(trend: Trend, step: Step) -> Series:
    """The rounds with a step at its row as their last covariate."""
    series = trend.series
    column = np.where(np.arange(len(series)) >= step.row, STEP, 0.0)[:, None]
    beside = column if series.covariates is None else np.column_stack([series.covariates, column])
    return replace(series, covariates=centred(beside))


def chance_better(trend: Trend, earlier: float, later: float, better: Better) -> float | None:
    """Chance that the level on the later day is better than on the earlier one."""
    change = trend.change_between(earlier, later)
    return None if change is None else change.chance_better_than(0.0, better)


def forecast_mean(trend: Trend, days: Floats, weights: Floats) -> Belief:
    """The weighted mean of rounds still to come on the given days (not before the last round).

    ``weights`` are on the scale of the series' weights. The level walks on from the last round,
    form fades, and each round adds its own noise; on a course of usual difficulty.
    """
    series, state, variance = trend.series, trend.fit.filtered.state(-1), trend.fit.filtered.variance[-1]
    share = weights / np.sum(weights)
    ahead = days - series.day[-1]
    walked = SETTINGS.drift * float(share @ np.minimum.outer(ahead, ahead) @ share)
    own_noise = float(np.sum(share**2 * np.mean(series.weight) / weights))
    fades = np.exp(-ahead[None, :] / SETTINGS.memory[:, None])
    lasting = fades @ share
    between = np.exp(-np.abs(np.subtract.outer(ahead, ahead))[None] / SETTINGS.memory[:, None, None])
    new_form = SETTINGS.share * (np.einsum("i,gij,j->g", share, between, share) - lasting**2)
    carried = np.stack([np.ones(len(SETTINGS)), lasting], axis=1)
    now = np.einsum("gi,gij,gj->g", carried, variance, carried)
    mean = np.einsum("gi,gic->gc", carried, state)
    return _belief(trend, mean, now + walked + new_form + (1 - SETTINGS.share) * own_noise)


def _belief(trend: Trend, columns: Floats, variance: Floats) -> Belief:
    """Of something linear in values and covariates; ``columns`` is settings × columns."""
    spread = np.maximum(variance, 0) + _effect_variance(trend.fit, columns)
    return Belief(trend.probability, trend.fit.less_effects(columns), spread * trend.noise, trend.freedom)


def _smooth_with_days(trend: Trend, days: list[float]) -> tuple[Smoothed, list[int]]:
    """The smoother on the rounds' dates with further dates among them, and the rows of these."""
    series, filtered = trend.series, trend.fit.filtered
    if np.all(np.isin(days, series.day)):
        return trend.smoothed, [int(row) for row in np.searchsorted(series.day, days)]
    # What was filtered up to the last round before these days stands; no earlier round is asked for.
    first = int(np.searchsorted(series.day, min(days), side="right")) - 1
    rounds, extra = len(series) - first, len(days)
    day = np.concatenate([series.day[first:], days])
    order = np.argsort(day, kind="stable")
    known = series.columns()[first:]
    columns = np.vstack([known, np.zeros((extra, known.shape[1]))])[order]
    weight = np.concatenate([series.relative_weight()[first:], np.zeros(extra)])[order]
    start = filtered.state(first), filtered.variance[first]
    smoothed = smooth(filter_series(day[order], columns, weight, SETTINGS, start))
    rows = [int(np.flatnonzero(order == rounds + number)[0]) for number in range(extra)]
    return smoothed, rows
