"""What is told of rounds: in lists, in full, and in the words in which they could be posted again."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Annotated
from uuid import UUID

from django.contrib.postgres.expressions import ArraySubquery
from django.db.models import OuterRef, Prefetch, QuerySet, prefetch_related_objects

from courses.layout.models import Section, TeeSet
from golfstats.calc import vocabulary
from golfstats.ground.answers import OneOf, up_to
from golfstats.ground.clubs.models import DistanceUnit, Member
from golfstats.ground.operations import Asker, Query
from golfstats.ground.walls.scope import current_club_id
from golfstats.ground.words import told_again
from players.people import permissions
from players.people.answers import Named
from players.rounds import models, notation
from players.rounds.checking.cards import Card
from players.rounds.checking.warnings import Stored, WarningCode
from players.rounds.fields import posted_shot
from players.rounds.lines import RoundLine, head_of, line_of
from players.rounds.models import AnalysisState, RoundFormat


@dataclass(frozen=True)
class RoundHead:
    """What is known of a round without its holes."""

    id: UUID
    player: Named
    course: Named
    tee: Named
    played_on: dt.date
    """Local date at the course."""
    start_time: dt.time | None
    section: Section
    format: RoundFormat
    counting: bool
    """To be counted for handicap if it is acceptable."""
    competition: bool
    analysis: AnalysisState
    """How far the worker is with it."""
    analysis_reason: str
    """Why the analysis failed."""
    version: int


@dataclass(frozen=True)
class RoundWarning:
    """What looks wrong in a round but may be right."""

    id: str
    """Names it within the round. The same as long as the value in that place is the same."""
    code: WarningCode
    """Which warning, for programs."""
    words: str
    pointer: str
    """JSON pointer into the round as it was posted."""
    hole: int | None
    shot: int | None
    said: str
    """The value in question, as the notation writes it."""
    did_you_mean: str
    """What may have been meant, likewise; empty where nobody can guess."""
    earlier_round: UUID | None
    """The round that this one repeats."""
    dismissed: bool
    """Somebody has looked at it: it is so."""


@dataclass(frozen=True, kw_only=True)
class Round(RoundHead):
    """A round without its holes."""

    holes_played: int
    score: int
    """Strokes and penalty strokes over the holes played."""
    warnings: list[RoundWarning] = up_to(3)
    """What looked wrong when it was posted; empty where nothing did."""


@dataclass(frozen=True, kw_only=True)
class CheckedRound:
    """A round as it would be saved; nothing was."""

    holes_played: int
    score: int
    """Strokes and penalty strokes over the holes played."""
    warnings: list[RoundWarning] = up_to(3)
    """What looks wrong and may be right."""
    notation: str
    """The round as it was understood, in the compact notation."""


@dataclass(frozen=True, kw_only=True)
class ShotAsPosted:
    """A stroke at the ball. Lengths are in the unit of the round; null is what nobody said."""

    lie: Annotated[str, OneOf(vocabulary.Lie)]
    distance: float
    """To the hole before the shot: yards (feet on the green) or metres."""
    club: str | None
    holed: bool
    penalty_strokes: int
    penalty_kind: Annotated[str, OneOf(vocabulary.PenaltyKind)] | None
    target_distance: float | None
    travel: float | None
    offline: float | None
    miss_side: Annotated[str, OneOf(vocabulary.MissSide)] | None
    miss_depth: Annotated[str, OneOf(vocabulary.MissDepth)] | None
    short_sided: bool | None
    lie_quality: Annotated[str, OneOf(vocabulary.LieQuality)] | None
    swing: Annotated[str, OneOf(vocabulary.Swing)] | None
    wind: Annotated[str, OneOf(vocabulary.Wind)] | None
    wind_mph: float | None
    elevation: float | None
    slope: Annotated[str, OneOf(vocabulary.Slope)] | None
    putt_break: Annotated[str, OneOf(vocabulary.PuttBreak)] | None
    fault: Annotated[str, OneOf(vocabulary.PuttFault)] | None
    tags: list[str] = up_to(2)


@dataclass(frozen=True, kw_only=True)
class HoleAsPosted:
    """A hole that was started."""

    number: int
    """Number of the hole."""
    score: int
    """Strokes with penalties; the most likely score where the ball was picked up."""
    picked_up: bool
    putts: int | None
    """Null where they were not counted."""
    penalties: int | None
    """Penalty strokes; null where they were not counted."""
    fairway_hit: bool | None
    """Whether the tee shot found the fairway; null where it was not said."""
    green_in_regulation: bool | None
    """Whether the green was reached with two strokes of par left; null where it was not said."""
    shots: list[ShotAsPosted] = up_to(5)
    """In the order of play; none where only the score is known."""


@dataclass(frozen=True, kw_only=True)
class RoundAsPosted:
    """A round in the words in which it could be posted again."""

    player: str
    course: str
    tee: str
    played_on: dt.date
    start_time: dt.time | None
    section: Section
    unit: DistanceUnit
    """Of its lengths: yards with feet on the green, or metres."""
    format: RoundFormat
    counting: bool
    competition: bool
    reason_for_missing_holes: str
    ball: str
    """Name of the ball that was played; empty where none was given."""
    weather: str
    temperature_c: float | None
    wind_mph: float | None
    greens_found: str
    """As in "cored 7 days, slow, bumpy 4"."""
    tags: list[str] = up_to(2)
    note: str
    """What the player wrote beside it."""
    holes: list[HoleAsPosted] = up_to(18)
    """In the order of play."""


@dataclass(frozen=True, kw_only=True)
class RoundInFull(Round):
    """A round with everything that was said of it."""

    round: RoundAsPosted
    """In the words in which it could be posted again."""


@dataclass(frozen=True)
class BagWord:
    """What a player calls one of their clubs."""

    id: UUID
    word: str
    """A word of the player for a club."""
    club: str
    """The name under which shots with it are kept."""


def visible_rounds(member: Member) -> QuerySet[models.Round]:
    """Rounds that the member may read, with player, tee and course."""
    players = permissions.visible_players(member).values("id")
    return with_places(models.Round.objects.filter(club_id=current_club_id(), player__in=players))


def changeable_rounds(member: Member) -> QuerySet[models.Round]:
    players = permissions.postable_players(member)
    return with_places(models.Round.objects.filter(club_id=current_club_id(), player__in=players))


def with_places(rounds: QuerySet[models.Round]) -> QuerySet[models.Round]:
    """With player, tee and course, and with the scores of their holes."""
    holes = models.PlayedHole.objects.filter(round=OuterRef("pk")).order_by()
    scores = {"scores": ArraySubquery(holes.values("score"))}
    return rounds.select_related("player", "tee_set__course").annotate(**scores)


def load_shots(rounds: Sequence[models.Round]) -> None:
    """Give these rounds their holes and shots, in order: two queries for those that lack them."""
    shots = models.Shot.objects.order_by("number")
    holes = models.PlayedHole.objects.order_by("number").prefetch_related(Prefetch("shots", queryset=shots))
    prefetch_related_objects(rounds, Prefetch("holes", queryset=holes))


def last_tees(players: Sequence[UUID]) -> dict[UUID, TeeSet]:
    """The tees that each of these players played from last, with their course. One query."""
    last = models.Round.objects.filter(player__in=players).order_by("player_id", "-played_on", "-id")
    rows = last.distinct("player_id").select_related("tee_set__course").prefetch_related(None)
    return {row.player_id: row.tee_set for row in rows}


def round_heads(_: Asker, rounds: Sequence[models.Round | RoundLine]) -> list[Round]:
    return [_round(one if isinstance(one, RoundLine) else line_of(one)) for one in rounds]


def _round(line: RoundLine) -> Round:
    return Round(
        *_head(line),
        holes_played=len(line.scores),
        score=sum(line.scores),
        warnings=[_warning(one) for one in line.warnings] if line.warnings else [],
    )


def _warning(stored: Stored) -> RoundWarning:
    earlier = stored["earlier_round"]
    kept = {name: value for name, value in stored.items() if name != "sentence"}
    typed = {"code": WarningCode(stored["code"]), "earlier_round": UUID(earlier) if earlier else None}
    words = told_again(stored["words"], stored.get("sentence"))
    return RoundWarning(**{**kept, **typed, "words": words})


def checked(card: Card, unit: str) -> CheckedRound:
    """What would come of a card."""
    holes = sorted(card.holes, key=lambda played: played.hole.number)
    as_posted = [_hole(played.hole, played.shots, unit) for played in holes]
    return CheckedRound(
        holes_played=len(as_posted),
        score=sum(hole.score for hole in as_posted),
        warnings=[_warning(one) for one in card.round.warnings],
        notation=notation.write(_as_posted(card.round, as_posted, unit)),
    )


def bag_heads(_: Asker, words: Sequence[models.BagWord]) -> list[BagWord]:
    return [BagWord(one.id, one.word, one.kept_as) for one in words]


def round_head(round_: models.Round) -> RoundHead:
    return RoundHead(*_head(head_of(round_)))


_SECTIONS = {one.value: one for one in Section}
_FORMATS = {one.value: one for one in RoundFormat}
_STATES = {one.value: one for one in AnalysisState}
"""To look a member up takes a tenth of calling its enumeration, and lists have hundreds of rounds."""

_Head = tuple[
    UUID,
    Named,
    Named,
    Named,
    dt.date,
    dt.time | None,
    Section,
    RoundFormat,
    bool,
    bool,
    AnalysisState,
    str,
    int,
]


def _head(line: RoundLine) -> _Head:
    """The fields of a head in their order: a dictionary of them would be made only to be taken apart."""
    return (
        line.id,
        Named(line.player_id, line.player_name),
        Named(line.course_id, line.course_name),
        Named(line.tee_id, line.tee_name),
        line.played_on,
        line.start_time,
        _SECTIONS[line.section],
        _FORMATS[line.format],
        line.counting,
        line.competition,
        _STATES[line.analysis],
        line.analysis_reason,
        line.version,
    )


def rounds_in_full(asker: Asker, rounds: Sequence[models.Round], _: Query) -> list[RoundInFull]:
    return [round_in_full(round_, asker.distance_unit) for round_ in _with_shots(rounds)]


def round_in_full(round_: models.Round, unit: str) -> RoundInFull:
    """A round whose holes and shots are loaded."""
    return RoundInFull(**vars(_round(line_of(round_))), round=as_posted(round_, unit))


def documents(asker: Asker, rounds: Sequence[models.Round], _: Query) -> list[RoundAsPosted]:
    return [as_posted(round_, asker.distance_unit) for round_ in _with_shots(rounds)]


def holes(asker: Asker, rounds: Sequence[models.Round], query: Query) -> list[list[HoleAsPosted]]:
    return [document.holes for document in documents(asker, rounds, query)]


def notations(asker: Asker, rounds: Sequence[models.Round], query: Query) -> list[str]:
    return [notation.write(document) for document in documents(asker, rounds, query)]


def _with_shots(rounds: Sequence[models.Round]) -> Sequence[models.Round]:
    load_shots(rounds)
    return rounds


def as_posted(round_: models.Round, unit: str) -> RoundAsPosted:
    """The round as it could be posted again, in this unit. Its holes and shots are loaded."""
    holes = [_hole(hole, hole.shots.all(), unit) for hole in round_.holes.all()]
    return _as_posted(round_, holes, unit)


def _as_posted(round_: models.Round, holes: list[HoleAsPosted], unit: str) -> RoundAsPosted:
    return RoundAsPosted(
        player=round_.player.name,
        course=round_.tee_set.course.name,
        tee=round_.tee_set.name,
        played_on=round_.played_on,
        start_time=round_.start_time,
        section=Section(round_.section),
        unit=DistanceUnit(unit),
        format=RoundFormat(round_.format),
        counting=round_.counting,
        competition=round_.competition,
        reason_for_missing_holes=round_.reason_for_missing_holes,
        ball=round_.ball,
        weather=round_.weather,
        temperature_c=round_.temperature_c,
        wind_mph=round_.wind_mph,
        greens_found=round_.greens_found,
        tags=round_.tags,
        note=round_.note,
        holes=holes,
    )


def _hole(hole: models.PlayedHole, shots: Iterable[models.Shot], unit: str) -> HoleAsPosted:
    return HoleAsPosted(
        number=hole.number,
        score=hole.score,
        picked_up=hole.picked_up,
        putts=hole.putts,
        penalties=hole.penalties,
        fairway_hit=hole.fairway_hit,
        green_in_regulation=hole.green_in_regulation,
        shots=[ShotAsPosted(**posted_shot(shot, unit)) for shot in shots],
    )
