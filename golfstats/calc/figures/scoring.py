"""Scores, fairways, greens, saves and putts: the statistics every golfer expects.

Figures "a round" are 18-hole equivalents: 18 times the mean over the holes covered, so that nine holes
and partly noted rounds count for what they are; ``n`` is the number of holes covered.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from golfstats.calc.a_round import ROUND
from golfstats.calc.figures.holes import hole_facts, strokes_through
from golfstats.calc.figures.targets import GREENSIDE_YARDS, greenside
from golfstats.calc.observations import AnalysedRecord, FigureSpec, Observations
from golfstats.calc.record import Bools, Ints
from golfstats.calc.strokes.gained import covered_holes, strokes_still_likely
from golfstats.calc.units import Unit
from golfstats.calc.vocabulary import UNKNOWN, Lie

ROUNDS_APART, NINES_APART = 3.0, 2.0
"""Strokes by which a player's scores usually differ, over 18 holes and over nine (common practice, no source)."""


def score_on_par(analysed: AnalysedRecord, par: int) -> Observations:
    holes = analysed.record.holes
    return Observations.of_holes(analysed.record, holes.score, holes.par == par, holes.picked_up)


def to_par(analysed: AnalysedRecord) -> Observations:
    holes = analysed.record.holes
    everywhere = np.ones(len(holes), bool)
    over_par = ROUND * (holes.score - holes.par)
    return Observations.of_holes(analysed.record, over_par, everywhere, holes.picked_up)


def score_over(analysed: AnalysedRecord, first: int, last: int) -> Observations:
    """Total score of the rounds in which every hole from ``first`` to ``last`` was played."""
    holes, rounds = analysed.record.holes, analysed.record.rounds
    within = (holes.number >= first) & (holes.number <= last)
    played = np.bincount(holes.round[within], minlength=len(rounds))
    total = np.bincount(holes.round[within], weights=holes.score[within], minlength=len(rounds))
    picked_up = np.bincount(holes.round[within], weights=holes.picked_up[within], minlength=len(rounds))
    return Observations.of_rounds(total, played == last - first + 1, picked_up)


def fairways_hit(analysed: AnalysedRecord) -> Observations:
    hit = hole_facts(analysed.record).fairway_hit
    return Observations.of_holes(analysed.record, hit, hit != UNKNOWN)


def greens_in_regulation(analysed: AnalysedRecord) -> Observations:
    hit = hole_facts(analysed.record).green_in_regulation
    return Observations.of_holes(analysed.record, hit, hit != UNKNOWN)


def par_or_better_without_green(analysed: AnalysedRecord) -> Observations:
    """Par or better on holes whose green was missed in regulation; needs no shots."""
    holes = analysed.record.holes
    missed = hole_facts(analysed.record).green_in_regulation == 0
    return Observations.of_holes(analysed.record, holes.score <= holes.par, missed)


def up_and_down(analysed: AnalysedRecord) -> Observations:
    """Holed in two from the first greenside shot of a hole whose green was missed in regulation."""
    shots = analysed.record.shots
    missed = hole_facts(analysed.record).green_in_regulation == 0
    return _holed_in_two(analysed, greenside(shots) & missed[shots.hole])


def sand_saves(analysed: AnalysedRecord) -> Observations:
    """Holed in two from the first greenside bunker shot of a hole, whatever the score."""
    shots = analysed.record.shots
    return _holed_in_two(analysed, greenside(shots) & (shots.lie == Lie.SAND))


def putts(analysed: AnalysedRecord) -> Observations:
    count = hole_facts(analysed.record).putts
    return Observations.of_holes(analysed.record, ROUND * count, count != UNKNOWN)


def putts_on_greens_in_regulation(analysed: AnalysedRecord) -> Observations:
    facts = hole_facts(analysed.record)
    rows = (facts.putts != UNKNOWN) & (facts.green_in_regulation == 1)
    return Observations.of_holes(analysed.record, facts.putts, rows)


def three_putts(analysed: AnalysedRecord) -> Observations:
    count = hole_facts(analysed.record).putts
    return Observations.of_holes(analysed.record, count >= 3, count != UNKNOWN)


def penalties(analysed: AnalysedRecord) -> Observations:
    count = hole_facts(analysed.record).penalties
    return Observations.of_holes(analysed.record, ROUND * count, count != UNKNOWN)


def bounce_back(analysed: AnalysedRecord) -> Observations:
    """Under par on a hole played straight after one over par in the same round (common practice)."""
    holes = analysed.record.holes
    over = holes.score > holes.par
    follows = np.zeros(len(holes), bool)
    follows[1:] = over[:-1] & (holes.round[1:] == holes.round[:-1])
    return Observations.of_holes(analysed.record, holes.score < holes.par, follows)


def _holed_in_two(analysed: AnalysedRecord, candidates: Bools) -> Observations:
    """A ball picked up counts with the strokes still likely."""
    shots = analysed.record.shots
    known = analysed.record.holes.complete | covered_holes(analysed.record)
    first = _first_of_each_hole(shots.hole, candidates & known[shots.hole])
    strokes = 1 + shots.penalty
    taken = np.bincount(shots.hole, weights=strokes, minlength=len(analysed.record.holes))
    needed = (taken + strokes_still_likely(analysed.record))[shots.hole] - strokes_through(shots) + strokes
    return Observations.of_shots(analysed.record, needed <= 2, first)


def _first_of_each_hole(hole: Ints, candidates: Bools) -> Ints:
    rows = np.flatnonzero(candidates)
    _, index = np.unique(hole[rows], return_index=True)
    return rows[index]


SPECS = [
    *(
        FigureSpec(
            f"score.par{par}",
            f"Scoring average on par {par}",
            Unit.STROKES,
            "lower",
            "hole",
            "mean",
            9,
            partial(score_on_par, par=par),
            meaning="Strokes taken on average on the holes of this par; a ball picked up counts "
            "with the strokes still likely.",
        )
        for par in (3, 4, 5)
    ),
    FigureSpec(
        "score.to_par",
        "Score to par a round",
        Unit.STROKES,
        "lower",
        "hole",
        "mean",
        18,
        to_par,
        meaning="Strokes over par in 18 holes; nine holes and partly noted rounds count for what "
        "they are. Compared with par alone.",
        apart=ROUND,
    ),
    FigureSpec(
        "score.total",
        "Score over 18 holes",
        Unit.STROKES,
        "lower",
        "round",
        "mean",
        3,
        partial(score_over, first=1, last=18),
        meaning="Strokes of the rounds in which all 18 holes were played.",
        apart=ROUNDS_APART,
    ),
    FigureSpec(
        "score.front_nine",
        "Score over holes 1 to 9",
        Unit.STROKES,
        "lower",
        "round",
        "mean",
        3,
        partial(score_over, first=1, last=9),
        meaning="Strokes over the first nine of the card, where all of them were played.",
        apart=NINES_APART,
    ),
    FigureSpec(
        "score.back_nine",
        "Score over holes 10 to 18",
        Unit.STROKES,
        "lower",
        "round",
        "mean",
        3,
        partial(score_over, first=10, last=18),
        meaning="Strokes over the second nine of the card, where all of them were played.",
        apart=NINES_APART,
    ),
    FigureSpec(
        "score.bounce_back",
        "Under par after a hole over par",
        Unit.SHARE,
        "higher",
        "hole",
        "mean",
        10,
        bounce_back,
        meaning="How often a hole played straight after one over par is finished under par.",
    ),
    FigureSpec(
        "fairways.hit",
        "Fairways hit",
        Unit.SHARE,
        "higher",
        "hole",
        "mean",
        10,
        fairways_hit,
        meaning="Of the holes of par 4 and 5, on how many the tee shot finishes on the fairway.",
    ),
    FigureSpec(
        "greens.in_regulation",
        "Greens in regulation",
        Unit.SHARE,
        "higher",
        "hole",
        "mean",
        10,
        greens_in_regulation,
        meaning="On how many holes the ball is on the green with two strokes or more left to par.",
    ),
    FigureSpec(
        "saves.par_or_better",
        "Par or better after a missed green",
        Unit.SHARE,
        "higher",
        "hole",
        "mean",
        10,
        par_or_better_without_green,
        meaning="Of the holes whose green was not reached in regulation, how many are finished in "
        "par or better.",
    ),
    FigureSpec(
        "saves.up_and_down",
        "Up and down after a missed green",
        Unit.SHARE,
        "higher",
        "shot",
        "mean",
        10,
        up_and_down,
        meaning="Of the holes whose green was missed in regulation, how often the first shot from "
        f"beside it (within {GREENSIDE_YARDS:.0f} yards) and one putt are enough.",
    ),
    FigureSpec(
        "saves.sand",
        "Up and down from greenside sand",
        Unit.SHARE,
        "higher",
        "shot",
        "mean",
        10,
        sand_saves,
        meaning=f"Of the holes with a shot from a greenside bunker (within {GREENSIDE_YARDS:.0f} yards), how often "
        "that shot and one putt are enough, whatever the score.",
    ),
    FigureSpec(
        "putts.round",
        "Putts a round",
        Unit.PUTTS,
        "lower",
        "hole",
        "mean",
        18,
        putts,
        meaning="Strokes on the green in 18 holes. Who misses more greens chips closer and has "
        "fewer, so it says little of the stroke.",
        apart=ROUND,
    ),
    FigureSpec(
        "putts.green_in_regulation",
        "Putts on a green in regulation",
        Unit.PUTTS,
        "lower",
        "hole",
        "mean",
        10,
        putts_on_greens_in_regulation,
        meaning="Putts taken on the greens that were reached in regulation, from wherever the "
        "approach finished.",
    ),
    FigureSpec(
        "putts.three",
        "Holes with three putts or more",
        Unit.SHARE,
        "lower",
        "hole",
        "mean",
        18,
        three_putts,
        meaning="On how many holes it takes three putts or more.",
    ),
    FigureSpec(
        *("penalties.round", "Penalty strokes a round", Unit.STROKES, "lower", "hole", "mean", 18),
        observe=penalties,
        meaning="Penalty strokes in 18 holes.",
        least=0.0,
        apart=ROUND,
    ),
]
