"""Reads everything that players' handicaps rest on: five queries, however many players and however long."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, time
from functools import cache, lru_cache
from typing import Any, NamedTuple
from uuid import UUID

from django.contrib.postgres.aggregates import ArrayAgg
from django.db.models import Case, F, OuterRef, Q, QuerySet, Subquery, Value, When
from django.db.models.functions import Coalesce

from courses.layout.models import Gender, Hole, PartOfDay, PlayingConditions, Rating, Section
from courses.layout.services import RATINGS
from golfstats.calc import handicap as calc
from golfstats.ground.walls.kept import ANY_KEYS, KeptStatement
from golfstats.sentences import Sentence
from players.handicap.actions import KINDS, ActionKind
from players.handicap.models import CommitteeAction
from players.rounds.models import PlayedHole, Round

NOON = time(12)


class _Round(NamedTuple):
    """What a handicap rests on of a round itself."""

    id: UUID
    player_id: UUID
    player__rating_gender: str
    tee_set_id: UUID
    section: str
    played_on: date
    pcc: int
    format: str
    reason_for_missing_holes: str


@dataclass(frozen=True)
class History:
    """A player's scores and the committee's actions up to a day, ready for ``build_record``."""

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


def load_history(player_id: UUID, today: date, *, last: int | None = None) -> History:
    """The player's counting rounds, all or the ``last`` so many, and every committee action in effect by today."""
    return load_histories([player_id], today, last=last)[player_id]


def load_histories(players: Collection[UUID], today: date, *, last: int | None = None) -> dict[UUID, History]:
    """Those of several players, by player."""
    rounds = _counting_rounds(players, last)
    holes, tees = _holes_by_round(rounds), _tees({one.tee_set_id for one in rounds})
    scores: dict[UUID, list[calc.Score | calc.PenaltyScore]] = {player: [] for player in players}
    left_out: dict[UUID, dict[UUID, str]] = {player: {} for player in players}
    for sequence, one in enumerate(rounds):
        tee = tees[one.tee_set_id, one.player__rating_gender]
        score = _score(one, holes.get(one.id, []), tee, one.pcc, sequence)
        if isinstance(score, str):
            left_out[one.player_id][one.id] = score
        else:
            scores[one.player_id].append(score)
    actions: dict[UUID, list[calc.Action]] = {player: [] for player in players}
    for row in ACTIONS.rows(keys=list(players), today=today):
        made = KINDS[ActionKind(row.kind)].make(row)
        if isinstance(made, calc.PenaltyScore):
            scores[row.player_id].append(made)
        else:
            actions[row.player_id].append(made)
    return {player: History(scores[player], actions[player], left_out[player]) for player in players}


def _counting_rounds(players: Collection[UUID], last: int | None) -> list[_Round]:
    """Rounds in order of play, each with the ``pcc`` of its part of the day, else of the whole day, else 0."""
    return [_Round(*line) for line in _counting(last).found(keys=list(players))][::-1]


@cache
def _counting(last: int | None) -> KeptStatement:
    """Newest first, all or so many."""
    return KeptStatement(lambda: _newest_first()[:last])


def _newest_first() -> QuerySet[Round, Any]:
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
    return (
        Round.objects.filter(player_id__any_of=ANY_KEYS, counting=True)
        .annotate(part=part, pcc=Coalesce(Subquery(conditions.values("pcc")[:1]), 0))
        .order_by("-played_on", F("start_time").desc(nulls_first=True), "-id")
        .values_list(*_Round._fields)
    )


def _holes_by_round(rounds: Collection[_Round]) -> dict[UUID, list[tuple[int, int, bool]]]:
    """Number, score and whether it was picked up, of each hole."""
    found = HOLES.found(keys=[one.id for one in rounds])
    return {round_id: list(zip(*of_holes, strict=True)) for round_id, *of_holes in found}


def _holes_of_rounds() -> QuerySet[PlayedHole, Any]:
    """A row a round: a career has thousands of holes."""
    columns = {f"{name}s": ArrayAgg(name, order_by="number") for name in ("number", "score", "picked_up")}
    holes = PlayedHole.objects.filter(round_id__any_of=ANY_KEYS).values("round_id")
    return holes.annotate(**columns).values_list("round_id", *columns)


def _in_effect() -> QuerySet[CommitteeAction]:
    in_effect = CommitteeAction.objects.filter(withdrawn_at=None, effective_on__lte=ANY_DAY)
    return in_effect.filter(player_id__any_of=ANY_KEYS).order_by("effective_on", "decided_at", "id")


ANY_DAY = date.min
HOLES = KeptStatement(_holes_of_rounds)
HOLES_OF_TEES = KeptStatement(lambda: Hole.objects.filter(tee_set_id__any_of=ANY_KEYS), Hole)
ACTIONS = KeptStatement(_in_effect, CommitteeAction, today=ANY_DAY)


def _tees(tee_sets: set[UUID]) -> dict[tuple[UUID, str], _Tee]:
    """By tee set and gender."""
    tees: dict[tuple[UUID, str], _Tee] = defaultdict(_Tee)
    for hole in HOLES_OF_TEES.rows(keys=list(tee_sets)):
        for gender in Gender:
            par, stroke_index = hole.par(gender), hole.stroke_index(gender)
            if par is not None and stroke_index is not None:
                tees[hole.tee_set_id, gender].pars[hole.number] = (par, stroke_index)
    for rating in RATINGS.rows(keys=list(tee_sets)):
        tees[rating.tee_set_id, rating.gender].ratings[rating.section] = ratings_of(rating)
    return tees


def ratings_of(rating: Rating) -> calc.Ratings:
    return calc.Ratings(rating.course_rating, rating.slope_rating, rating.par)


def _score(
    one: _Round, holes: Sequence[tuple[int, int, bool]], tee: _Tee, pcc: int, sequence: int
) -> calc.Score | str:
    """The round as a score, or why it cannot be one."""
    ratings = tee.ratings.get(one.section)
    if ratings is None:
        return Sentence("no rating of this tee for the player over {holes}", holes=_words(one.section))
    if any(number not in tee.pars for number, _, _ in holes):
        return Sentence("a hole without par or stroke index for the player")
    front, back = tee.ratings.get(Section.FRONT), tee.ratings.get(Section.BACK)
    return calc.Score(
        key=str(one.id),
        played_on=one.played_on,
        ratings=ratings,
        sequence=sequence,
        holes=tuple(_hole(number, *tee.pars[number], score, picked_up=up) for number, score, up in holes),
        holes_in_round=18 if one.section == Section.EIGHTEEN else 9,
        nines=(front, back) if front and back else None,
        pcc=pcc,
        format=one.format,
        valid_reason=one.reason_for_missing_holes or None,
    )


def _words(section: str) -> str:
    if section == Section.EIGHTEEN:
        return Sentence("18 holes")
    return Sentence("the front nine") if section == Section.FRONT else Sentence("the back nine")


@lru_cache(maxsize=8192)  # a career's holes are the same few over and over
def _hole(number: int, par: int, stroke_index: int, score: int, *, picked_up: bool) -> calc.HoleScore:
    if picked_up:
        return calc.HoleScore(number, par, stroke_index, picked_up=True, most_likely=score)
    return calc.HoleScore(number, par, stroke_index, strokes=score)
