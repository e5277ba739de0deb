"""Where a member begins, by role; a player's page; squads."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.safestring import SafeString
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from courses.layout.models import Gender
from courses.layout.operations import COURSE
from golfstats.doors.pages.base import ClubPage
from golfstats.doors.pages.languages import translated
from golfstats.doors.pages.pictures.frame import Span
from golfstats.doors.pages.pictures.intervals import in_a_cell
from golfstats.doors.pages.pictures.series import spark
from golfstats.doors.pages.screens.chapters.base import benchmark_options, window_query
from golfstats.doors.pages.screens.chapters.in_short import InShort
from golfstats.doors.pages.screens.chapters.words import LITTLE
from golfstats.doors.pages.screens.greens.today import greens_today
from golfstats.doors.pages.shown import ShownFigure, told
from golfstats.ground import inputs
from golfstats.ground.clubs.models import Role
from golfstats.ground.operations import Query
from golfstats.ground.words import a_golfer, index_words, signed_number
from players.coaching.questions import MOST_PLAYERS
from players.coaching.reports.report import stored_priorities
from players.coaching.reports.week import PlayerWeek, SquadWeek, squad_weeks
from players.coaching.trends import Trend
from players.figures.answers.figures import FIGURE_OPTIONS
from players.figures.answers.squads import SquadTableRow, average, squad_table
from players.figures.operations import SUMMARY
from players.golf.questions import WindowQuery
from players.handicap.answers import handicaps
from players.people import permissions
from players.people.answers import Named
from players.people.models import Player, Squad
from players.people.operations import NewPlayer
from players.people.services import save_player
from players.pictures.shapes import Point
from players.pictures.subjects import PART_KINDS, PARTS, in_parts
from players.plans.costs.choices import squad_choices

ORDERS = (
    ("word", noop("who needs a word")),
    ("name", noop("name")),
    ("ready", noop("who is ready")),
    ("level", noop("level")),
    ("moved", noop("what moved")),
    ("last", noop("last round")),
    ("index", noop("index")),
)


class ClubStart(ClubPage):
    """The page of a member's own role."""

    def get(self, request: HttpRequest) -> HttpResponse:
        if self.member.role == Role.GREENKEEPER:
            return redirect(self.address("greens-page"))
        if self.member.role in {Role.COACH, Role.MANAGER}:
            return self._week(request)
        player = permissions.own_player(self.member)
        if player is None:
            return self.page("no_player", {"genders": [(one.value, gettext(one.value)) for one in Gender]})
        return self._today(player)

    def _week(self, request: HttpRequest) -> HttpResponse:
        squads = list(permissions.visible_squads(self.member).order_by("name", "id"))
        order = request.GET.get("order", "word")
        self.asker.looks_at("analysis", [one.id for one in squads])
        shown = [shown_week(one, order) for one in squad_weeks(self.asker, squads, Query())]
        context = {
            "weeks": list(zip(shown, squad_choices(self.asker, squads, Query()), strict=True)),
            "orders": translated(ORDERS),
            "order": order,
            "greens": greens_today(list(COURSE.visible(self.asker).order_by("name", "id")), self.today),
            "put_aside": request.session.pop("put_aside", None),
        }
        return self.page("coach", context)

    def _today(self, player: Player) -> HttpResponse:
        """What a player wants to know before teeing off, and one task."""
        (answer,) = SUMMARY(self.asker, [player], WindowQuery())
        (index,) = handicaps(self.asker, [player], Query())
        (priorities,) = stored_priorities(self.asker, [player], Query())
        first = next((one for one in priorities.parts if one.rank == 1), None) if priorities else None
        context: dict[str, object] = {
            "player": player,
            "greens": greens_today(list(COURSE.visible(self.asker).order_by("name", "id")), self.today),
            "words": answer.words,
            "rounds": answer.rounds[:5],
            "index": index_words(index.index),
            "practise": first,
            "little": first is not None and (first.to_gain.value or 0.0) < LITTLE,
        }
        return self.page("today", context)


class BecomeAPlayer(ClubPage):
    """A member invited as player says by which ratings they play, and may enter rounds."""

    def post(self, request: HttpRequest) -> HttpResponse:
        self.asker.needs(Role.PLAYER)
        asked = {"name": self.member.name, "rating_gender": request.POST.get("rating_gender", "")}
        new = inputs.checked(NewPlayer, asked)
        save_player(Player(), new.name, new.rating_gender, self.member.id)
        return redirect(self.address("club-page"))


class PlayerPage(InShort):
    """A player in short; the other chapters are a tap away."""


class Players(ClubPage):
    """Everybody whose golf the member may read, and the choice of whom to compare."""

    def get(self, request: HttpRequest) -> HttpResponse:
        players = permissions.visible_players(self.member).order_by("name", "id")
        return self.page(
            "players", {"players": players, "most": MOST_PLAYERS, "figures": translated(FIGURE_OPTIONS)}
        )


@dataclass(frozen=True)
class WeekLine:
    """A player's week with its small picture."""

    week: PlayerWeek
    level: ShownFigure | None
    picture: SafeString


@dataclass(frozen=True)
class ShownWeek:
    week: SquadWeek
    lines: list[WeekLine]
    average: str


def shown_week(week: SquadWeek, order: str) -> ShownWeek:
    """The squad in the order asked for; all small pictures are on one scale."""
    levels = [one.level for one in week.players if one.level is not None]
    span = Span.of([0.0, *(x for level in levels for one in level.rounds for x in (one.low, one.high))])
    lines = [
        WeekLine(
            one,
            None if one.level is None else told(one.level.now, signed=True),
            SafeString("") if one.level is None else _spark(one.player.name, one.level, span),
        )
        for one in _in_order(week.players, order)
    ]
    average = "" if week.average is None else signed_number(week.average, 1, plus=True)
    return ShownWeek(week, lines, average)


def _spark(name: str, level: Trend, span: Span) -> SafeString:
    points = [Point(one.played_on, one.value, one.level, one.low, one.high) for one in level.rounds]
    return spark(gettext("{name}: level {words}").format(name=name, words=level.now.words), points, span)


def _in_order(players: Sequence[PlayerWeek], order: str) -> list[PlayerWeek]:
    """As the answer has them where no other order is asked for; the unknown comes last."""
    by = _SORTED_BY.get(order)
    return list(players) if by is None else sorted(players, key=by)


def _or_least(value: float | None) -> float:
    return -1e9 if value is None else value


def _index_value(words: str) -> float:
    if words == "–":
        return 1e9
    number = float(words.lstrip("+").replace(",", "."))  # as any language writes it
    return -number if words.startswith("+") else number


_SORTED_BY: Mapping[str, Callable[[PlayerWeek], float | str]] = {
    "name": lambda one: one.player.name,
    "ready": lambda one: -(one.next_round.chance_better.value if one.next_round.chance_better else 0.0),
    "level": lambda one: -_or_least(one.level.now.value if one.level else None),
    "moved": lambda one: -abs(one.moved or 0.0),
    "last": lambda one: -(one.last_round.played_on.toordinal() if one.last_round else 0),
    "index": lambda one: _index_value(one.handicap_index),
}


class SquadPage(ClubPage):
    def get(self, request: HttpRequest, squad_id: UUID) -> HttpResponse:
        squad = permissions.visible_squads(self.member).filter(id=squad_id).first()
        if squad is None:
            raise Http404
        self.asker.looks_at("analysis", [squad.id])
        query = window_query(request)
        chosen = query.benchmark or self.club.benchmark
        context = {
            "table": squad_lines(self, squad, query),
            "parts": [gettext(one) for one in PARTS],
            "benchmarks": benchmark_options(chosen),
            "chosen": chosen,
            "last": query.window().last,
        }
        return self.page("squad", context)


@dataclass(frozen=True)
class ShownCell:
    head: str
    """Of its column, said again where a phone has no room for columns."""
    shown: ShownFigure
    drawing: SafeString
    """Empty for the whole, which is on another scale than its parts."""


@dataclass(frozen=True)
class SquadLine:
    player: Named
    index: str
    rounds: int
    cells: list[ShownCell]
    """In all, then by part."""


@dataclass(frozen=True)
class SquadLines:
    squad: Squad
    benchmark: str
    lines: list[SquadLine]
    averages: list[tuple[str, ShownFigure | None]]
    """Plain means of the players' figures, where they are known, each with the head of its column."""


def squad_lines(page: ClubPage, squad: Squad, query: WindowQuery) -> SquadLines:
    (table,) = squad_table(page.asker, [squad], query)
    parts = [in_parts(row.strokes_gained) for row in table.players]
    span = Span.of_intervals(one for row in parts for one in row[1:])
    means = [average(column) for column in zip(*parts, strict=True)]
    averages = [told(one, signed=True) if one else None for one in means]
    return SquadLines(
        squad,
        a_golfer(table.benchmark.name),
        [_line(row, span) for row in table.players],
        list(zip(map(gettext, PARTS), averages, strict=False)),
    )


def _line(row: SquadTableRow, span: Span) -> SquadLine:
    total, *parts = in_parts(row.strokes_gained)
    whole, *heads = map(gettext, PARTS)
    cells = [ShownCell(whole, told(total, signed=True), SafeString(""))]
    cells += [
        ShownCell(head, told(part, signed=True), in_a_cell(part, span, kind))
        for head, part, kind in zip(heads, parts, PART_KINDS[1:], strict=True)
    ]
    return SquadLine(row.player, index_words(row.handicap_index), row.rounds, cells)
