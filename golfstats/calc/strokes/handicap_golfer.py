"""A golfer of handicap h and rating gender as a benchmark: the professional table plus a gap. An estimate, not a table.

**How large the gap is.** On the reference course (par 72, rated 72.0 / 113) a man expects
72 + 1.04 h + 2.4 strokes: the simplified expected score of the handicap system, as published by the
German (2024) and the Danish golf unions. "Expects" means the sum of E(tee) over the eighteen holes. The
gap G(h) is that less the professional's sum.

**Where it lies.** Every position has a part of G, so E_h = E_professional + gap(lie, yards). On the green the gap
is c · P(feet), elsewhere c · P(feet) + a · S(yards) + b · yards^p, and d · A(yards) more where the ball is on the
ground and not on a peg: what the putt of that length would cost, what getting onto the green costs, a part that
grows with every yard, and what a long shot from the ground costs beyond one from a peg (a 90-golfer's shots
from 150 yards are tighter and rounder from a peg: Broadie's column). Four sums over the reference course fix
them for each handicap:

- over the first putts: 3/20 of G (Broadie's data, as told in a coaching article: of 20 strokes between an
  80- and a 100-golfer about 3 are putting);
- over the positions where the long game ends: a third of G, so the long game has two thirds (Broadie 2012:
  shots from more than 100 yards explain about two thirds of the differences between scores) and the short game the
  rest, 11/60. How often it ends on the green depends on the handicap
  (:func:`~golfstats.calc.strokes.reference_course.share_onto_green`);
- over the eighteen tees: G;
- over the tees of par 4 and 5: as much as from where the drive ends, and the stroke. So who drives as far as
  the rating system's model golfer of that handicap, and as straight as was published
  (:func:`~golfstats.calc.strokes.reference_course.drive_of`), neither gains nor loses from the tee. By this the
  best golfers would find the ground easier than a peg: then d is zero.

P is the shape of putts lost; S rises to its full height within about 30 yards, A where the long game begins. From
a greenside bunker S counts half as much again, less and less from 50 yards on and no more from 150 (our assumption,
no source). p = 1.25: then the golfer of handicap 20 keeps within half a stroke of the length part of the rating
formulae from 5,800 to 7,200 yards.

**A woman** of handicap h takes as many strokes from a tee, a green and near one as a man of handicap h does from
as far away in his yards (:func:`~golfstats.calc.strokes.reference_course.as_mens_yards`). So she expects
72 + 1.04 h + 2.4 on the reference course from the women's tees, where it is rated 72.0 / 113 for her. From the
ground d is her own, as her drives are.

From every distance the lies are in order: green, fairway, rough, recovery, and sand never beyond recovery.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, lru_cache
from types import MappingProxyType

import numpy as np
from scipy.interpolate import PchipInterpolator

from golfstats.calc.record import Bools, Codes, Floats, Ints
from golfstats.calc.strokes.benchmark import CURVE_LIES, Benchmark, Curve, professional
from golfstats.calc.strokes.reference_course import (
    GENDERS,
    REFERENCE_HOLES,
    REFERENCE_RATING,
    STRETCH,
    Gender,
    as_mens_yards,
    drive_of,
    from_mens_yards,
    reference_tees,
    share_onto_green,
)
from golfstats.calc.strokes.table import professional_provenance
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import Lie
from golfstats.sentences import Sentence, joined

BEST_HANDICAP = -5.0
"""+5, a plus handicap being a negative number."""
HIGHEST_HANDICAP = 54.0

SHARE_AFTER_LONG_GAME = 1 / 3
SHARE_OF_PUTTING = 3 / 20
SAND_FACTOR = 1.5
LENGTH_POWER = 1.25
SURE_FROM, SURE_TO = 10.0, 25.0
"""Handicaps between which the published parts of a man's gap agree with each other."""

WOMENS_YARDS = Sentence(
    "Women's yards are stretched so that both genders meet the length formulae of the course rating system "
    "(from memory); no published table of women's strokes by distance was found."
)

_TEES = reference_tees("men")
_TEE_LIES = np.full(len(_TEES), Lie.TEE, dtype=np.int64)
_DRIVING_HOLES = _TEES[np.array([hole.par > 3 for hole in REFERENCE_HOLES])]
_AFTER_LIES = np.array([hole.lie_after_long_game for hole in REFERENCE_HOLES], dtype=np.int64)
_AFTER_YARDS = np.array([hole.yards_after_long_game for hole in REFERENCE_HOLES])
_FIRST_PUTTS = np.array([hole.first_putt_feet for hole in REFERENCE_HOLES]) / FEET_PER_YARD

# Putts that a golfer who scores 90 loses to a professional. To 10 ft: the difference of the published
# one-putt chances (Broadie 2014, partly from memory) plus a few three-putts; from 20 ft an assumption.
_PUTTS_LOST = PchipInterpolator(
    np.array([0.0, 2.0, 3.0, 5.0, 8.0, 10.0, 20.0, 30.0, 40.0, 60.0, 90.0]),
    np.array([0.0, 0.04, 0.12, 0.27, 0.24, 0.22, 0.19, 0.19, 0.21, 0.26, 0.32]),
)
_HANDICAPS = np.arange(BEST_HANDICAP, HIGHEST_HANDICAP + 1.0)
# Close enough together that a curve through them follows the gap to 0.02 strokes at handicap 54.
_KNOTS = np.concatenate(
    [np.arange(0.0, 12.0, 1 / 3), np.arange(12.0, 100.0, 4.0), np.arange(100.0, 651.0, 10.0)]
)


def expected_total(handicap: float) -> float:
    """Strokes that a golfer of this handicap expects on the reference course."""
    return REFERENCE_RATING + 1.04 * handicap + 2.4


def expected_for(handicap: Floats, lie: Codes | Ints, distance: Floats, women: Bools) -> Floats:
    """Expected strokes to hole out where each position is played by a golfer of another handicap or gender."""
    yards = as_mens_yards(distance, women)
    strokes = professional().expected(lie, yards) + gap(handicap, lie, yards, women)
    return np.asarray(strokes, dtype=np.float64)


@lru_cache(maxsize=1200)
def handicap_golfer(handicap: float, gender: Gender = "men") -> Benchmark:
    """The golfer of this handicap, from -5.0 (written +5) to 54; ``ValueError`` outside."""
    if not BEST_HANDICAP <= handicap <= HIGHEST_HANDICAP:
        raise ValueError(f"a handicap lies between +5 and 54, not {handicap_words(handicap)}")
    words = handicap_words(handicap)
    total, tees = f"{expected_total(handicap):.1f}", f"{reference_tees(gender).sum():,.0f}"
    return Benchmark(
        key=f"handicap:{words}:{gender}",
        name=(
            Sentence("Woman of handicap {handicap}", handicap=words)
            if gender == "women"
            else Sentence("Man of handicap {handicap}", handicap=words)
        ),
        description=(
            Sentence(
                "An estimate of what a woman of handicap {handicap} averages from the same lie and distance: {strokes} "
                "strokes on a course of par 72 and {yards} yards, rated 72.0 with slope 113 for women.",
                handicap=words,
                strokes=total,
                yards=tees,
            )
            if gender == "women"
            else Sentence(
                "An estimate of what a man of handicap {handicap} averages from the same lie and distance: {strokes} "
                "strokes on a course of par 72 and {yards} yards, rated 72.0 with slope 113.",
                handicap=words,
                strokes=total,
                yards=tees,
            )
        ),
        provenance=joined(
            " ",
            [
                Sentence(
                    "Estimate: the professional benchmark plus a gap. Its size is the simplified expected score of the "
                    "handicap system (rating + 1.04 × handicap + 2.4); about two thirds of it lie in the long game and "
                    "3 of 20 strokes in putting, as published by Broadie, and what tee shots have of it follows from "
                    "the drives of the rating system's model golfers; its course by distance is an assumption."
                ),
                *_how_sure_parts_are(handicap, gender),
                *([WOMENS_YARDS] if gender == "women" else []),
                professional_provenance(),
            ],
        ),
        curves=MappingProxyType(_curves(handicap, gender)),
    )


def _how_sure_parts_are(handicap: float, gender: Gender) -> list[Sentence]:
    """What the sources leave open of a golfer's tee shots, approaches and short game; their sum is not in doubt.

    Near scratch they contradict each other: who drives no farther than the model golfer has lost more by it than two
    thirds of the gap, by up to 0.7 strokes a round (:func:`_from_the_ground` would be below zero). Directions were
    published for golfers to about handicap 25, and nothing of what women lose by part: a simulated woman of
    36 is off by up to two strokes in a part.
    """
    if handicap > SURE_TO:
        return [
            Sentence(
                "How a golfer of so high a handicap shares the gap among tee, approach and short game was never "
                "published and is unknown to about {strokes} strokes a round; the sum holds.",
                strokes="2" if gender == "women" else "0.7",
            )
        ]
    if gender == "women":
        return [
            Sentence(
                "How women share the gap among tee, approach and short game was never published and is unknown to "
                "about {strokes} strokes a round; the sum holds.",
                strokes="0.7",
            )
        ]
    if handicap < SURE_FROM:
        return [
            Sentence(
                "How a golfer so good shares the gap among tee, approach and short game is unknown to about {strokes} "
                "strokes a round: the published drives and shares contradict each other there; the sum holds.",
                strokes="0.7",
            )
        ]
    return []


def _curves(handicap: float, gender: Gender) -> dict[Lie, Curve]:
    table = professional()
    woman = np.array(gender == "women")
    curves = {}
    for lie in CURVE_LIES:
        yards = np.unique(np.concatenate([table.curves[lie].yards, _KNOTS]))
        more = gap(np.full(len(yards), handicap), np.full(len(yards), lie), yards, woman)
        curves[lie] = Curve.through(from_mens_yards(yards, woman), table.curves[lie](yards) + more)
    return in_order(curves)


def in_order(curves: Mapping[Lie, Curve]) -> dict[Lie, Curve]:
    """The curves with rough never below fairway, and recovery never below rough nor sand, at any knot."""
    rough = _at_least(curves[Lie.ROUGH], curves[Lie.FAIRWAY])
    recovery = _at_least(_at_least(curves[Lie.RECOVERY], rough), curves[Lie.SAND])
    return {**curves, Lie.ROUGH: rough, Lie.RECOVERY: recovery}


def _at_least(curve: Curve, other: Curve) -> Curve:
    return Curve(curve.yards, np.maximum(curve.strokes, other(curve.yards)))


def handicap_words(handicap: float) -> str:
    """As golfers write it: ``3.4``, and ``+2`` for -2.0."""
    return f"+{-handicap:g}" if handicap < 0 else f"{handicap:g}"


def gap(handicap: Floats, lie: Codes | Ints, distance: Floats, women: Bools) -> Floats:
    """Strokes that each golfer needs beyond the professional from each position (men's yards)."""
    putting, short, long, *grounds = (np.interp(handicap, _HANDICAPS, column) for column in _factors())
    from_ground = np.where(women, grounds[1], grounds[0]) * _ground_shape(lie, distance)
    elsewhere = short * _short_shape(lie, distance) + long * _long_shape(distance) + from_ground
    return np.asarray(putting * _putts_lost(distance) + np.where(lie == Lie.GREEN, 0.0, elsewhere))


@cache
def _professional_total() -> float:
    return float(professional().expected(_TEE_LIES, _TEES).sum())


@cache
def _factors() -> Floats:
    """c, a, b, and d of men and of women, a row each, that meet the module's sums at :data:`_HANDICAPS`."""
    return np.array([_factors_of(float(handicap)) for handicap in _HANDICAPS]).T


def _factors_of(handicap: float) -> tuple[float, float, float, float, float]:
    whole = expected_total(handicap) - _professional_total()
    putting = SHARE_OF_PUTTING * whole / float(_putts_lost(_FIRST_PUTTS).sum())
    onto, on_green = share_onto_green(handicap), _AFTER_LIES == Lie.GREEN
    often = len(_TEES) * np.where(on_green, onto / on_green.sum(), (1 - onto) / (~on_green).sum())
    off_green = np.where(on_green, 0.0, often)
    sums = np.array(
        [
            [off_green @ _short_shape(_AFTER_LIES, _AFTER_YARDS), off_green @ _long_shape(_AFTER_YARDS)],
            [_short_shape(_TEE_LIES, _TEES).sum(), _long_shape(_TEES).sum()],
        ]
    )
    of_putting = putting * np.array([often @ _putts_lost(_AFTER_YARDS), _putts_lost(_TEES).sum()])
    short, long = np.linalg.solve(sums, np.array([SHARE_AFTER_LONG_GAME, 1.0]) * whole - of_putting)
    men, women = (_from_the_ground(handicap, gender, float(short), float(long)) for gender in GENDERS)
    return putting, float(short), float(long), men, women


def _from_the_ground(handicap: float, gender: Gender, short: float, long: float) -> float:
    """The factor d: what the tees of par 4 and 5 are worth beyond the stroke and where the drive ends."""

    def expected(lie: Lie, yards: Floats) -> float:
        lies = np.full(len(yards), lie)
        strokes = (
            professional().expected(lies, yards)
            + short * _short_shape(lies, yards)
            + long * _long_shape(yards)
        )
        return float(strokes.sum())

    drive = drive_of(handicap, gender)
    left = _DRIVING_HOLES - drive.yards * (STRETCH if gender == "women" else 1.0)
    after = sum(share * expected(lie, left) for lie, share in drive.lies.items())
    beyond = expected(Lie.TEE, _DRIVING_HOLES) - len(left) * (1 + drive.penalty) - after
    return max(beyond / float(_ground_shape(np.full(len(left), Lie.FAIRWAY), left).sum()), 0.0)


def _putts_lost(yards: Floats) -> Floats:
    feet = np.clip(yards * FEET_PER_YARD, 0.0, 90.0)
    return np.asarray(_PUTTS_LOST(feet), dtype=np.float64)


def _short_shape(lie: Codes | Ints, yards: Floats) -> Floats:
    explosion = np.clip((150.0 - yards) / 100.0, 0.0, 1.0)
    factor = np.where(lie == Lie.SAND, 1.0 + (SAND_FACTOR - 1.0) * explosion, 1.0)
    return np.asarray(factor * (1.0 - np.exp(-yards / 10.0)), dtype=np.float64)


def _long_shape(yards: Floats) -> Floats:
    return np.asarray(np.maximum(yards, 0.0) ** LENGTH_POWER, dtype=np.float64)


def _ground_shape(lie: Codes | Ints, yards: Floats) -> Floats:
    return np.where(lie == Lie.TEE, 0.0, np.clip((yards - 100.0) / 50.0, 0.0, 1.0))
