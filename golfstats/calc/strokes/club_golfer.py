"""A club's own golfers near a handicap, of either rating gender, as a benchmark fitted from the club's shots.

The golfers' expected strokes are the estimate of :mod:`~golfstats.calc.strokes.handicap_golfer` plus a
deviation, one smooth function of distance for each lie. The deviation has a Gaussian-process prior of
mean zero (Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, chapter 2): nearby
distances deviate alike, lies off the green partly alike, and where shots are few the posterior mean
stays near zero, so the benchmark stays near the estimate; without any shot it is the estimate.

Shots of golfers of other handicaps count by their closeness, each compared with the estimate for its
own golfer's handicap and gender, so that an uneven mix does not bend the fit. **Both genders are fitted at
once:** half of the deviation's prior variance is common to men and women who face as long a way
(:func:`~golfstats.calc.strokes.reference_course.as_mens_yards`), half is each gender's own. So the few women of a
club borrow from its men, and less the more shots of their own there are.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Any, Self

import numpy as np
from scipy import sparse

from golfstats.calc.record import Bools, Codes, Floats, Ints, Record, Table
from golfstats.calc.strokes.benchmark import CURVE_LIES, SAME_AS, Benchmark, Curve
from golfstats.calc.strokes.gained import covered_holes, strokes_still_likely
from golfstats.calc.strokes.handicap_golfer import (
    expected_for,
    handicap_golfer,
    handicap_words,
    in_order,
)
from golfstats.calc.strokes.reference_course import GENDERS, Gender, as_mens_yards
from golfstats.calc.vocabulary import Lie
from golfstats.sentences import Sentence, joined

HANDICAP_REACH = 6.0
"""Golfers this far or farther from the handicap in question count nothing."""

# The prior, in words: a club's golfers differ from the estimate by about a quarter of a stroke from a
# given position, less where hardly more than one stroke is expected; distances that differ by half again
# deviate alike; half of a deviation off the green is common to all its lies. Assumptions of ours, no source.
_DEVIATION_SD = 0.25
_REACH_IN_LOG_YARDS = 0.5
_LOG_OFFSET_YARDS = 3.0
_COMMON_TO_LIES = 0.5
_COMMON_TO_GENDERS = 0.5

# Where the deviation is fitted, in men's yards: near enough to each other for a straight line between them.
_PLACES = (
    np.exp(np.linspace(np.log(_LOG_OFFSET_YARDS), np.log(650.0 + _LOG_OFFSET_YARDS), 37)) - _LOG_OFFSET_YARDS
)
_LIE = np.repeat(np.array(CURVE_LIES), len(_PLACES))
_YARDS = np.tile(_PLACES, len(CURVE_LIES))
_NUMBER_OF_LIE = np.array([CURVE_LIES.index(SAME_AS.get(lie, lie)) for lie in Lie])
"""Of the lie whose curve values each shot: fringe as fairway, penalty as recovery."""
_LEFT = np.arange(2 * len(_LIE)).reshape(len(GENDERS), len(CURVE_LIES), len(_PLACES))[..., :-1]
"""By gender, lie and interval between two places: which of all the knots lies at its left; the next is at its right."""


@dataclass(frozen=True)
class HoleOuts(Table):
    """Positions of complete holes and what it took from there. One row a shot."""

    lie: Codes
    distance: Floats
    """Yards to the hole."""
    strokes: Ints
    """Strokes from here until holed, this one and every penalty stroke included."""
    handicap: Floats
    """Handicap index of the golfer on that day."""
    women: Bools
    """Whose rating gender is women's."""


@dataclass(frozen=True, eq=False)
class ShotSums:
    """All that golfers are fitted from: the club's shots summed by handicap index, gender and lie.

    How much a shot counts near a handicap depends on nothing but its golfer's index, which is told in tenths (Rules of
    Handicapping, 5.2). So the shots are gone through once, however many golfers are fitted.
    """

    handicap: Floats
    """Each index that there is; the others' first axis."""
    shots: Ints
    """How many; indexes × genders × lies."""
    normal: tuple[Floats, Floats, Floats]
    """Of BᵀWB by interval between two places: left with left, left with right, right with right."""
    score: tuple[Floats, Floats]
    """Of BᵀWr likewise: left and right."""

    @classmethod
    def of(cls, hole_outs: HoleOuts) -> Self:
        """A shot is compared with the estimate for its own golfer; B, W and r are those of :func:`_deviations`."""
        number, women = _NUMBER_OF_LIE[hole_outs.lie], hole_outs.women
        lie = np.array(CURVE_LIES)[number]
        tenths, of_index = np.unique(np.rint(10 * hole_outs.handicap), return_inverse=True)
        expected = expected_for(hole_outs.handicap, lie, hole_outs.distance, women)
        weight, residual = 1.0 / _variance(expected), hole_outs.strokes - expected
        left, right_share = _between(_PLACES, as_mens_yards(hole_outs.distance, women))
        left_share = 1.0 - right_share
        shape = (len(tenths), *_LEFT.shape)
        group = (of_index * shape[1] + women) * shape[2] + number
        cell = group * shape[3] + left

        def summed(values: Floats) -> Floats:
            return np.bincount(cell, weights=values, minlength=math.prod(shape)).reshape(shape)

        to_left, to_right = weight * left_share, weight * right_share
        return cls(
            handicap=tenths / 10,
            shots=np.bincount(group, minlength=math.prod(shape[:3])).reshape(shape[:3]),
            normal=(
                summed(to_left * left_share),
                summed(to_left * right_share),
                summed(to_right * right_share),
            ),
            score=(summed(to_left * residual), summed(to_right * residual)),
        )

    def shots_near(self, handicap: float) -> Ints:
        """Shots of golfers within :data:`HANDICAP_REACH`, genders × lies."""
        counted: Ints = self.shots[closeness(self.handicap, handicap) > 0.0].sum(axis=0)
        return counted


@dataclass(frozen=True, eq=False)
class ClubGolfer:
    """The fitted golfer: what a worker stores, and a benchmark when rebuilt."""

    handicap: float
    gender: Gender
    shots: int
    """Shots of golfers within :data:`HANDICAP_REACH` that the fit rests on."""
    own_shots: int
    """How many of those are by golfers of this gender."""
    shots_by_lie: Mapping[Lie, int]
    fitted_on: date
    curves: Mapping[Lie, Curve]

    def benchmark(self) -> Benchmark:
        words = handicap_words(self.handicap)
        women = self.gender == "women"
        shots, own, day = f"{self.shots:,}", f"{self.own_shots:,}", f"{self.fitted_on:%Y-%m-%d}"
        mix = (
            Sentence("{shots} shots, {own} of them by women", shots=shots, own=own)
            if women
            else Sentence("{shots} shots, {own} of them by men", shots=shots, own=own)
        )
        return Benchmark(
            key=f"club:{words}:{self.gender}",
            name=(
                Sentence("Woman of this club near handicap {handicap}", handicap=words)
                if women
                else Sentence("Man of this club near handicap {handicap}", handicap=words)
            ),
            description=(
                Sentence(
                    "What this club's women near handicap {handicap} average from the same lie and distance, from "
                    "{mix}, up to {day}.",
                    handicap=words,
                    mix=mix,
                    day=day,
                )
                if women
                else Sentence(
                    "What this club's men near handicap {handicap} average from the same lie and distance, from "
                    "{mix}, up to {day}.",
                    handicap=words,
                    mix=mix,
                    day=day,
                )
            ),
            provenance=joined(
                " ",
                [
                    Sentence(
                        "Fitted from {mix}, on {day}. Where shots are few it stays near the club's other golfers of "
                        "that handicap and then near the estimate for handicap {handicap}.",
                        mix=mix,
                        day=day,
                        handicap=words,
                    ),
                    handicap_golfer(self.handicap, self.gender).provenance,
                ],
            ),
            curves=self.curves,
        )

    def to_json(self) -> dict[str, object]:
        """A plain dictionary of numbers, strings and lists."""
        return {
            "handicap": self.handicap,
            "gender": self.gender,
            "shots": self.shots,
            "own_shots": self.own_shots,
            "shots_by_lie": {lie.word: count for lie, count in self.shots_by_lie.items()},
            "fitted_on": self.fitted_on.isoformat(),
            "curves": {
                lie.word: {"yards": curve.yards.tolist(), "strokes": curve.strokes.tolist()}
                for lie, curve in self.curves.items()
            },
        }

    @classmethod
    def from_json(cls, stored: Mapping[str, Any]) -> Self:
        """The inverse of :meth:`to_json`; ``KeyError`` where something is missing."""
        return cls(
            handicap=float(stored["handicap"]),
            gender="women" if stored["gender"] == "women" else "men",
            shots=int(stored["shots"]),
            own_shots=int(stored["own_shots"]),
            shots_by_lie=MappingProxyType({Lie.of(word): n for word, n in stored["shots_by_lie"].items()}),
            fitted_on=date.fromisoformat(stored["fitted_on"]),
            curves=MappingProxyType(
                {
                    Lie.of(word): Curve(np.array(curve["yards"]), np.array(curve["strokes"]))
                    for word, curve in stored["curves"].items()
                }
            ),
        )


def hole_outs(record: Record, handicap: Floats, women: Bools) -> HoleOuts:
    """Every shot of the record's covered holes, given the golfer's handicap index in each round and their gender.

    A ball picked up counts with the strokes still likely, so that bad holes stay in. Rounds without a handicap
    (NaN) are left out.
    """
    shots = record.shots
    cost = (1 + shots.penalty).astype(np.float64)
    hole_cost = np.bincount(shots.hole, weights=cost, minlength=len(record.holes)) + strokes_still_likely(
        record
    )
    spent = np.cumsum(cost) - cost
    spent_at_first = np.full(len(record.holes), np.inf)
    np.minimum.at(spent_at_first, shots.hole, spent)
    to_go = hole_cost[shots.hole] - (spent - spent_at_first[shots.hole])
    golfer = handicap[shots.round]
    rows = covered_holes(record)[shots.hole] & ~np.isnan(golfer)
    every = HoleOuts(shots.lie, shots.distance, np.rint(to_go).astype(np.int64), golfer, women[shots.round])
    return every.select(rows)


def closeness(handicaps: Floats, handicap: float) -> Floats:
    """Weight of each golfer's shots by distance in handicap: 1 at none, 0 from :data:`HANDICAP_REACH` on.

    Tukey's biweight kernel.
    """
    apart = np.clip(np.abs(handicaps - handicap) / HANDICAP_REACH, 0.0, 1.0)
    return np.asarray((1.0 - apart**2) ** 2, dtype=np.float64)


def golfers_near(handicap: float, sums: ShotSums, fitted_on: date) -> dict[Gender, ClubGolfer]:
    """The club's golfers near ``handicap`` from all its shots (those too far in handicap are left out)."""
    near, deviations = sums.shots_near(handicap), _deviations(sums, handicap)
    return {
        gender: ClubGolfer(
            handicap=handicap,
            gender=gender,
            shots=int(near.sum()),
            own_shots=int(near[number].sum()),
            shots_by_lie=MappingProxyType(dict(zip(CURVE_LIES, near.sum(axis=0).tolist(), strict=True))),
            fitted_on=fitted_on,
            curves=_curves(handicap_golfer(handicap, gender), gender, deviations[number]),
        )
        for number, gender in enumerate(GENDERS)
    }


def _curves(estimate: Benchmark, gender: Gender, deviation: _Deviation) -> Mapping[Lie, Curve]:
    curves = {}
    for each in CURVE_LIES:
        yards = estimate.curves[each].yards
        shift, trust = deviation.at(each, as_mens_yards(yards, np.array(gender == "women")))
        curves[each] = Curve.through(yards, estimate.curves[each].strokes + shift, weights=trust)
    return MappingProxyType(in_order(curves))


@dataclass(frozen=True, eq=False)
class _Deviation:
    """Posterior of one gender's deviation at :data:`_LIE` and :data:`_YARDS`."""

    mean: Floats
    information: Floats
    """For weighing points of a curve against each other."""

    def at(self, lie: Lie, yards: Floats) -> tuple[Floats, Floats]:
        """Both at other distances, in men's yards."""
        mine = lie == _LIE
        left, share = _between(_PLACES, yards)
        mean, information = self.mean[mine], self.information[mine]
        along = [(1.0 - share) * column[left] + share * column[left + 1] for column in (mean, information)]
        return along[0], along[1]


def _deviations(sums: ShotSums, handicap: float) -> list[_Deviation]:
    """How the club's golfers differ from the estimate, by gender.

    A shot's deviation is interpolated linearly between the two knots of its gender and lie around it. With B
    that interpolation, W the weights, r the strokes beyond the estimate and K the prior covariance, the mean is
    K (I + BᵀWB K)⁻¹ BᵀWr.
    """
    near = closeness(sums.handicap, handicap)
    knots = 2 * len(_LIE)
    normal, score = np.zeros((knots, knots)), np.zeros(knots)
    both_left, across, both_right = (np.tensordot(near, part, 1) for part in sums.normal)
    normal[_LEFT, _LEFT] += both_left
    normal[_LEFT, _LEFT + 1] += across
    normal[_LEFT + 1, _LEFT] += across
    normal[_LEFT + 1, _LEFT + 1] += both_right
    for at, part in zip((_LEFT, _LEFT + 1), sums.score, strict=True):
        score[at] += np.tensordot(near, part, 1)
    genders = np.array([[1.0, _COMMON_TO_GENDERS], [_COMMON_TO_GENDERS, 1.0]])
    at_knots = handicap_golfer(handicap).expected(_LIE, _YARDS)
    prior = np.kron(genders, _prior_covariance(_LIE, _YARDS, at_knots))
    # Hardly any two knots have a shot between them.
    mean = prior @ np.linalg.solve(np.eye(knots) + sparse.csr_array(normal) @ prior, score)
    information = normal.sum(axis=1) + 1.0 / _DEVIATION_SD**2
    return [_Deviation(*both) for both in zip(np.split(mean, 2), np.split(information, 2), strict=True)]


def _between(knots: Floats, yards: Floats) -> tuple[Ints, Floats]:
    """Number of the knot to the left of each distance, and how far it is on the way to the next (0-1)."""
    inside = np.clip(yards, knots[0], knots[-1])
    left = np.clip(np.searchsorted(knots, inside, side="right") - 1, 0, len(knots) - 2)
    return left, (inside - knots[left]) / (knots[left + 1] - knots[left])


def _prior_covariance(lie: Ints, yards: Floats, expected: Floats) -> Floats:
    sd = _DEVIATION_SD * np.minimum(expected - 1.0, 1.0)
    place = np.log(yards + _LOG_OFFSET_YARDS) / _REACH_IN_LOG_YARDS
    alike = np.exp(-0.5 * (place[:, None] - place[None, :]) ** 2)
    same_lie = lie[:, None] == lie[None, :]
    both_off_green = (lie[:, None] != Lie.GREEN) & (lie[None, :] != Lie.GREEN)
    common = np.where(same_lie, 1.0, np.where(both_off_green, _COMMON_TO_LIES, 0.0))
    return np.asarray(sd[:, None] * sd[None, :] * common * alike, dtype=np.float64)


def _variance(expected: Floats) -> Floats:
    """Working variance of strokes to hole out; it only sets how fast shots outweigh the estimate.

    About 0.1 for a short putt and 1 from the tee of a par 4 (from memory of amateur scores).
    """
    return 0.05 + 0.25 * (expected - 1.0)
