"""How long greens take to be back, averaged over the ways in which they may heal.

Nobody sees the day on which nothing is left of the work: curves that fall fast at first reach it after weeks in which
hardly anything is left, plateaus with a cliff. So no one curve is trusted. Each way of healing, ending on each of
many days, has its exact evidence in the club's putts (its height is unknown and integrated out, as are the season,
the weather and the players in :mod:`golfstats.calc.greens.effect.event_study`); with a prior from the published
ranges these give the chance of every day. The answer is its median with its 5% and 95% points: of greens that are as
bad until one day that is a narrow span, of others "between day 11 and day 34". Bayesian model averaging (Hoeting,
Madigan, Raftery and Volinsky, Bayesian Model Averaging: A Tutorial, 1999, from memory).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import linalg, special

from golfstats.calc.greens.effect.event_study import Setting, Solved
from golfstats.calc.greens.effect.healing import (
    DECAY_SD,
    KNOTS,
    LAST_DAY,
    STANDARD_DAYS,
    Coefficients,
    hats,
    standard_rate,
)
from golfstats.calc.greens.effect.posterior import GreensEffect
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.calc.record import Floats

SCALES = 1.12 ** np.arange(-15.0, 13.0)
"""Recovery days that are tried, over the usual ones: from a fifth to four times."""
LOG_SD = 0.65
"""Prior spread of the logarithm of recovery days over the usual ones. Published ranges run from half to double, which
is narrower (0.5); with that, greens that took twice as long were told a day that was mostly the prior's."""
SETTLED = (0.15, 0.25, 0.4)
"""Shares of the recovery days after which filled holes begin to be felt, where they putt well at first."""
WAYS = np.array([0.35, 0.2, 0.1, 0.1, 0.15, *np.full(len(SETTLED), 0.1 / len(SETTLED))])
"""Prior chances of the ways in :func:`_ways` (our judgement: the first is how greens usually heal)."""
GRAIN = 0.1
"""Doubt of the logarithm of recovery days that stays: costs are asked of days up to a fifth apart."""
WIDEST = 4.5
"""Recovery days are told where the late end of their interval is no more than so many times the early one: the prior
alone has 8.5. Our judgement of what still helps to plan."""
RIDGE = 1e-9


@dataclass(frozen=True)
class _Say:
    """What a setting's putts say of a curve at the knots: its logarithmic evidence is quadratic in the curve."""

    information: Floats
    pull: Floats
    constant: float
    """Evidence of no cost at all."""


def recovery_times(
    effect: GreensEffect,
    coefficients: Coefficients,
    solved: Sequence[Solved],
    priors: Mapping[float, Floats],
) -> dict[str, tuple[float, float, float]]:
    """Median, 5% and 95% point of the recovery days, by kind; kinds whose putts cannot tell are missing.

    ``solved`` are the settings that the posterior mixes, ``priors`` by roughness the covariances they began with.
    """
    if effect.home not in coefficients.courses:
        return {}
    by_kind = {}
    for kind in coefficients.kinds:
        # What is not known to cost anything cannot be said to be over.
        if not effect.claims(kind):
            continue
        rows = coefficients.after(KNOTS / standard_rate(kind), kind, work_types()[kind].severity, effect.home)
        chances = chances_of_scales(_says(rows, solved, priors), DECAY_SD * work_types()[kind].severity)
        low, middle, high = (_quantile(chances, share) for share in (0.05, 0.5, 0.95))
        if high <= WIDEST * low:
            usual = STANDARD_DAYS / standard_rate(kind)
            by_kind[kind] = (usual * middle, usual * low, usual * high)
    return by_kind


def chances_of_scales(says: Sequence[_Say], height_sd: float) -> Floats:
    """Posterior chance of each of :data:`SCALES`, whichever the setting and the way of healing."""
    curves = np.stack([_ways(STANDARD_DAYS * scale) for scale in SCALES])
    prior = np.log(WAYS) - 0.5 * (np.log(SCALES)[:, None] / LOG_SD) ** 2
    evidence = np.stack([prior + _log_evidence(one, curves, height_sd) for one in says])
    log_chances = special.logsumexp(evidence, axis=(0, 2))
    chances = np.exp(log_chances - special.logsumexp(log_chances))
    blur = np.exp(-0.5 * (np.log(SCALES[:, None] / SCALES) / GRAIN) ** 2)
    return np.asarray(blur / blur.sum(axis=0) @ chances, dtype=np.float64)


def _log_evidence(say: _Say, curves: Floats, height_sd: float) -> Floats:
    """Of each curve at the knots (last axis), times a height of normal prior."""
    information = np.einsum("...i,ij,...j->...", curves, say.information, curves) + height_sd**-2
    pull = curves @ say.pull
    evidence: Floats = say.constant + 0.5 * pull**2 / information - 0.5 * np.log(information * height_sd**2)
    return evidence


def _says(rows: Floats, solved: Sequence[Solved], priors: Mapping[float, Floats]) -> list[_Say]:
    """Each setting's posterior of the curve less its prior; settings that differ only in that prior say the same."""
    by_setting: dict[tuple[object, ...], _Say] = {}
    before = {rough_sd: _normal(rows, prior) for rough_sd, prior in priors.items()}
    for one in solved:
        key = _but_for_roughness(one.setting)
        if key in by_setting:
            continue
        prior_precision, prior_log_determinant = before[one.setting.rough_sd]
        precision, log_determinant = _normal(rows, one.covariance)
        mean = rows @ one.mean
        pull = precision @ mean
        gained = 0.5 * (float(pull @ mean) + log_determinant - prior_log_determinant)
        by_setting[key] = _Say(precision - prior_precision, pull, one.log_evidence - gained)
    return list(by_setting.values())


def _but_for_roughness(setting: Setting) -> tuple[object, ...]:
    return setting.season, setting.day_sd, setting.memory, setting.slope_sd


def _normal(rows: Floats, covariance: Floats) -> tuple[Floats, float]:
    """Precision and log determinant of the covariance of the curve at the knots."""
    of_curve = rows @ covariance @ rows.T + RIDGE * np.eye(len(rows))
    return linalg.inv(of_curve), float(np.linalg.slogdet(of_curve)[1])


def _ways(end: float) -> Floats:
    """Ways in which nothing is left from a standard day on, ways × knots; 1 where the greens are at their worst.

    Fast at first as (1 - s/R)²; day by day alike; exponentially; as bad for half of the time and then day by day
    alike; as bad until the last day; and only once the sand has settled, until the last day.
    """
    day = np.linspace(0, LAST_DAY, 441)
    passed = day / end
    left, disturbed = np.clip(1 - passed, 0, 1), (passed < 1).astype(np.float64)
    curves = np.stack(
        [
            left**2,
            left,
            np.maximum(np.exp(-3 * passed) - np.exp(-3), 0) / (1 - np.exp(-3)),
            np.minimum(2 * left, 1),
            disturbed,
            *(disturbed * (passed >= settled) for settled in SETTLED),
        ]
    )
    # Cliffs between two knots are shared by both.
    near = hats(day, KNOTS)
    of_knots: Floats = curves @ near / near.sum(axis=0)
    return of_knots


def _quantile(chances: Floats, share: float) -> float:
    """Scale up to which so much of the chance lies, each scale standing for those up to halfway to its neighbours."""
    step = float(np.log(SCALES[1] / SCALES[0]))
    edges = np.log(SCALES[0]) - step / 2 + step * np.arange(len(SCALES) + 1)
    return float(np.exp(np.interp(share, np.concatenate([[0.0], np.cumsum(chances)]), edges)))
