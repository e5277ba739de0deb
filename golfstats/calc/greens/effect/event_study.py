"""One linear Gaussian model of a club's putting through its seasons, and what of it came with the work.

A round's surplus of putts = level of the player + season + day + cost of the work that its greens still feel +
the player's own share of it + form of everybody in healing weeks + speed where measured + noise.

- season: a smooth Gaussian process over the calendar, half of it shared by all courses;
- day: a process whose days resemble the ones before, likewise half shared;
- cost: :mod:`golfstats.calc.greens.effect.healing`;
- own share: players suffer more or less than the mean, each by a slope on the default decay;
- form: one shift of all healing weeks, felt on other courses too and shared by all works, so that more of them do
  not average it away: a spell of bad putting that happens to fall together with the work.

Players' levels are free. Everything else has a normal prior, so posterior and evidence are exact at given
spreads; spreads that the data must tell (season, days, players, roughness) are averaged over a grid by evidence,
the noise is set where the evidence is greatest. Standard theory of Gaussian linear models (Rasmussen and Williams,
Gaussian Processes for Machine Learning, 2006, chapters 2 and 5, from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import product
from typing import TypeVar

import numpy as np
from scipy import linalg, optimize, sparse

from golfstats.calc.greens.effect.mixed_model import indicator
from golfstats.calc.record import Floats, Ints

KeyT = TypeVar("KeyT")

SEASONS = ((2.0, 80.0), (2.0, 45.0), (0.8, 15.0))
"""Standard deviation and length, days, over which the season keeps its course: slow ones, and one of many turns.

None is nearly flat: where few rounds cannot tell a season from a flat one, what it did would be put down to the work.
Chosen on clubs whose seasons were bowls, steps, dry spells and two waves, apart from those of ``tests/worlds``."""
DAY_SDS = (0.1, 0.3, 0.6, 1.1, 2.0)
DAY_MEMORIES = (1.0, 4.0, 12.0)
"""Days after which a day's deviation has fallen to 37%."""
SLOPE_SDS = (1.0, 2.5)
ROUGH_SDS = (0.7, 2.5)
"""All in strokes a round. Our judgement, after trying worlds of every kind."""
FORM_SD, SPEED_SD, COURSE_LEVEL_SD = 0.85, 0.4, 2.0
"""Strokes a round; a foot of stimpmeter speed; between courses."""
SHARED = 0.5
"""Share of the variance of season and day that courses of one club have in common."""
LEAST_COVARIANCE = 1e-30
"""Less is nothing: numbers too small for full precision take several times as long to calculate with."""
NEGLIGIBLE = 4.0
"""Settings so many log units of evidence below the best are left out."""
CROSSED = 8.0
"""Beside settings so far below the best others are still looked for. In 353 fits of the worlds of ``tests/worlds`` that
missed none that is likely; with half of it, three (of 4% of the weight at most) in two of the fits."""


OfDays = tuple[tuple[float, float], float, float]
"""What of a setting is about days: season, spread of days, memory."""
Place = tuple[int, int, int]
"""Where such a setting stands in the three rows of what is tried."""


@dataclass(frozen=True)
class Setting:
    """Standard deviations in strokes a round, memory and length in days."""

    season: tuple[float, float]
    """Standard deviation and length."""
    day_sd: float
    memory: float
    slope_sd: float
    rough_sd: float


@dataclass(frozen=True)
class Study:
    """Rounds with their design. Rows are rounds."""

    player: Ints
    course: Ints
    day: Ints
    weight: Floats
    """Inverse noise variance but for a common factor: share of 18 holes, players capped."""
    surplus: Floats
    work: Floats
    """Loadings of the coefficients of the work's cost, rounds × coefficients."""
    decay: Floats
    """Default decay of what the round's greens feel: what players' own slopes multiply."""
    healing: Floats
    """1 in the healing weeks of any work that matters, on whatever course."""
    speed: Floats
    """Feet of stimpmeter speed above the course's usual; 0 where unknown or while greens heal."""


@dataclass(frozen=True)
class Posterior:
    """Of the coefficients of the work's cost, mixed over the settings."""

    mean: Floats
    covariance: Floats
    day_sd: float
    """Expected spread of whole days, season apart."""
    noise_sd: float
    """Of one round of 18 holes."""


@dataclass(frozen=True)
class Solved:
    """One setting: its evidence and the normal posterior of the coefficients."""

    setting: Setting
    log_evidence: float
    mean: Floats
    covariance: Floats


class EventStudy:
    """The equations of a study.

    Of a course-day's level its rounds tell by their mean alone. So what they tell within course-days is put together
    once, and at each setting only the means meet the covariance of the course-days, which is factored once for all
    slopes. (Where players are many, their equations take longer than the days': about alike at 500.)

    Columns are the players' levels, their slopes, what is named, and the surplus itself: eliminating some of them
    leaves information, pull and squares of the rest side by side.
    """

    def __init__(self, study: Study) -> None:
        self.study = study
        self.work_size = study.work.shape[1]
        courses, course = np.unique(study.course, return_inverse=True)
        of_course = np.eye(len(courses))[course] if len(courses) > 1 else np.zeros((len(course), 0))
        self.nuisance_sd = np.concatenate([[FORM_SD, SPEED_SD], np.full(of_course.shape[1], COURSE_LEVEL_SD)])
        named = np.column_stack([study.work, study.healing, study.speed, of_course, study.surplus])
        level = indicator(study.player)
        self.players = level.shape[1]
        slope = level.multiply(study.decay[:, None])
        columns = sparse.hstack([level, slope, sparse.csr_array(named)], format="csr")
        places, place = np.unique(np.stack([study.course, study.day], axis=1), axis=0, return_inverse=True)
        self.weight = np.bincount(place.ravel(), weights=study.weight)
        weighted = columns.multiply(study.weight[:, None]).tocsr()
        self.means = (indicator(place.ravel()).T @ weighted).toarray() / self.weight[:, None]
        self.within = (columns.T @ weighted).toarray() - self.means.T @ (self.weight[:, None] * self.means)
        course_of, day_of = places.T
        self.apart = day_of[:, None] - day_of
        np.abs(self.apart, out=self.apart)
        self.days = int(self.apart.max()) + 1
        np.add(self.apart, self.days, out=self.apart, where=course_of[:, None] != course_of)
        self.roots: dict[float, Floats] = {}

    def posterior(self, usual_prior: dict[float, Floats]) -> tuple[Posterior, list[Solved], float]:
        """The posterior, the settings that it mixes, the best of them first, and the noise variance.

        ``usual_prior`` is the prior covariance of the coefficients by roughness; its keys are the ones tried.
        """
        noise = self._noise(Setting(SEASONS[1], 0.6, 4.0, 1.0, 0.7), usual_prior, None)
        likely = self._likely(noise, usual_prior)
        noise = self._noise(likely[0].setting, usual_prior, noise)
        of_days = dict.fromkeys(_of_days(one.setting) for one in likely)
        solved = self.solve(_settings(of_days, SLOPE_SDS, usual_prior), noise, usual_prior)
        solved.sort(key=lambda one: one.log_evidence, reverse=True)
        return _mixed(solved, noise), solved, noise

    def _likely(self, noise: float, usual_prior: dict[float, Floats]) -> list[Solved]:
        """The settings of days whose evidence is not negligible, at the first of the slopes; the best first.

        From the middle of the grid they are walked to where the evidence is greatest, and on to whatever lies beside
        one that is likely: of a large club, whose putts tell them apart, fewer than half are worked out.
        """
        found: dict[Place, list[Solved]] = {}
        wanted = {(len(SEASONS) // 2, len(DAY_SDS) // 2, len(DAY_MEMORIES) // 2)}
        best = -np.inf
        while wanted:
            for place in sorted(wanted):
                settings = _settings([_days_at(place)], SLOPE_SDS[:1], usual_prior)
                found[place] = self.solve(settings, noise, usual_prior)
                best = max(best, *(one.log_evidence for one in found[place]))
            crossed = [
                place
                for place, some in found.items()
                if any(one.log_evidence > best - CROSSED for one in some)
            ]
            wanted = {beside for place in crossed for beside in _beside(place)} - set(found)
        solved = [one for some in found.values() for one in some if one.log_evidence > best - NEGLIGIBLE]
        return sorted(solved, key=lambda one: one.log_evidence, reverse=True)

    def solve(
        self, settings: Iterable[Setting], noise: float, usual_prior: dict[float, Floats]
    ) -> list[Solved]:
        """Every setting's evidence and posterior; what settings share is worked out once."""
        solved = []
        for days, same_days in _grouped(settings, _of_days):
            equations, constant = self._without_days(noise, days)
            for slope_sd, alike in _grouped(same_days, lambda one: one.slope_sd):
                others = self._without_players(equations, constant, slope_sd)
                solved += [self._solved(one, others, usual_prior[one.rough_sd]) for one in alike]
        return solved

    def _noise(self, setting: Setting, usual_prior: dict[float, Floats], start: float | None) -> float:
        """Noise variance of a round of 18 holes at which this setting has most evidence."""
        if start is None:
            _, player = np.unique(self.study.player, return_inverse=True)
            own = np.bincount(player, weights=self.study.surplus) / np.bincount(player)
            start = float(np.var(self.study.surplus - own[player])) + 1e-3

        def loss(log_noise: float) -> float:
            return -self.solve([setting], float(np.exp(log_noise)), usual_prior)[0].log_evidence

        centre = float(np.log(start))
        minimum = optimize.minimize_scalar(
            loss, bounds=(centre - 1.2, centre + 0.4), method="bounded", options={"xatol": 0.02}
        )
        return float(np.exp(minimum.x))

    def _without_days(self, noise: float, days: OfDays) -> tuple[Floats, float]:
        """Equations of all columns, and the constant of the evidence, with the course-days integrated out."""
        covariance = self._covariance(days)
        covariance[np.diag_indices_from(covariance)] += noise / self.weight
        factor, _ = linalg.cho_factor(covariance.T, lower=True, overwrite_a=True, check_finite=False)
        between = linalg.solve_triangular(factor, self.means, lower=True, check_finite=False)
        within = np.sum(np.log(self.study.weight / noise)) - np.sum(np.log(self.weight / noise))
        constant = 0.5 * float(within) - float(np.sum(np.log(np.diag(factor))))
        return self.within / noise + between.T @ between, constant

    def _covariance(self, days: OfDays) -> Floats:
        """Of the course-days. It depends on the days between two of them alone, and on whether the course is one."""
        (season_sd, length), day_sd, memory = days
        apart = np.arange(self.days, dtype=np.float64)
        alike = season_sd**2 * np.exp(-0.5 * (apart / length) ** 2) + day_sd**2 * np.exp(-apart / memory)
        alike[alike < LEAST_COVARIANCE] = 0.0
        covariance: Floats = np.concatenate([alike, SHARED * alike])[self.apart]
        return covariance

    def _without_players(
        self, equations: Floats, constant: float, slope_sd: float
    ) -> tuple[Floats, Floats, float]:
        """Information, pull and the constant of the evidence with levels and slopes integrated out."""
        size = 2 * self.players
        of_players = equations[:size, :size].copy()
        slopes = np.arange(self.players, size)
        of_players[slopes, slopes] += slope_sd**-2
        factor = linalg.cholesky(of_players, lower=True, check_finite=False)
        half = linalg.solve_triangular(factor, equations[:size, size:], lower=True, check_finite=False)
        rest = equations[size:, size:] - half.T @ half
        constant -= float(np.sum(np.log(np.diag(factor)))) + self.players * float(np.log(slope_sd))
        return rest[:-1, :-1], rest[:-1, -1], constant - 0.5 * float(rest[-1, -1])

    def _solved(
        self, setting: Setting, equations: tuple[Floats, Floats, float], work_prior: Floats
    ) -> Solved:
        """Whitened by the prior, so that a nearly flat or nearly fixed coefficient is no trouble."""
        information, pull, constant = equations
        if setting.rough_sd not in self.roots:
            self.roots[setting.rough_sd] = linalg.block_diag(_root(work_prior), np.diag(self.nuisance_sd))
        root = self.roots[setting.rough_sd]
        whitened = root.T @ information @ root
        whitened[np.diag_indices_from(whitened)] += 1.0
        factor = linalg.cholesky(whitened, lower=True, check_finite=False)
        towards = linalg.solve_triangular(factor, root.T @ pull, lower=True, check_finite=False)
        spread = linalg.solve_triangular(factor, root.T, lower=True, check_finite=False)
        size = self.work_size
        covariance = spread[:, :size].T @ spread[:, :size]
        mean = spread[:, :size].T @ towards
        evidence = constant + 0.5 * float(towards @ towards) - float(np.sum(np.log(np.diag(factor))))
        return Solved(setting, evidence, mean, covariance)


def _root(covariance: Floats) -> Floats:
    """A matrix whose product with its transpose is the covariance, also where that has no full rank."""
    values, vectors = np.linalg.eigh(covariance)
    root: Floats = vectors * np.sqrt(np.maximum(values, 0.0))
    return root


def _settings(
    days: Iterable[OfDays], slope_sds: Iterable[float], rough_sds: Iterable[float]
) -> list[Setting]:
    return [
        Setting(*of_days, slope_sd, rough_sd)
        for of_days, slope_sd, rough_sd in product(days, slope_sds, rough_sds)
    ]


def _days_at(place: Place) -> OfDays:
    season, day_sd, memory = place
    return SEASONS[season], DAY_SDS[day_sd], DAY_MEMORIES[memory]


def _beside(place: Place) -> list[Place]:
    """Places of the grid that are one step away in one direction."""
    season, day_sd, memory = place
    steps = [
        *((season + step, day_sd, memory) for step in (-1, 1)),
        *((season, day_sd + step, memory) for step in (-1, 1)),
        *((season, day_sd, memory + step) for step in (-1, 1)),
    ]
    sizes = (len(SEASONS), len(DAY_SDS), len(DAY_MEMORIES))
    return [one for one in steps if all(0 <= at < size for at, size in zip(one, sizes, strict=True))]


def _grouped(
    settings: Iterable[Setting], by: Callable[[Setting], KeyT]
) -> Iterable[tuple[KeyT, list[Setting]]]:
    groups: dict[KeyT, list[Setting]] = {}
    for setting in settings:
        groups.setdefault(by(setting), []).append(setting)
    return groups.items()


def _of_days(setting: Setting) -> OfDays:
    return setting.season, setting.day_sd, setting.memory


def _mixed(solved: list[Solved], noise: float) -> Posterior:
    """Mean and covariance over the settings by their evidence."""
    evidence = np.array([one.log_evidence for one in solved])
    weight = np.exp(evidence - evidence.max())
    weight /= weight.sum()
    means = np.stack([one.mean for one in solved])
    mean = weight @ means
    away = means - mean
    covariance = np.einsum("s,sij->ij", weight, np.stack([one.covariance for one in solved]))
    covariance += (weight[:, None] * away).T @ away
    day_sd = float(weight @ [one.setting.day_sd for one in solved])
    return Posterior(mean, covariance, day_sd, float(np.sqrt(noise)))
