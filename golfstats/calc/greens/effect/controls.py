"""What the same model finds where there is nothing to find: beside every claim, its controls.

- Placebo dates: the usual work of the home course as if it had been done on dates clear of all that matters.
- Tee to green: the strokes that the same rounds lost before the green. Cored greens cannot have cost them; a spell of
  bad form or weather can.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from scipy import linalg

from golfstats.calc.greens.effect.event_study import FORM_SD, ROUGH_SDS, EventStudy, Solved, Study
from golfstats.calc.greens.effect.healing import KNOTS, STANDARD_DAYS, default_decay, hats, standard_rate
from golfstats.calc.greens.effect.posterior import (
    FIRST_STANDARD_DAYS,
    MINIMUM_ROUNDS,
    GreensEffect,
    Placebo,
    first_days,
    fitted_among_all,
)
from golfstats.calc.greens.effect.surplus import RoundPutts
from golfstats.calc.record import Bools, Floats, Ints

MOST_PLACEBOS, LEAST_PLACEBO_ROUNDS = 5, 4
DAYS_OF_A_YEAR = 365.25


def tee_to_green_control(
    effect: GreensEffect, equations: EventStudy, lost: Floats, priors: Mapping[float, Floats]
) -> tuple[float, float] | None:
    """Mean and standard deviation of what the first days after the usual work "cost" from tee to green.

    ``equations`` are those of the putts; ``lost`` are strokes a round of 18 holes, by row of their study, NaN where not
    recorded. ``None`` where too few rounds on healing greens have them.
    """
    study, known = equations.study, np.flatnonzero(np.isfinite(lost))
    if int(np.sum(study.decay[known] > 0)) < MINIMUM_ROUNDS:
        return None
    # No allowance for a spell of form here: that spell is what is looked for.
    columns = {name: getattr(study, name)[known] for name in study.__dataclass_fields__}
    columns |= {"surplus": lost[known], "healing": np.zeros(len(known))}
    prior = {ROUGH_SDS[0]: priors[ROUGH_SDS[0]]}
    posterior, _, _ = EventStudy(Study(**columns)).posterior(prior)
    kept = fitted_among_all(tuple(effect.by_kind), tuple(effect.by_course))
    loading = effect.after(first_days(effect.usual_kind), effect.usual_kind).mean(axis=0)[kept]
    variance = float(loading @ posterior.covariance @ loading)
    return float(loading @ posterior.mean), float(np.sqrt(variance))


def placebo_dates(
    effect: GreensEffect,
    rounds: RoundPutts,
    study: Study,
    home: int,
    best: Solved,
    noise: float,
    prior: Floats,
) -> Placebo:
    """The usual work of the home course as if it had been done on dates clear of all that matters."""
    rate = standard_rate(effect.usual_kind)
    here = rounds.course == home
    window = int(STANDARD_DAYS / rate) + 1
    first = hats(np.arange(0, FIRST_STANDARD_DAYS, rate), KNOTS).mean(axis=0)
    # One more work of severity 1, with its own curve and its own spell of form.
    more = linalg.block_diag(prior, prior[: len(KNOTS), : len(KNOTS)], np.array([[FORM_SD**2]]))
    days, strokes, sds = [], [], []
    for start in _clear_dates(rounds.day[here], study.healing[here] > 0, window):
        since = np.where(here & (rounds.day >= start), (rounds.day - start) * rate, np.inf)
        spell = (rounds.day >= start) & (rounds.day < start + window)
        work = np.column_stack([study.work, hats(since, KNOTS), spell])
        asked = replace(study, work=work, decay=study.decay + default_decay(since))
        (solved,) = EventStudy(asked).solve([best.setting], noise, {best.setting.rough_sd: more})
        loading = np.concatenate([np.zeros(study.work.shape[1]), first, [0.0]])
        days.append(start)
        strokes.append(float(loading @ solved.mean))
        sds.append(float(np.sqrt(loading @ solved.covariance @ loading)))
    return Placebo(tuple(days), tuple(strokes), tuple(sds))


def _clear_dates(day: Ints, healing: Bools, window: int) -> list[int]:
    """First days of windows without work that matters, with rounds on their first days, apart from one another and
    spread over the season: after the first of all, each the one farthest in the year from those before.
    """
    free = np.setdiff1d(np.arange(day.min(), day.max() + 1), _grown(day[healing]))
    clear = free[np.isin(free[:, None] + np.arange(window), free).all(axis=1)]
    played = np.array([np.sum((day >= start) & (day < start + window // 3 + 1)) for start in clear])
    left = clear[played >= LEAST_PLACEBO_ROUNDS] if len(clear) else clear
    dates: list[int] = []
    while len(left) and len(dates) < MOST_PLACEBOS:
        start = left[np.argmax(_apart_in_the_year(left, dates))]
        dates.append(int(start))
        left = left[np.abs(left - start) >= window]
    return sorted(dates)


def _apart_in_the_year(days: Ints, dates: list[int]) -> Floats:
    """Days of the calendar from each day to the nearest of the dates, whatever the year."""
    if not dates:
        return np.zeros(len(days))
    apart = np.abs(days[:, None] - np.array(dates)) % DAYS_OF_A_YEAR
    return np.asarray(np.minimum(apart, DAYS_OF_A_YEAR - apart).min(axis=1), dtype=np.float64)


def _grown(days: Ints) -> Ints:
    """All days from the first to the last of each run of healing days, gaps of a week bridged."""
    if not len(days):
        return days
    some = np.unique(days)
    runs = np.split(some, np.flatnonzero(np.diff(some) > 7) + 1)
    return np.concatenate([np.arange(run[0], run[-1] + 1) for run in runs])
