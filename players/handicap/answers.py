"""What is told of handicaps. Every answer says that its figures are unofficial."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from functools import lru_cache
from typing import Any
from uuid import UUID

from django.contrib.postgres.fields import ArrayField
from django.db.models import F, Func, JSONField, TextField, Value
from django.db.models.fields.json import KeyTextTransform, KeyTransform
from pydantic import TypeAdapter

from golfstats.calc import handicap as calc
from golfstats.ground.answers import up_to
from golfstats.ground.operations import Asker, Query
from golfstats.ground.words import number_as_read, told_document
from players.handicap import models
from players.people.answers import Named
from players.people.models import Player

FEW_LINES = 40
"""Scores on a record are usually not more."""
_WITHOUT_HOLES = Func(
    F("detail"),
    Value(["holes", "steps"], output_field=ArrayField(TextField())),
    template="(%(expressions)s)",
    arg_joiner=" - ",
    output_field=JSONField(),
)
"""A line's detail as a list of lines needs it: most of it are the holes."""


class ScoreState(StrEnum):
    """How a score stands on the record."""

    COUNTS = "counts"
    """It is on the record."""
    HELD = "held"
    """A nine that waits for another nine or for an index."""
    PAIRED = "paired"
    """A nine that went into the score that it is paired with."""
    NOT_ACCEPTABLE = "not_acceptable"
    """It does not count, for the reason that is told beside it."""
    PENALTY = "penalty"
    """A penalty score that the committee put there."""


@dataclass(frozen=True, kw_only=True)
class Unofficial:
    """What every answer about handicaps says in front."""

    official: bool = False
    notice: str = calc.UNOFFICIAL


@dataclass(frozen=True)
class ScoreAdjustment:
    """An amount added to one differential, and why."""

    amount: Decimal
    """Added to the differential."""
    rule: str
    """The rule that says so."""
    cause: str
    """What brought it about."""
    on: dt.date
    """Day of its cause."""


@dataclass(frozen=True, kw_only=True)
class RecordedScore:
    """A score on the record."""

    round: UUID | None
    """None for a penalty score."""
    played_on: dt.date
    state: ScoreState
    """Whether it counts."""
    reason: str
    """Why the score has this standing."""
    holes_played: int | None
    adjusted_gross_score: int | None
    course_rating: Decimal | None
    slope_rating: int | None
    pcc: int
    """Playing conditions calculation of the day, -1 to 3."""
    differential: Decimal | None
    adjusted_differential: Decimal | None
    """What the score is worth on a course of standard difficulty, with all that was added until today; lower is
    better.
    """
    adjustments: list[ScoreAdjustment] = up_to(3)
    estimated: bool
    """A part of the differential was expected, not played."""
    in_last_20: bool
    in_best_8: bool
    index_before: Decimal | None
    index_after: Decimal | None
    low_index: Decimal | None
    exceptional: Decimal
    """Reduction that this score brought about."""
    capped: bool


@dataclass(frozen=True)
class HoleOnRecord:
    """From the score of a hole to what counts of it."""

    number: int
    """Number of the hole."""
    par: int
    """Par of the hole."""
    stroke_index: int
    """Stroke index of the hole."""
    strokes_received: int | None
    """By the course handicap."""
    score: int | None
    """Strokes taken; null where the hole was not played."""
    maximum: int | None
    """Most strokes that count."""
    maximum_rule: str
    """The rule that says so."""
    maximum_why: str
    """How it comes to that."""
    adjusted: int | None
    """Strokes that count."""
    note: str
    """What else there is to say of it."""


@dataclass(frozen=True)
class RuleStep:
    """One step of a calculation: the rule, what was done, and what came out."""

    rule: str
    """The rule that it follows."""
    text: str
    """What was done."""
    value: str
    """What came out."""


@dataclass(frozen=True, kw_only=True)
class ExplainedScore(Unofficial, RecordedScore):
    """A score on the record with which rule made which number."""

    edition: str
    """Which edition of the Rules of Handicapping it was computed by."""
    course_handicap: int | None
    par: int | None
    """Of the holes played, for the player."""
    holes: list[HoleOnRecord] = up_to(18)
    """In the order of their numbers."""
    steps: list[RuleStep] = up_to(15)
    """From the posted scores to the differential."""


@dataclass(frozen=True)
class IndexPoint:
    """The index in force after a score or a decision."""

    on: dt.date
    """From this day."""
    index: Decimal | None
    """Handicap Index; unofficial."""
    low_index: Decimal | None
    round: UUID | None
    """Id of the round that brought it; null for a decision."""


@dataclass(frozen=True)
class DecisionEffect:
    """What a decision of the committee did to the index."""

    on: dt.date
    """Day of the decision."""
    rule: str
    """The rule that it rests on."""
    text: str
    """What was decided."""
    reason: str
    """Why."""
    index_before: Decimal | None
    index_after: Decimal | None


@dataclass(frozen=True)
class RoundLeftOut:
    """A counting round that cannot be taken in, and why."""

    round: UUID
    reason: str
    """Why, in words."""


@dataclass(frozen=True, kw_only=True)
class Handicap(Unofficial):
    """The index of a player, and how it came about."""

    player: Named
    index: Decimal | None
    """Handicap Index: the mean of the best 8 of the last 20 adjusted differentials, with the caps of the rules;
    lower is better, plus handicaps are negative. Nothing before three scores over 18 holes. Unofficial.
    """
    shown: str | None
    """As it is written: better than scratch with a plus."""
    low_index: Decimal | None
    scores_in_last_20: int
    """Scores among the twenty latest; fewer than 20 only at the beginning."""
    computed_at: dt.datetime | None
    """None before there is a score."""
    trend: list[IndexPoint] = up_to(FEW_LINES)
    """The index after each score."""
    committee: list[DecisionEffect] = up_to(5)
    """What the Committee decided, and what came of it."""
    left_out: list[RoundLeftOut] = up_to(5)
    """Counting rounds that could not be taken in."""


@dataclass(frozen=True, kw_only=True)
class HandicapRecord(Handicap):
    """The index of a player with the whole record."""

    record: list[RecordedScore] = up_to(FEW_LINES)
    """Newest score first."""


@dataclass(frozen=True)
class _Words:
    """What the document of a record says of the committee and of rounds left out."""

    actions: list[DecisionEffect]
    left_out: list[RoundLeftOut]


@dataclass(frozen=True)
class _Stored:
    """What is stored of a player's handicap."""

    index: Decimal | None = None
    low_index: Decimal | None = None
    scores: int = 0
    computed_at: dt.datetime | None = None
    points: str | None = None
    """As JSON: they take longer to read than all else of an answer."""
    actions: list[object] | None = None
    left_out: list[object] | None = None
    made_of: Mapping[str, object] | None = None

    def words(self) -> _Words:
        """In the language of now, with days as the club writes them."""
        document = {
            "actions": self.actions or [],
            "left_out": self.left_out or [],
            "made_of": self.made_of,
        }
        return _WORDS.validate_python(told_document(document))


NO_RECORD = _Stored()
"""Of a player who has posted no score yet."""
_POINTS = TypeAdapter(tuple[IndexPoint, ...])
_WORDS = TypeAdapter(_Words)


@lru_cache(maxsize=64)
def _points(text: str) -> tuple[IndexPoint, ...]:
    """Dashboards ask for the same ones again. Numbers and days alone: words are told anew at each reading."""
    return _POINTS.validate_json(text)


def handicaps(_: Asker, players: Sequence[Player], __: Query) -> list[Handicap]:
    stored = _stored(players)
    return [_handicap(player, stored.get(player.id, NO_RECORD)) for player in players]


def _stored(players: Sequence[Player]) -> dict[UUID, _Stored]:
    rows = models.PlayerHandicap.objects.filter(player__in=players).values_list(
        "player_id",
        "index",
        "low_index",
        "scores",
        "computed_at",
        KeyTextTransform("trend", "document"),
        *(KeyTransform(part, "document") for part in ("actions", "left_out", "made_of")),
    )
    return {player: _Stored(*of_player) for player, *of_player in rows}


def handicap_records(asker: Asker, players: Sequence[Player], query: Query) -> list[HandicapRecord]:
    """Two queries, whatever the number of players."""
    lines: dict[UUID, list[RecordedScore]] = defaultdict(list)
    of_players = models.HandicapLine.objects.filter(player__in=players).order_by("-sequence")
    for line in of_players.defer("detail").annotate(summary=_WITHOUT_HOLES):
        lines[line.player_id].append(_recorded(line, told_document(line.summary)))
    return [
        HandicapRecord(**vars(one), record=lines[one.player.id]) for one in handicaps(asker, players, query)
    ]


def explained_scores(_: Asker, lines: Sequence[models.HandicapLine]) -> list[ExplainedScore]:
    return [_explained(line) for line in lines]


def _explained(line: models.HandicapLine) -> ExplainedScore:
    detail = told_document(line.detail)
    return ExplainedScore(
        **vars(_recorded(line, detail)),
        edition=detail["edition"],
        course_handicap=detail["course_handicap"],
        par=detail["par"],
        holes=[HoleOnRecord(**hole) for hole in detail["holes"]],
        steps=[
            RuleStep(step["rule"], number_as_read(step["text"]), number_as_read(step["value"]))
            for step in detail["steps"]
        ],
    )


def explained_round(asker: Asker, round_id: UUID) -> ExplainedScore | None:
    """A round as it stands on the record; None while it does not."""
    lines = models.HandicapLine.objects.filter(round_id=round_id)
    return next(iter(explained_scores(asker, list(lines))), None)


def _handicap(player: Player, stored: _Stored) -> Handicap:
    words = stored.words()
    return Handicap(
        player=Named(player.id, player.name),
        index=stored.index,
        shown=shown_index(stored.index),
        low_index=stored.low_index,
        scores_in_last_20=stored.scores,
        computed_at=stored.computed_at,
        trend=list(_points(stored.points)) if stored.points else [],
        committee=words.actions,
        left_out=words.left_out,
    )


def _recorded(line: models.HandicapLine, detail: Mapping[str, Any]) -> RecordedScore:
    """``detail``: the line's, told in the reader's language."""
    return RecordedScore(
        round=line.round_id,
        played_on=line.played_on,
        state=ScoreState(detail["state"]),
        reason=detail["reason"],
        holes_played=detail["holes_played"],
        adjusted_gross_score=line.adjusted_gross_score,
        course_rating=_decimal(detail["course_rating"]),
        slope_rating=detail["slope_rating"],
        pcc=detail["pcc"],
        differential=line.raw_differential,
        adjusted_differential=line.adjusted_differential,
        adjustments=[
            ScoreAdjustment(
                Decimal(one["amount"]), one["rule"], one["cause"], dt.date.fromisoformat(one["on"])
            )
            for one in detail["adjustments"]
        ],
        estimated=line.estimated,
        in_last_20=line.in_last_20,
        in_best_8=line.in_best_8,
        index_before=line.index_before,
        index_after=line.index_after,
        low_index=line.low_index,
        exceptional=Decimal(detail["exceptional"]),
        capped=bool(detail["capped"]),
    )


def shown_index(index: Decimal | None) -> str | None:
    return None if index is None else calc.shown(index)


def _decimal(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)
