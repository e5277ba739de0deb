"""What disturbed greens cost a club's members: the posterior, and the figures that come from it.

:mod:`golfstats.calc.greens.effect.estimate` makes it: a normal posterior of the coefficients of
:class:`golfstats.calc.greens.effect.healing.Coefficients`. Every figure is a loading of these coefficients, so that
days, windows, rounds and sums over a season all come from one answer and its doubt. Kinds and courses without rounds
have their prior: they are like the others, give or take how kinds and courses differ.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
from scipy import special

from golfstats.calc.figure import NORMAL_QUANTILE, Figure, never_certain
from golfstats.calc.greens.effect.healing import Coefficients, is_coring, standard_rate
from golfstats.calc.greens.effect.putts import EDGES_FT
from golfstats.calc.greens.surface.cost import putt_cost
from golfstats.calc.greens.surface.disturbance import Work
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.calc.record import Floats, Ints
from golfstats.calc.units import Unit
from golfstats.sentences import as_kept, from_kept

MINIMUM_ROUNDS, MINIMUM_DAYS, MINIMUM_DISTURBANCE = 12, 3, 0.05
"""Rounds and course-days on greens disturbed by at least this much, below which it is "too few"."""
MOST_PLACEBO_CLAIMS = 1
"""So many of the dates without work may be claimed by chance (one in twenty is); with more of them something else than
work is seen on these greens, and what work costs cannot be told from it."""
SIZE_SD = 1.25
"""A size is only given where its standard deviation is no more than this, strokes a round; otherwise there are too
few to give a size, whatever may be claimed."""
FIRST_STANDARD_DAYS = 7.0
"""The first third of the healing: the cost over these days is what is claimed or not."""
WINDOWS = ((0, 3), (4, 7), (8, 14), (15, 21))
"""Days after the work over which costs are told: single days are blurred by a day or two."""
MIDDLES_FT = np.sqrt(EDGES_FT[1:] * EDGES_FT[:-1])
"""Distance that stands for each distance bin."""
USUAL_SPREADS, GROWTH = (0.027, 0.13), 0.25
"""A club golfer's putting spreads (radians; share of the roll) and their growth, from which the shares of the
distances come; they hardly depend on either."""
USUAL_FIRST_PUTTS = np.full(len(MIDDLES_FT), 18 / len(MIDDLES_FT))
ELSEWHERE = ""
"""Stands for every course without rounds on disturbed greens."""
PERHAPS = (0.0, 2.0)
"""Strokes a round that fresh work of severity 1 may cost where nothing at all is known. Our judgement: no study of
golfers before and after coring was found, and rolled balls were turned aside by a share that comes to so much."""
STROKES = Unit.STROKES_A_ROUND

ALL_KINDS = tuple(sorted(work_types()))


@dataclass(frozen=True)
class Placebo:
    """The same model asked for work on dates on which there was none. Equally long columns."""

    days: tuple[int, ...]
    """``date.toordinal()``"""
    strokes: tuple[float, ...]
    """What it finds over the first days, strokes a round."""
    sd: tuple[float, ...]

    @property
    def claims(self) -> int:
        """Dates of which it would say that work cost strokes. One in twenty is chance."""
        return sum(value > NORMAL_QUANTILE * sd for value, sd in zip(self.strokes, self.sd, strict=True))


@dataclass(frozen=True)
class GreensEffect:
    """The posterior of one club."""

    rounds: int
    """Rounds on disturbed greens: what the answer rests on."""
    days: int
    """Course-days with disturbed greens."""
    putts: int
    """Putts in the fit, from disturbed and undisturbed greens."""
    by_kind: Mapping[str, int]
    """Rounds on greens still healing from each kind of work."""
    by_course: Mapping[str, int]
    """Rounds on disturbed greens of each course."""
    by_course_and_kind: Mapping[str, Mapping[str, int]]
    """The rounds of :attr:`by_kind` on each course: work that was never done on a course is not known there."""
    mean: Floats
    """Of the coefficients, see :attr:`coefficients`; strokes a round."""
    covariance: Floats
    day_sd: float
    """How much whole days differ for other reasons, strokes a round."""
    noise_sd: float
    """How much rounds differ for no reason, strokes a round."""
    first_putts: Floats
    """First putts a round of 18 holes by distance bin."""
    recovery: Mapping[str, tuple[float, float, float]]
    """Recovery days of the kinds whose putts tell them, with their 90% interval."""
    placebo: Placebo
    tee_to_green: tuple[float, float] | None
    """Mean and standard deviation of what the same model finds in the strokes before the green, over the first days
    after the usual work, strokes a round; ``None`` where too few are recorded."""
    cannot_tell: tuple[str, ...]
    """What these rounds cannot tell apart, in plain sentences."""

    @cached_property
    def coefficients(self) -> Coefficients:
        return _all_coefficients(self.by_course)

    @property
    def enough(self) -> bool:
        return self.rounds >= MINIMUM_ROUNDS and self.days >= MINIMUM_DAYS

    @property
    def usual_kind(self) -> str:
        """The kind of work that most of the answer rests on."""
        weight = {kind: rounds * work_types()[kind].severity for kind, rounds in self.by_kind.items()}
        return max(sorted(weight), key=weight.__getitem__, default="coring_medium")

    @property
    def home(self) -> str:
        """The course that most of the answer rests on."""
        return max(sorted(self.by_course), key=self.by_course.__getitem__, default=ELSEWHERE)

    @property
    def claimed(self) -> bool:
        """The club's putts show that its usual work costs strokes."""
        return self.claims(self.usual_kind)

    def claims(self, kind: str, course: str | None = None) -> bool:
        """The putts show that the first days after such work cost strokes."""
        return self.knows(kind, course) and self._first_days(kind, course)[0] > 0 and not self.confounded

    @property
    def confounded(self) -> bool:
        """A control sees what no green work can have done: nothing is claimed, and no size is given, because what is
        the work's and what is something else's cannot be told.
        """
        return self.spell or self.seen_without_work

    @property
    def spell(self) -> bool:
        """The same rounds were worse from tee to green too."""
        return self.tee_to_green is not None and self.tee_to_green[0] > NORMAL_QUANTILE * self.tee_to_green[1]

    @property
    def seen_without_work(self) -> bool:
        """More dates without work look as if there had been some than chance allows."""
        return self.placebo.claims > MOST_PLACEBO_CLAIMS

    def chance_it_costs(self, kind: str, course: str | None = None) -> float | None:
        """Posterior probability that the first days after such work cost strokes; ``None`` where it is not known."""
        if not self.knows(kind, course) or self.confounded:
            return None
        _, mean, sd = self._first_days(kind, course)
        return never_certain(float(special.ndtr(mean / sd)))

    def own_rounds(self, kind: str, course: str | None = None) -> int:
        """Rounds that speak for a kind of work on a course. Corings speak for one another."""
        here = self.home if course is None else course
        of_kinds = self.by_course_and_kind.get(here, {})
        of_kind = sum(rounds for other, rounds in of_kinds.items() if _family(other) == _family(kind))
        return min(of_kind, self.by_course.get(here, 0))

    def knows(self, kind: str, course: str | None = None) -> bool:
        """Enough rounds after such work there; otherwise it is unknown, and :meth:`perhaps` says how much so."""
        return self.enough and self.own_rounds(kind, course) >= MINIMUM_ROUNDS

    def perhaps(self, kind: str, course: str | None = None) -> tuple[float, float]:
        """Where the cost of such work on its first days may lie, strokes a round, for kinds or courses not known."""
        severity = work_types()[kind].severity
        if not self.enough:
            return PERHAPS[0] * severity, PERHAPS[1] * severity
        low, mean, _ = self._first_days(kind, course)
        high = 2 * mean - low
        # The putts' surplus may be that of a spell, or of whatever else is seen without work, all of it.
        return (min(low, 0.0), max(high, 0.0)) if self.confounded else (low, high)

    def strokes_per_round(self, disturbance: float, course: str | None = None) -> Figure:
        """Strokes lost a round in the first days on greens disturbed this much (0 … 1) by the usual kind of work."""
        last = first_days(self.usual_kind)[-1]
        return self.strokes_between(0, last, self.usual_kind, disturbance, course)

    def strokes_after(
        self, days: float, kind: str, severity: float | None = None, course: str | None = None
    ) -> Figure:
        """Strokes lost a round this many days after work of a kind, at its default severity if none is given.

        ``course`` is home where it is left out. Days so late that nothing was looked for have no figure.
        """
        return self._mean_cost(self.after([days], kind, severity, course), kind, course)

    def strokes_between(
        self, first: int, last: int, kind: str, severity: float | None = None, course: str | None = None
    ) -> Figure:
        """Mean strokes lost a round over these days after the work, all days alike."""
        (cost,) = self.strokes_over([(first, last)], kind, severity, course)
        return cost

    def strokes_over(
        self,
        spans: Sequence[tuple[int, int]],
        kind: str,
        severity: float | None = None,
        course: str | None = None,
    ) -> list[Figure]:
        """:meth:`strokes_between` of several spans, at the cost of one: the days' loadings take longest."""
        by_day = self.after(range(max(last for _, last in spans) + 1), kind, severity, course)
        return [self._mean_cost(by_day[first : last + 1], kind, course) for first, last in spans]

    def recovery_days(self, kind: str) -> Figure:
        """Recovery days of a kind of work, where a claimed effect tells them."""
        interval = self.recovery.get(kind)
        rounds = self.own_rounds(kind)
        if interval is None or self.confounded:
            return Figure.too_few(rounds, MINIMUM_ROUNDS, Unit.DAYS)
        return Figure(*interval, rounds, MINIMUM_ROUNDS, Unit.DAYS)

    def after(
        self, days: Iterable[float], kind: str, severity: float | None = None, course: str | None = None
    ) -> Floats:
        """Loadings of the cost of a round so many days after work of a kind, days × coefficients."""
        strength = work_types()[kind].severity if severity is None else severity
        return self.coefficients.after(np.array(list(days), float), kind, strength, self._course(course))

    def of_greens(self, works: Sequence[Work], day: Ints, hole: Ints, course: str) -> Floats:
        """Loadings of the cost of a round of such greens, queries (day, hole) × coefficients."""
        return self.coefficients.of_greens(works, day, hole, self._course(course))

    def shares(self, distance_ft: Floats) -> Floats:
        """Share of a round's cost that one first putt from each distance has; over the usual round they sum to 1.

        By what wider spreads cost from there. The putts themselves say what a round costs, not where.
        """
        shares: Floats = relative_cost(distance_ft) / float(relative_cost(MIDDLES_FT) @ self.first_putts)
        return shares

    def strokes(self, loading: Floats, unit: Unit = STROKES, largest_sd: float = SIZE_SD) -> Figure:
        """A figure of what the surface cost, from its loading. "Too few" where its size is too uncertain."""
        mean, sd = self.normal(loading)
        if not np.any(loading):
            return Figure(0.0, 0.0, 0.0, self.rounds, 0, unit)
        if not self.enough or self.confounded or sd > largest_sd:
            return Figure.too_few(self.rounds, MINIMUM_ROUNDS, unit)
        half = NORMAL_QUANTILE * sd
        return Figure(mean, mean - half, mean + half, self.rounds, MINIMUM_ROUNDS, unit)

    def normal(self, loading: Floats) -> tuple[float, float]:
        """Posterior mean and standard deviation of one loading, strokes."""
        variance = float(loading @ self.covariance @ loading)
        return float(loading @ self.mean), math.sqrt(max(variance, 0.0))

    def _mean_cost(self, loadings: Floats, kind: str, course: str | None) -> Figure:
        """Mean over days; refused where nothing is known, or where some day was never looked at."""
        rounds = self.own_rounds(kind, course)
        figure = self.strokes(loadings.mean(axis=0))
        looked_at = np.any(loadings, axis=1).all()
        if not (looked_at and self.knows(kind, course)) or figure.value is None:
            return Figure.too_few(rounds, MINIMUM_ROUNDS, STROKES)
        return Figure(figure.value, figure.low, figure.high, rounds, MINIMUM_ROUNDS, STROKES)

    def _first_days(self, kind: str, course: str | None) -> tuple[float, float, float]:
        """5% point, mean and standard deviation of the cost over the first third of the healing."""
        known, asked = self._known_first_days, (kind, self._course(course))
        if asked not in known:
            mean, sd = self.normal(self.after(first_days(kind), kind, None, course).mean(axis=0))
            known[asked] = mean - NORMAL_QUANTILE * sd, mean, sd
        return known[asked]

    @cached_property
    def _known_first_days(self) -> dict[tuple[str, str], tuple[float, float, float]]:
        """By kind and course: what is claimed, how likely it is and what it may be all ask for them."""
        return {}

    def _course(self, course: str | None) -> str:
        wanted = self.home if course is None else course
        return wanted if wanted in self.by_course else ELSEWHERE

    def stored(self) -> dict[str, object]:
        """As numbers and lists, for a JSON column: only what differs from the prior."""
        kept = self._fitted()
        return {
            **{name: getattr(self, name) for name in _PLAIN},
            "by_kind": dict(self.by_kind),
            "by_course": dict(self.by_course),
            "by_course_and_kind": {course: dict(kinds) for course, kinds in self.by_course_and_kind.items()},
            "mean": self.mean[kept].tolist(),
            "covariance": self.covariance[np.ix_(kept, kept)].tolist(),
            "first_putts": self.first_putts.tolist(),
            "recovery": {kind: list(days) for kind, days in self.recovery.items()},
            "placebo": asdict(self.placebo),
            "tee_to_green": None if self.tee_to_green is None else list(self.tee_to_green),
            "cannot_tell": [as_kept(one) for one in self.cannot_tell],
        }

    @classmethod
    def restored(cls, stored: Mapping[str, Any]) -> GreensEffect:
        """The reverse of :meth:`stored`; a database gives back the keys of a document in an order of its own."""
        placebo = {name: tuple(column) for name, column in stored["placebo"].items()}
        by_kind, by_course = (dict(sorted(stored[name].items())) for name in ("by_kind", "by_course"))
        mean, covariance = widened(
            np.array(stored["mean"]),
            np.array(stored["covariance"]),
            tuple(by_kind),
            tuple(by_course),
        )
        return cls(
            **{name: stored[name] for name in _PLAIN},
            by_kind=by_kind,
            by_course=by_course,
            by_course_and_kind=stored["by_course_and_kind"],
            mean=mean,
            covariance=covariance,
            first_putts=np.array(stored["first_putts"], dtype=np.float64),
            recovery={kind: tuple(days) for kind, days in stored["recovery"].items()},
            placebo=Placebo(**placebo),
            tee_to_green=None if stored["tee_to_green"] is None else tuple(stored["tee_to_green"]),
            cannot_tell=tuple(from_kept(one) for one in stored["cannot_tell"]),
        )

    def _fitted(self) -> Ints:
        """Where the coefficients of what was fitted are, kinds and courses in order of name."""
        return _places(self.coefficients, sorted(self.by_kind), sorted(self.by_course))


_PLAIN = ("rounds", "days", "putts", "day_sd", "noise_sd")

_cost = lru_cache(maxsize=1)(lambda: putt_cost(*USUAL_SPREADS))


def relative_cost(distance_ft: Floats) -> Floats:
    """What wider spreads cost first putts from these distances, one against another."""
    extra, *_ = _cost().per_putt(np.asarray(distance_ft, float), np.array(GROWTH), np.array(GROWTH))
    return extra


def first_days(kind: str) -> range:
    """Days since the work that are the first third of its usual healing."""
    return range(int(FIRST_STANDARD_DAYS / standard_rate(kind)) + 1)


def _family(kind: str) -> str:
    return "coring" if is_coring(kind) else kind


def _all_coefficients(courses: Iterable[str]) -> Coefficients:
    return Coefficients(ALL_KINDS, (*courses, ELSEWHERE))


def fitted_among_all(kinds: Sequence[str], courses: Sequence[str]) -> Ints:
    """Where the coefficients of a fit over these kinds and courses are among those of all kinds."""
    return _places(_all_coefficients(courses), kinds, courses)


def _places(everything: Coefficients, kinds: Sequence[str], courses: Sequence[str]) -> Ints:
    usual = np.arange(everything.size)[: everything.of_kind(ALL_KINDS[0]).start]
    of_kinds = [np.arange(everything.size)[everything.of_kind(kind)] for kind in kinds]
    of_courses = np.array([everything.of_course(course) for course in courses], dtype=np.int64)
    return np.concatenate([usual, *of_kinds, of_courses])


def widened(
    mean: Floats, covariance: Floats, kinds: Sequence[str], courses: Sequence[str]
) -> tuple[Floats, Floats]:
    """A posterior over some kinds and courses as one over all: the others keep their prior."""
    everything = _all_coefficients(courses)
    at = fitted_among_all(kinds, courses)
    wide_mean, wide = np.zeros(everything.size), everything.prior_covariance(0.0)
    wide_mean[at] = mean
    wide[at, :] = 0.0
    wide[:, at] = 0.0
    wide[np.ix_(at, at)] = covariance
    return wide_mean, wide


def too_few_effect(rounds: int, days: int, putts: int) -> GreensEffect:
    """The answer of a club with too few rounds on disturbed greens: every figure says "too few"."""
    everything = _all_coefficients(())
    return GreensEffect(
        rounds=rounds,
        days=days,
        putts=putts,
        by_kind={},
        by_course={},
        by_course_and_kind={},
        mean=np.zeros(everything.size),
        covariance=everything.prior_covariance(0.7),
        day_sd=0.0,
        noise_sd=0.0,
        first_putts=USUAL_FIRST_PUTTS,
        recovery={},
        placebo=Placebo((), (), ()),
        tee_to_green=None,
        cannot_tell=(),
    )
