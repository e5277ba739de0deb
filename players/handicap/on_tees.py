"""What an index means on a set of tees: what a player receives there, and what they would need to shoot."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal
from uuid import UUID

from courses.layout.models import Course, Rating, Section
from golfstats.calc import handicap as calc
from golfstats.calc.handicap.playing.course_handicap import course_handicap_9
from golfstats.ground.answers import up_to
from golfstats.ground.faults import Fault, invalid, not_found
from golfstats.ground.operations import Asker, Query
from golfstats.sentences import Sentence
from players.handicap import models
from players.handicap.answers import Unofficial, shown_index
from players.handicap.history import load_histories, ratings_of
from players.handicap.rules import rules_of
from players.people import permissions
from players.people.answers import Named
from players.people.models import Player


@dataclass(frozen=True)
class HandicapTarget:
    """Adjusted gross scores that lead to the same index."""

    lowest: int
    """Lowest such score."""
    highest: int
    """Highest such score."""
    index: Decimal
    """The index then; unofficial."""
    shown: str
    """The same as it is written."""
    change: Decimal
    """Against the index in force; negative is an improvement."""


@dataclass(frozen=True, kw_only=True)
class HandicapTargets(Unofficial):
    """Adjusted gross scores and the index that each would give."""

    player: Named
    index: Decimal | None
    """Handicap Index; plus handicaps are negative. Null where there is none. Unofficial."""
    shown: str | None
    """As golfers write it: +1.2 for a plus handicap. Null where there is none."""
    section: Section
    course_rating: Decimal
    slope_rating: int
    targets: list[HandicapTarget] = up_to(100)
    """Lowest scores first; none while there is no index, for the first one depends on more than one score."""


@dataclass(frozen=True)
class PlayingHandicap:
    """What a player receives in one format."""

    format: str
    words: str
    playing_handicap: int


@dataclass(frozen=True, kw_only=True)
class SectionHandicap:
    """What an index gives over 18 holes or a nine of a tee."""

    section: Section
    course_rating: Decimal
    slope_rating: int
    par: int
    """Par of the section."""
    course_handicap: int | None
    playing_handicaps: list[PlayingHandicap] = up_to(20)
    """By individual format; of 18 holes only."""


@dataclass(frozen=True)
class TeeHandicaps:
    tee: Named
    sections: list[SectionHandicap] = up_to(3)
    """18 holes and each nine, where rated for the player."""


@dataclass(frozen=True, kw_only=True)
class HandicapsOnCourse(Unofficial):
    """Course and playing handicap on each tee."""

    course: Named
    player: Named
    index: Decimal | None
    """Handicap Index; plus handicaps are negative. Null where there is none. Unofficial."""
    shown: str | None
    """As golfers write it: +1.2 for a plus handicap. Null where there is none."""
    tees: list[TeeHandicaps] = up_to(10)
    """Those rated for the player."""


class TargetsQuery(Query):
    tee: UUID
    """Id of the tee."""
    section: Section = Section.EIGHTEEN
    """18 holes, or one nine."""


class OnCourseQuery(Query):
    player: UUID
    """Id of the player."""


def targets(asker: Asker, players: Sequence[Player], query: TargetsQuery) -> list[HandicapTargets]:
    """What the next score would do to each player's index: bands of adjusted gross scores, computed one by one."""
    ratings = {
        rating.gender: rating for rating in Rating.objects.filter(tee_set_id=query.tee, section=query.section)
    }
    if any(player.rating_gender not in ratings for player in players):
        raise invalid(
            [Fault("/tee", "no_such_rating", Sentence("no such tee, or no rating of it for this player"))]
        )
    rules = rules_of(asker.club.handicap_rules)
    histories = load_histories([player.id for player in players], asker.today)
    answers = []
    for player in players:
        history, rating = histories[player.id], ratings[player.rating_gender]
        record = calc.build_record(history.scores, history.actions, rules)
        answers.append(_targets(player, record, rating, asker.today))
    return answers


def _targets(player: Player, record: calc.HandicapRecord, rating: Rating, today: dt.date) -> HandicapTargets:
    day = max(today, record.last_played_on) if record.last_played_on else today
    holes: Literal[9, 18] = 18 if rating.section == Section.EIGHTEEN else 9
    try:
        bands: Sequence[calc.Target] = calc.targets(record, ratings_of(rating), day, holes)
    except ValueError:
        bands = ()
    index = record.index_on(day)
    return HandicapTargets(
        player=Named(player.id, player.name),
        index=index,
        shown=shown_index(index),
        section=Section(rating.section),
        course_rating=rating.course_rating,
        slope_rating=rating.slope_rating,
        targets=[
            HandicapTarget(band.lowest, band.highest, band.index, calc.shown(band.index), band.change)
            for band in bands
        ],
    )


def on_courses(asker: Asker, courses: Sequence[Course], query: OnCourseQuery) -> list[HandicapsOnCourse]:
    """Course and playing handicap of the player on each tee of each course."""
    player = permissions.visible_players(asker.member).filter(id=query.player).first()
    if player is None:
        raise not_found(Sentence("No player"))
    asker.looks_at("analysis", [player.id])
    index = models.PlayerHandicap.objects.filter(player=player).values_list("index", flat=True).first()
    rules = rules_of(asker.club.handicap_rules)
    tees: dict[UUID, dict[UUID, TeeHandicaps]] = defaultdict(dict)
    ratings = Rating.objects.filter(tee_set__course__in=courses, gender=player.rating_gender)
    for rating in ratings.select_related("tee_set").order_by("tee_set__name", "section"):
        tee = rating.tee_set
        handicaps = tees[tee.course_id].setdefault(tee.id, TeeHandicaps(Named(tee.id, tee.name), []))
        handicaps.sections.append(_handicaps_on(rating, index, asker.today, rules))
    return [
        HandicapsOnCourse(
            course=Named(course.id, course.name),
            player=Named(player.id, player.name),
            index=index,
            shown=shown_index(index),
            tees=list(tees[course.id].values()),
        )
        for course in courses
    ]


def _handicaps_on(
    rating: Rating, index: Decimal | None, on: dt.date, rules: calc.HandicapRules
) -> SectionHandicap:
    course_handicap, playing = None, dict[str, int]()
    if index is not None and rating.section == Section.EIGHTEEN:
        handicaps = calc.handicaps_on(index, ratings_of(rating), on, rules)
        course_handicap, playing = handicaps.course_handicap, handicaps.playing_handicaps
    elif index is not None:
        minus_par = rules.edition_for(on).rating_minus_par
        course_handicap = course_handicap_9(index, ratings_of(rating), rating_minus_par=minus_par)
    return SectionHandicap(
        section=Section(rating.section),
        course_rating=rating.course_rating,
        slope_rating=rating.slope_rating,
        par=rating.par,
        course_handicap=course_handicap,
        playing_handicaps=[
            PlayingHandicap(format, rules.allowances[format].words, strokes)
            for format, strokes in playing.items()
        ],
    )
