"""How hard each hole plays for the members, and the stroke index that follows from it by Appendix E.

A ball picked up counts with its most likely score (Rules of Handicapping 3.3): the holes on which balls are picked up
are the hard ones, and without them they would look easy. Scores of one player go together, so the interval takes
players and not scores as independent.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

import numpy as np
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from courses.layout.models import Gender, Hole, TeeSet
from golfstats.calc.figure import Figure, clustered_mean_figure
from golfstats.calc.plan.hole.stroke_index import StrokeIndexes, suggest_stroke_index
from golfstats.calc.units import Unit
from golfstats.ground.operations import Asker, Query
from players.rounds.models import PlayedHole

LEAST_SCORES = 10
"""Below which no mean is told (our choice)."""
MINIMUM_SCORES = 60
"""Scores on every hole below which no stroke index is suggested: with fewer, chance decides the order (our choice)."""
NOTICE = noop(
    "A suggestion by the method of Appendix E of the Rules of Handicapping, from the scores that members posted; "
    "the committee decides."
)
TOO_FEW = noop("Too few: a suggestion needs {least} scores of two players or more on each of 18 holes.")

PlayersStrokes = tuple[UUID, int]
"""Who played, and the strokes that they took."""


class DifficultyQuery(Query):
    """Whose scores count."""

    gender: Gender = Gender.MEN
    """Whose ratings and par."""


@dataclass(frozen=True)
class HoleDifficulty:
    """One hole as the members play it."""

    number: int
    """Number of the hole."""
    par: int
    """Par of the hole."""
    stroke_index: int | None
    """As it is now."""
    scores: int
    """How many scores it rests on; a ball picked up counts with its most likely score."""
    over_par: float | None
    """Mean strokes over par of the members' scores; nothing with too few scores, or those of one player alone."""
    low: float | None
    """Lower end of the 90% interval."""
    high: float | None
    """90% interval."""
    suggested: int | None
    """Stroke index by Appendix E; None with too few scores."""


@dataclass(frozen=True)
class Difficulty:
    """How hard the holes of a set of tees play, and the stroke index suggested."""

    gender: Gender
    notice: str
    holes: list[HoleDifficulty]
    """In the order of their numbers."""
    compromises: list[str]
    """Where the method's spread over the nines moved a hole far from its rank."""


def difficulty(_: Asker, tee_sets: Sequence[TeeSet], query: DifficultyQuery) -> list[Difficulty]:
    """Of each tee set, in their order. Two queries, however many."""
    holes: dict[object, list[Hole]] = defaultdict(list)
    for hole in Hole.objects.filter(tee_set__in=tee_sets).order_by("number"):
        if hole.par(query.gender) is not None:
            holes[hole.tee_set_id].append(hole)
    scores: dict[tuple[object, int], list[PlayersStrokes]] = defaultdict(list)
    played = PlayedHole.objects.filter(round__tee_set__in=tee_sets, round__player__rating_gender=query.gender)
    columns = ("round__tee_set_id", "number", "round__player_id", "score")
    for tee_set, number, player, score in played.values_list(*columns):
        scores[tee_set, number].append((player, score))
    return [
        _of_tees(holes[tees.id], {n: s for (t, n), s in scores.items() if t == tees.id}, query.gender)
        for tees in tee_sets
    ]


def _of_tees(holes: Sequence[Hole], scores: dict[int, list[PlayersStrokes]], gender: Gender) -> Difficulty:
    figures = [_over_par(hole, scores.get(hole.number, []), gender) for hole in holes]
    suggestion = _suggestion(figures)
    by_hole = [
        HoleDifficulty(
            number=hole.number,
            par=hole.par(gender) or 0,
            stroke_index=hole.stroke_index(gender),
            scores=figure.n,
            over_par=figure.value,
            low=figure.low,
            high=figure.high,
            suggested=None if suggestion is None else suggestion.index[place],
        )
        for place, (hole, figure) in enumerate(zip(holes, figures, strict=True))
    ]
    notice = gettext(TOO_FEW).format(least=MINIMUM_SCORES) if suggestion is None else gettext(NOTICE)
    return Difficulty(gender, notice, by_hole, [] if suggestion is None else list(suggestion.compromises))


def _over_par(hole: Hole, scores: Sequence[PlayersStrokes], gender: Gender) -> Figure:
    over = [(player, score - (hole.par(gender) or 0)) for player, score in scores]
    return mean_by_player(over, LEAST_SCORES)


def mean_by_player(strokes: Sequence[PlayersStrokes], least: int) -> Figure:
    """Mean of strokes that go together by who took them; too few where one player took them all."""
    numbers = {player: number for number, player in enumerate({player for player, _ in strokes})}
    by_player = np.array([numbers[player] for player, _ in strokes], dtype=np.int64)
    taken = np.array([count for _, count in strokes], dtype=np.float64)
    return clustered_mean_figure(taken, by_player, Unit.STROKES, least)


def _suggestion(figures: Sequence[Figure]) -> StrokeIndexes | None:
    if len(figures) != 18 or any(figure.n < MINIMUM_SCORES or not figure.enough for figure in figures):
        return None
    return suggest_stroke_index([figure.value or 0.0 for figure in figures])
