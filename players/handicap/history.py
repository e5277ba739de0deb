"""Reads everything that a player's handicap rests on: five queries, however long the history."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import time
from typing import Any
from uuid import UUID

from django.db.models import Case, OuterRef, Q, Subquery, Value, When
from django.db.models.functions import Coalesce

from courses.models import Gender, Hole, PartOfDay, PlayingConditions, Rating, Section
from golfstats.calc import handicap as calc
from players.handicap.actions import KINDS
from players.models import CommitteeAction, PlayedHole, Round

NOON = time(12)


@dataclass(frozen=True)
class History:
    """A player's scores and the committee's actions, ready for ``build_record``."""

    scores: Sequence[calc.Score | calc.PenaltyScore]
    actions: Sequence[calc.Action]
    left_out: Mapping[UUID, str]
    """Counting rounds that cannot be taken in, and why."""


@dataclass
class _Tee:
    """What a tee set says for one gender."""

    pars: dict[int, tuple[int, int]] = field(default_factory=dict)
    """Par and stroke index by hole number."""
    ratings: dict[str, calc.Ratings] = field(default_factory=dict)


def load_history(player_id: UUID) -> History:
    """The player's counting rounds and committee actions."""
    rounds = list(_counting_rounds(player_id))
    holes = _holes_by_round(player_id)
    tees = _tees({one.tee_set_id for one in rounds}, rounds[0].player.rating_gender if rounds else Gender.MEN)
    scores: list[calc.Score | calc.PenaltyScore] = []
    left_out: dict[UUID, str] = {}
    for sequence, one in enumerate(rounds):
        score = _score(one, holes[one.id], tees[one.tee_set_id], one.pcc, sequence)
        if isinstance(score, str):
            left_out[one.id] = score
        else:
            scores.append(score)
    actions: list[calc.Action] = []
    rows = CommitteeAction.objects.filter(player_id=player_id, withdrawn_at=None)
    for row in rows.order_by("effective_on", "decided_at", "id"):
        made = KINDS[row.kind].make(row)
        if isinstance(made, calc.PenaltyScore):
            scores.append(made)
        else:
            actions.append(made)
    return History(scores, actions, left_out)


def _counting_rounds(player_id: UUID) -> Iterator[Any]:
    """Rounds in order of play, each with the ``pcc`` of its part of the day, else of the whole day, else 0."""
    part = Case(
        When(start_time__lt=NOON, then=Value(PartOfDay.MORNING)),
        When(start_time__gte=NOON, then=Value(PartOfDay.AFTERNOON)),
        default=Value(PartOfDay.WHOLE_DAY),
    )
    own_part_first = Case(When(part_of_day=PartOfDay.WHOLE_DAY, then=1), default=0)
    conditions = PlayingConditions.objects.filter(
        Q(part_of_day=PartOfDay.WHOLE_DAY) | Q(part_of_day=OuterRef("part")),
        course_id=OuterRef("tee_set__course_id"),
        played_on=OuterRef("played_on"),
    ).order_by(own_part_first)
    yield from (
        Round.objects.filter(player_id=player_id, counting=True)
        .annotate(part=part, pcc=Coalesce(Subquery(conditions.values("pcc")[:1]), 0))
        .select_related("player", "tee_set")
        .order_by("played_on", "start_time", "id")
    )


def _holes_by_round(player_id: UUID) -> dict[UUID, list[tuple[int, int, bool]]]:
    found: dict[UUID, list[tuple[int, int, bool]]] = defaultdict(list)
    rows = PlayedHole.objects.filter(round__player_id=player_id, round__counting=True).order_by("number")
    for round_id, number, score, picked_up in rows.values_list("round_id", "number", "score", "picked_up"):
        found[round_id].append((number, score, picked_up))
    return found


def _tees(tee_sets: set[UUID], gender: str) -> dict[UUID, _Tee]:
    tees: dict[UUID, _Tee] = defaultdict(_Tee)
    for hole in Hole.objects.filter(tee_set_id__in=tee_sets):
        par, stroke_index = hole.par(gender), hole.stroke_index(gender)
        if par is not None and stroke_index is not None:
            tees[hole.tee_set_id].pars[hole.number] = (par, stroke_index)
    for rating in Rating.objects.filter(tee_set_id__in=tee_sets, gender=gender):
        tees[rating.tee_set_id].ratings[rating.section] = calc.Ratings(
            rating.course_rating, rating.slope_rating, rating.par
        )
    return tees


def _score(
    one: Round, holes: Sequence[tuple[int, int, bool]], tee: _Tee, pcc: int, sequence: int
) -> calc.Score | str:
    """The round as a score, or why it cannot be one."""
    ratings = tee.ratings.get(one.section)
    if ratings is None:
        return f"no rating of this tee for the player over {_words(one.section)}"
    if any(number not in tee.pars for number, _, _ in holes):
        return "a hole without par or stroke index for the player"
    front, back = tee.ratings.get(Section.FRONT), tee.ratings.get(Section.BACK)
    return calc.Score(
        key=str(one.id),
        played_on=one.played_on,
        ratings=ratings,
        sequence=sequence,
        holes=tuple(_hole(number, score, tee, picked_up=up) for number, score, up in holes),
        holes_in_round=18 if one.section == Section.EIGHTEEN else 9,
        nines=(front, back) if front and back else None,
        pcc=pcc,
        format=one.format,
        valid_reason=one.reason_for_missing_holes or None,
    )


def _words(section: str) -> str:
    return "18 holes" if section == Section.EIGHTEEN else f"the {section} nine"


def _hole(number: int, score: int, tee: _Tee, *, picked_up: bool) -> calc.HoleScore:
    par, stroke_index = tee.pars[number]
    if picked_up:
        return calc.HoleScore(number, par, stroke_index, picked_up=True, most_likely=score)
    return calc.HoleScore(number, par, stroke_index, strokes=score)
