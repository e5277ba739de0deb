"""Scores, fairways, greens, saves and putts: the statistics every golfer expects.

Figures "a round" are 18-hole equivalents: 18 times the mean over the holes covered, so that nine holes
and partly noted rounds count for what they are; ``n`` is the number of holes covered.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from golfstats.calc.figures.holes import hole_facts, strokes_through
from golfstats.calc.figures.targets import greenside
from golfstats.calc.observations import AnalysedRecord, FigureSpec, Observations
from golfstats.calc.record import Bools, Ints
from golfstats.calc.vocabulary import UNKNOWN, Lie

ROUND = 18


def score_on_par(analysed: AnalysedRecord, par: int) -> Observations:
    holes = analysed.record.holes
    return Observations.of_holes(analysed.record, holes.score, holes.par == par)


def to_par(analysed: AnalysedRecord) -> Observations:
    holes = analysed.record.holes
    return Observations.of_holes(
        analysed.record, ROUND * (holes.score - holes.par), np.ones(len(holes), bool)
    )


def score_over(analysed: AnalysedRecord, first: int, last: int) -> Observations:
    """Total score of the rounds in which every hole from ``first`` to ``last`` was played."""
    holes, rounds = analysed.record.holes, analysed.record.rounds
    within = (holes.number >= first) & (holes.number <= last)
    played = np.bincount(holes.round[within], minlength=len(rounds))
    total = np.bincount(holes.round[within], weights=holes.score[within], minlength=len(rounds))
    return Observations.of_rounds(total, played == last - first + 1)


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
    shots = analysed.record.shots
    first = _first_of_each_hole(shots.hole, candidates & analysed.record.holes.complete[shots.hole])
    strokes = 1 + shots.penalty
    total = np.bincount(shots.hole, weights=strokes, minlength=len(analysed.record.holes))
    needed = total[shots.hole] - strokes_through(shots) + strokes
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
            "strokes",
            "lower",
            "hole",
            "mean",
            9,
            partial(score_on_par, par=par),
        )
        for par in (3, 4, 5)
    ),
    FigureSpec("score.to_par", "Score to par a round", "strokes", "lower", "hole", "mean", 18, to_par),
    FigureSpec(
        "score.total",
        "Score over 18 holes",
        "strokes",
        "lower",
        "round",
        "mean",
        3,
        partial(score_over, first=1, last=18),
    ),
    FigureSpec(
        "score.front_nine",
        "Score over holes 1 to 9",
        "strokes",
        "lower",
        "round",
        "mean",
        3,
        partial(score_over, first=1, last=9),
    ),
    FigureSpec(
        "score.back_nine",
        "Score over holes 10 to 18",
        "strokes",
        "lower",
        "round",
        "mean",
        3,
        partial(score_over, first=10, last=18),
    ),
    FigureSpec(
        "score.bounce_back",
        "Under par after a hole over par",
        "share",
        "higher",
        "hole",
        "mean",
        10,
        bounce_back,
    ),
    FigureSpec("fairways.hit", "Fairways hit", "share", "higher", "hole", "mean", 10, fairways_hit),
    FigureSpec(
        "greens.in_regulation",
        "Greens in regulation",
        "share",
        "higher",
        "hole",
        "mean",
        10,
        greens_in_regulation,
    ),
    FigureSpec(
        "saves.par_or_better",
        "Par or better after a missed green",
        "share",
        "higher",
        "hole",
        "mean",
        10,
        par_or_better_without_green,
    ),
    FigureSpec(
        "saves.up_and_down",
        "Up and down after a missed green",
        "share",
        "higher",
        "shot",
        "mean",
        10,
        up_and_down,
    ),
    FigureSpec(
        "saves.sand", "Up and down from greenside sand", "share", "higher", "shot", "mean", 10, sand_saves
    ),
    FigureSpec("putts.round", "Putts a round", "putts", "lower", "hole", "mean", 18, putts),
    FigureSpec(
        "putts.green_in_regulation",
        "Putts on a green in regulation",
        "putts",
        "lower",
        "hole",
        "mean",
        10,
        putts_on_greens_in_regulation,
    ),
    FigureSpec(
        "putts.three", "Holes with three putts or more", "share", "lower", "hole", "mean", 18, three_putts
    ),
    FigureSpec(
        "penalties.round", "Penalty strokes a round", "strokes", "lower", "hole", "mean", 18, penalties
    ),
]
