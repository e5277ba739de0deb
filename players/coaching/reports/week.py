"""What a coach opens on Monday: of each player of a squad the last round, the level, and who needs a word.

The levels are those that the worker stored, with what the greens took given back, so that a squad costs a few queries.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from uuid import UUID

import numpy as np
from django.utils.translation import gettext

from golfstats.calc.figure import percent
from golfstats.ground.answers import up_to
from golfstats.ground.clock import week_began
from golfstats.ground.clubs.models import Club
from golfstats.ground.operations import Asker, Query
from golfstats.ground.stretches import first_of_each
from golfstats.ground.words import counted, dated, index_words, signed_number, spoken
from players.coaching.models import PlayerReport, report_section
from players.coaching.questions import AttentionQuery
from players.coaching.reports.attention import AttentionItem, attention
from players.coaching.reports.next_round import NOTICED, NextRound, next_round_of, saturday_from
from players.coaching.reports.report import CoachingReport, coaching_report
from players.coaching.trends import Trend
from players.figures.models import RoundFigures
from players.handicap.models import PlayerHandicap
from players.people.answers import Named
from players.people.models import Player, Squad
from players.people.permissions import squad_places
from players.rounds.answers import visible_rounds
from players.rounds.models import Round

WEEK = timedelta(days=7)


@dataclass(frozen=True)
class LastRound:
    """The last round somebody posted."""

    id: UUID
    played_on: date
    course: str
    score: int
    """Strokes and penalty strokes over the holes played."""
    holes_played: int
    strokes_gained: float | None
    """Against the club's benchmark; null where no hole has every shot recorded, or the worker is still at it."""


@dataclass(frozen=True)
class PlayerWeek:
    """One player in a line."""

    player: Named
    handicap_index: str
    """As golfers write it; a dash where there is none. Unofficial."""
    last_round: LastRound | None
    """Null before the first one."""
    rounds: int
    """Played since last week began."""
    level: Trend | None
    """Strokes gained a round now by all rounds together, with what the greens took given back; zero is the
    golfer whom the club measures by, more is better. Nothing before there are enough rounds.
    """
    moved: float | None
    """The level now less that before last week; null where no round was played since."""
    next_round: NextRound
    """What Saturday may bring."""
    words: str
    """What changed since last week."""
    needs_a_word: list[AttentionItem] = up_to(3)
    """Why somebody should speak to them; a soft cap alone is no reason."""


@dataclass(frozen=True)
class SquadWeek:
    """A squad since last week."""

    squad: Named
    """The squad."""
    since: date
    """Day on which last week began, by the club's first day of the week."""
    average: float | None
    """Mean of the players' levels; null where none has one."""
    words: str
    ready: str
    """Who is likeliest to beat their usual on the next Saturday."""
    players: list[PlayerWeek] = up_to(20)
    """Who needs a word first, then by what moved most, then by name."""


def last_week_of(club: Club, today: date) -> date:
    """The day on which the club's last week began: the same all week, so that Monday's page is Wednesday's."""
    return week_began(club, today) - WEEK


def squad_weeks(asker: Asker, squads: Sequence[Squad], _: Query) -> list[SquadWeek]:
    """The same number of queries for any number of squads and players."""
    rows = list(
        squad_places(asker.member).filter(squad__in=squads).select_related("player").order_by("player__name")
    )
    players = {row.player_id: row.player for row in rows}
    lines = _lines(asker, players)
    return [
        _week(asker, squad, [lines[row.player_id] for row in rows if row.squad_id == squad.id])
        for squad in squads
    ]


def _week(asker: Asker, squad: Squad, lines: list[PlayerWeek]) -> SquadWeek:
    levels = [one.level.now.value for one in lines if one.level and one.level.now.value is not None]
    played = sum(one.rounds for one in lines)
    talk = [one.player.name for one in sorted(lines, key=_urgency) if one.needs_a_word]
    since = last_week_of(asker.club, asker.today)
    words = gettext("{rounds} since {day}; nobody needs a word.")
    if talk:
        words = gettext("A word with {names}. {rounds} since {day}.")
    words = words.format(names=", ".join(talk), rounds=counted(played, "round"), day=dated(since, "l j F"))
    words = " ".join([words, *_changes(lines)])
    return SquadWeek(
        squad=Named(squad.id, squad.name),
        since=since,
        average=float(np.mean(levels)) if levels else None,
        words=words,
        ready=_ready(lines, saturday_from(asker.today)),
        players=sorted(lines, key=_urgency),
    )


SURE = 0.9
"""Chance from which a change is named."""


def _changes(lines: Sequence[PlayerWeek]) -> list[str]:
    """Who slips and who gets better over the months, which a week's one round or two do not show."""
    known = [
        (one.level.compared_with.chance_better.value, one.player.name)
        for one in lines
        if one.level and one.level.compared_with.chance_better
    ]
    if not known:
        return []
    worse = sorted((1 - better, name) for better, name in known if better <= 1 - SURE)
    better = sorted(one for one in known if one[0] >= SURE)
    told = [gettext("Nobody is likely worse than three months ago.")]
    if worse:
        told = [gettext("Likely worse than three months ago: {names}.").format(names=_named(worse))]
    if better:
        told.append(gettext("Likely better: {names}.").format(names=_named(better)))
    return told


def _named(chances: Sequence[tuple[float, str]]) -> str:
    return ", ".join(f"{name} ({spoken(percent(chance))})" for chance, name in reversed(chances))


READIEST = 3
SOFT_CAP = "handicap_cap:soft"
"""Nothing is wrong with it: the index rises more slowly for a while, by rule. A level that has become worse is an item
of its own, and so is the hard cap."""


def _ready(lines: Sequence[PlayerWeek], day: date) -> str:
    """``Likeliest to beat their usual on Saturday 28 November: Noor Haddadin (61%).``"""
    chances = [(one.next_round.chance_better, one.player.name) for one in lines]
    known = [(better, name) for better, name in chances if better is not None]
    when = gettext("Saturday {day}").format(day=_day(day))
    if not known:
        return gettext("Too few rounds to say who is ready for {when}.").format(when=when)
    likely = sorted((better for better in known if better[0].value >= NOTICED), key=lambda one: -one[0].value)
    if not likely:
        return gettext("For {when} nobody stands out: each is forecast about their usual.").format(when=when)
    names = ", ".join(f"{name} ({better.words})" for better, name in likely[:READIEST])
    return gettext("Likeliest to beat their usual on {when}: {names}.").format(when=when, names=names)


def _urgency(one: PlayerWeek) -> tuple[bool, float, str]:
    return not one.needs_a_word, -abs(one.moved or 0.0), one.player.name


def _lines(asker: Asker, players: Mapping[UUID, Player]) -> dict[UUID, PlayerWeek]:
    since = last_week_of(asker.club, asker.today)
    reports = PlayerReport.objects.filter(player__in=players)
    documents = {
        player: coaching_report({"level": level, "next_rounds": ahead})
        for player, level, ahead in reports.values_list(
            "player_id", report_section("level"), report_section("next_rounds")
        )
    }
    indexes = dict(PlayerHandicap.objects.filter(player__in=players).values_list("player_id", "index"))
    items: dict[UUID, list[AttentionItem]] = {}
    for item in attention(asker, AttentionQuery()):
        if item.item == SOFT_CAP:
            continue
        items.setdefault(item.player.id, []).append(item)
    last = _last_rounds(asker, players)
    lately = Round.objects.filter(player__in=players, played_on__gte=since, played_on__lte=asker.today)
    counts: dict[UUID, int] = {}
    for player_id in lately.values_list("player_id", flat=True):
        counts[player_id] = counts.get(player_id, 0) + 1
    by_player = {}
    for player in players.values():
        report = documents.get(player.id, CoachingReport())
        level = report.level
        moved = _moved(level, since) if counts.get(player.id) else None
        one = PlayerWeek(
            player=Named(player.id, player.name),
            handicap_index=index_words(indexes.get(player.id)),
            last_round=last.get(player.id),
            rounds=counts.get(player.id, 0),
            level=level,
            moved=moved,
            next_round=next_round_of(report.next_rounds, asker.today),
            words="",
            needs_a_word=items.get(player.id, []),
        )
        by_player[player.id] = replace(one, words=_words(one))
    return by_player


def _last_rounds(asker: Asker, players: Iterable[UUID]) -> dict[UUID, LastRound]:
    until_today = Round.objects.filter(played_on__lte=asker.today).order_by("-played_on", "-id")
    newest = [key for (key,) in first_of_each(until_today, "player", Player, list(players), 1)]
    rows = list(visible_rounds(asker.member).filter(id__in=newest))
    gained = dict(RoundFigures.objects.filter(round__in=rows).values_list("round_id", "total"))
    return {
        row.player_id: LastRound(
            row.id,
            row.played_on,
            row.tee_set.course.name,
            sum(row.scores),
            len(row.scores),
            gained.get(row.id),
        )
        for row in rows
    }


def _moved(level: Trend | None, since: date) -> float | None:
    if level is None or level.now.value is None:
        return None
    before = [one.level for one in level.rounds if one.played_on < since and one.level is not None]
    return level.now.value - before[-1] if before else None


def _words(one: PlayerWeek) -> str:
    if one.rounds == 0:
        return gettext("no round since last week")
    played = counted(one.rounds, "round")
    if one.moved is None:
        return gettext("{rounds}; too few before to tell a change").format(rounds=played)
    if abs(one.moved) < 0.05:
        return gettext("{rounds}; level as it was").format(rounds=played)
    moved = (
        gettext("{rounds}; level up {strokes} a round")
        if one.moved > 0
        else gettext("{rounds}; level down {strokes} a round")
    )
    return moved.format(rounds=played, strokes=signed_number(abs(one.moved), 1))


def _day(day: date) -> str:
    return dated(day, "j F")
