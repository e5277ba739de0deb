"""The handicap index that other hole scores would have given.

Rests on the rounds alone: what a committee decided and the playing conditions of a day are left out of
both the index before and the index after, so their difference is what the changed scores do.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Literal
from uuid import UUID

from courses.models import Hole, Rating, Section
from golfstats.calc.handicap import HoleScore, Ratings, Score, build_record
from golfstats.calc.record import Ints
from players.models import Player, Round
from players.queries.analysed import Golf

IndexOf = Callable[[Ints], float | None]

_NINE: dict[str, Literal[9, 18]] = {Section.EIGHTEEN: 18, Section.FRONT: 9, Section.BACK: 9}


def index_replay(player: Player, golf: Golf) -> IndexOf:
    """A function from hole scores (one for each row of the golf's holes) to the handicap index.

    ``golf`` has to hold all rounds of this player and of nobody else. Three queries.
    """
    cards = _cards(player, golf)

    def index_of(hole_scores: Ints) -> float | None:
        changed = (
            replace(score, holes=tuple(_with_score(hole, int(hole_scores[row])) for hole, row in rows))
            for score, rows in cards
        )
        index = build_record(changed).calculated_index
        return None if index is None else float(index)

    return index_of


def _with_score(hole: HoleScore, score: int) -> HoleScore:
    if hole.picked_up:
        return replace(hole, most_likely=score)
    return replace(hole, strokes=score)


Card = tuple[Score, list[tuple[HoleScore, int]]]
"""A score, and its holes with their rows among the golf's holes."""


def _cards(player: Player, golf: Golf) -> list[Card]:
    """The counting rounds that have a rating; a hole that was not played is left off the card."""
    rounds = Round.objects.filter(id__in=golf.loaded.round_ids, counting=True).select_related("tee_set")
    tee_sets = {round_.tee_set_id for round_ in rounds}
    ratings = _ratings(tee_sets, player.rating_gender)
    holes = {(hole.tee_set_id, hole.number): hole for hole in Hole.objects.filter(tee_set__in=tee_sets)}
    rows = _rows_by_round(golf)
    cards = []
    for round_ in rounds:
        rating = ratings.get((round_.tee_set_id, round_.section))
        if rating is None:
            continue
        card = [
            (_hole_score(holes[round_.tee_set_id, number], golf, row, player.rating_gender), row)
            for number, row in rows.get(round_.id, [])
        ]
        cards.append((_score(round_, rating, ratings, card), card))
    return cards


def _score(
    round_: Round,
    rating: Ratings,
    ratings: dict[tuple[UUID, str], Ratings],
    card: list[tuple[HoleScore, int]],
) -> Score:
    front, back = (ratings.get((round_.tee_set_id, nine)) for nine in (Section.FRONT, Section.BACK))
    started = 0 if round_.start_time is None else round_.start_time.hour * 60 + round_.start_time.minute
    return Score(
        key=str(round_.id),
        played_on=round_.played_on,
        ratings=rating,
        sequence=started,
        holes=tuple(hole for hole, _ in card),
        holes_in_round=_NINE[round_.section],
        nines=(front, back) if front and back else None,
        format=round_.format,
        valid_reason=round_.reason_for_missing_holes or None,
    )


def _hole_score(hole: Hole, golf: Golf, row: int, gender: str) -> HoleScore:
    played = golf.analysed.record.holes
    picked_up = bool(played.picked_up[row])
    score = int(played.score[row])
    return HoleScore(
        number=hole.number,
        par=hole.par(gender) or int(played.par[row]),
        stroke_index=hole.stroke_index(gender) or hole.number,
        strokes=None if picked_up else score,
        picked_up=picked_up,
        most_likely=score if picked_up else None,
    )


def _ratings(tee_sets: set[UUID], gender: str) -> dict[tuple[UUID, str], Ratings]:
    found = Rating.objects.filter(tee_set__in=tee_sets, gender=gender)
    return {
        (rating.tee_set_id, rating.section): Ratings(rating.course_rating, rating.slope_rating, rating.par)
        for rating in found
    }


def _rows_by_round(golf: Golf) -> dict[UUID, list[tuple[int, int]]]:
    holes = golf.analysed.record.holes
    rows: dict[UUID, list[tuple[int, int]]] = {}
    for row, (round_row, number) in enumerate(zip(holes.round, holes.number, strict=True)):
        rows.setdefault(golf.loaded.round_ids[int(round_row)], []).append((int(number), row))
    return rows
