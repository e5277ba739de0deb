"""What stands in a month's report: two sheets of a player; of a squad a line a player and a sheet each.

Every figure comes from the answer that the pages and programs get, as the member who asked may have it.
"""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import orjson
import vl_convert
from django.utils.translation import gettext

from golfstats.ground.operations import Asker, Query
from golfstats.ground.words import (
    UNOFFICIAL,
    a_golfer,
    counted,
    dates_as,
    day_words,
    index_words,
    month_of_year,
)
from players.coaching.goals import Goal, goal_answers, visible_goals
from players.coaching.priorities import Priorities
from players.coaching.questions import TrendsQuery
from players.coaching.reports.report import stored_priorities
from players.coaching.trends import PlayersTrends, trends
from players.conditions.answers.rounds import PlayerConditionAdjusted, adjusted
from players.figures.answers.summary import PlayerSummary, summary
from players.golf.questions import WindowQuery
from players.golf.windows import RoundWindow
from players.golf.words import strokes_words
from players.handicap.answers import Handicap, handicaps
from players.months.sheets import Sheet, as_pdf, cut
from players.people.answers import Named
from players.people.models import Player
from players.pictures import subjects
from players.pictures.colours import Scheme
from players.pictures.shapes import Shape
from players.pictures.vega import About, specification

BEFORE = dt.timedelta(days=183)
"""That a month is compared with."""
ROUNDS_TOLD = 10
VEGA_LITE = "5.21"


@dataclass(frozen=True)
class Month:
    """Of which the report tells."""

    first: dt.date

    @property
    def last(self) -> dt.date:
        return self.first.replace(day=calendar.monthrange(self.first.year, self.first.month)[1])

    @property
    def words(self) -> str:
        return month_of_year(self.first)


@dataclass(frozen=True)
class PlayersMonth:
    """One player's answers for a month."""

    player: Player
    of_month: PlayerSummary
    before: PlayerSummary
    trends: PlayersTrends
    greens: PlayerConditionAdjusted
    goals: list[Goal]
    priorities: Priorities | None
    index: Handicap


def report_of(asker: Asker, players: Sequence[Player], month: Month, *, squad: str = "") -> bytes:
    """The PDF. ``squad`` is the name of the squad where it is of one."""
    with dates_as(asker.club.date_style):
        return _written(asker, players, month, squad)


def _written(asker: Asker, players: Sequence[Player], month: Month, squad: str) -> bytes:
    months = months_of(asker, players, month)
    foot = gettext("{club} · made on {day} · intervals are 90% · {unofficial}").format(
        club=asker.club.name, day=day_words(asker.today), unofficial=gettext(UNOFFICIAL)
    )
    if squad:
        sheets = [_squad_sheet(squad, months, month, foot)]
        sheets += [_player_sheet(one, month, foot) for one in months]
        return as_pdf(sheets, f"{squad}, {month.words}")
    (one,) = months
    return as_pdf(
        [_player_sheet(one, month, foot), _pictures_sheet(one, month, foot)],
        f"{one.player.name}, {month.words}",
    )


def months_of(asker: Asker, players: Sequence[Player], month: Month) -> list[PlayersMonth]:
    """As many queries for many players as for one."""
    window = {"from": month.first, "to": month.last}
    earlier = {"from": month.first - BEFORE, "to": month.first - dt.timedelta(days=1)}
    goals: dict[object, list[Goal]] = {player.id: [] for player in players}
    running = visible_goals(asker.member).filter(player__in=players, closed_at=None)
    for goal in goal_answers(asker, list(running)):
        goals[goal.player.id].append(goal)
    answers = zip(
        players,
        summary(asker, players, WindowQuery.model_validate(window)),
        summary(asker, players, WindowQuery.model_validate(earlier)),
        trends(asker, players, TrendsQuery(compare_to=month.first - dt.timedelta(days=1))),
        adjusted(
            [Named(player.id, player.name) for player in players],
            RoundWindow.between(month.first, month.last),
        ),
        stored_priorities(asker, players, Query()),
        handicaps(asker, players, Query()),
        strict=True,
    )
    return [
        PlayersMonth(player, now, before, moved, greens, goals[player.id], ranked, index)
        for player, now, before, moved, greens, ranked, index in answers
    ]


def _squad_sheet(squad: str, months: Sequence[PlayersMonth], month: Month, foot: str) -> Sheet:
    sheet = Sheet(foot)
    played = sum(len(one.of_month.rounds) for one in months)
    sheet.title(f"{squad}, {month.words}", f"{counted(len(months), 'player')}, {counted(played, 'round')}")
    columns = (
        (gettext("Player"), 0.0),
        (gettext("Rounds"), 0.27),
        (gettext("Index"), 0.35),
        (gettext("Strokes gained a round"), 0.43),
        (gettext("Since the month began"), 0.72),
    )
    rows = [
        (
            cut(one.player.name, 0.27),
            str(len(one.of_month.rounds)),
            index_words(one.index.index),
            _short(one.of_month),
            _chance(one.trends),
        )
        for one in months
    ]
    sheet.table(columns, rows)
    sheet.says(
        gettext(
            "Strokes gained with their 90% interval, each against the golfer named on the player's sheet."
        ),
        soft=True,
    )
    return sheet


def _short(summary: PlayerSummary) -> str:
    total = summary.strokes_gained.total
    if total.value is None or total.low is None or total.high is None:
        return gettext("too few")
    value, low, high = (
        strokes_words(one, within=(total.low, total.high)) for one in (total.value, total.low, total.high)
    )
    return gettext("{value} ({low} to {high})").format(value=value, low=low, high=high)


def _chance(trends: PlayersTrends) -> str:
    better = trends.trends[0].compared_with.chance_better
    if better is None:
        return gettext("too few rounds")
    return gettext("{percent} likely better").format(percent=better.words)


def _player_sheet(one: PlayersMonth, month: Month, foot: str) -> Sheet:
    sheet = Sheet(foot)
    beneath = gettext("Handicap index {index} · unofficial").format(index=_index(one, month))
    sheet.title(f"{one.player.name}, {month.words}", beneath)
    sheet.says(one.of_month.words)
    _parts(sheet, one)
    _rounds(sheet, one)
    sheet.heading(gettext("What changed since the month began"))
    for trend in one.trends.trends:
        sheet.says(f"{trend.name}: {trend.compared_with.words}.")
    sheet.heading(gettext("With the greens taken out"))
    putting = one.greens.putting
    as_it_was = gettext("Putting as it was: {raw}. The greens took {owed}.")
    sheet.says(as_it_was.format(raw=putting.raw.words, owed=putting.owed.words))
    sheet.says(gettext("Without that: {words}.").format(words=putting.adjusted.words))
    sheet.heading(gettext("Goals"))
    by_a_day = gettext("{figure}, by {day}: {words}.")
    for goal in one.goals[:4]:
        sheet.says(
            by_a_day.format(figure=goal.figure.name, day=day_words(goal.due_on), words=goal.progress.words)
        )
    if not one.goals:
        sheet.says(gettext("No goal is running."))
    sheet.heading(gettext("What to work on"))
    for words in _priorities(one.priorities):
        sheet.says(words)
    compared = gettext("Compared with {golfer}. {caution}").format(
        golfer=a_golfer(one.of_month.benchmark.name), caution=one.of_month.benchmark.caution
    )
    sheet.says(compared, soft=True)
    return sheet


def _index(one: PlayersMonth, month: Month) -> str:
    """Where it stood when the month began and when it ended, as far as the record tells."""
    points = [(point.on, point.index) for point in one.index.trend if point.index is not None]
    before = [index for on, index in points if on < month.first]
    within = [index for on, index in points if on <= month.last]
    if not within:
        return index_words(None)
    if not before or before[-1] == within[-1]:
        return index_words(within[-1])
    return f"{index_words(before[-1])} → {index_words(within[-1])}"


def _parts(sheet: Sheet, one: PlayersMonth) -> None:
    sheet.heading(gettext("Strokes gained a round"))
    now = subjects.in_parts(one.of_month.strokes_gained)
    before = subjects.in_parts(one.before.strokes_gained)
    rows = [
        (gettext(name), this.words, earlier.words)
        for name, this, earlier in zip(subjects.PARTS, now, before, strict=True)
    ]
    columns = (
        (gettext("Part of the game"), 0.0),
        (gettext("This month"), 0.18),
        (gettext("The six months before"), 0.6),
    )
    sheet.table(columns, rows)


def _rounds(sheet: Sheet, one: PlayersMonth) -> None:
    sheet.heading(gettext("Rounds"))
    rounds_shown = one.of_month.rounds[:ROUNDS_TOLD]
    if not rounds_shown:
        sheet.says(gettext("None this month."))
        return
    rows = [
        (
            day_words(row.played_on),
            cut(row.course, 0.37),
            f"{row.score} · {counted(row.holes_played, 'hole')}",
            gettext("score only") if row.strokes_gained is None else strokes_words(row.strokes_gained.total),
        )
        for row in rounds_shown
    ]
    columns = (
        (gettext("Day"), 0.0),
        (gettext("Course"), 0.18),
        (gettext("Score"), 0.55),
        (gettext("Strokes gained"), 0.8),
    )
    sheet.table(columns, rows)
    if len(one.of_month.rounds) > ROUNDS_TOLD:
        more = counted(len(one.of_month.rounds) - ROUNDS_TOLD, "round")
        sheet.says(gettext("And {rounds} before these.").format(rounds=more), soft=True)


def _priorities(ranked: Priorities | None) -> list[str]:
    worth = [] if ranked is None else [part for part in ranked.parts if part.rank is not None]
    if not worth:
        return [gettext("Too few rounds to tell.")]
    return [
        f"{part.rank}{' =' if part.tied else '.'} {part.words[:1].upper()}{part.words[1:]}."
        for part in sorted(worth, key=lambda part: part.rank or 0)
    ]


def _pictures_sheet(one: PlayersMonth, month: Month, foot: str) -> Sheet:
    sheet = Sheet(foot)
    sheet.title(f"{one.player.name}, {month.words}", gettext("The same in pictures"))
    sample = one.of_month.window.words
    level = one.trends.trends[0]
    pictures: list[tuple[Shape, str]] = [
        (subjects.parts(one.of_month), sample),
        (
            subjects.over_time(level),
            gettext("{rounds} in all").format(rounds=counted(len(level.rounds), "round")),
        ),
    ]
    if one.index.trend:
        pictures.append((subjects.index(one.index), gettext("of the record")))
    for shape, said in pictures:
        svg = drawn(shape, About(one.player.name, said, Scheme.LIGHT))
        sheet.picture(svg, *_size(svg))
    return sheet


def drawn(shape: Shape, about: About) -> str:
    """As Vega-Lite draws it, with the reader's months and marks of numbers; it has nothing to fetch."""
    svg: str = vl_convert.vegalite_to_svg(
        orjson.dumps(specification(shape, about)).decode(),
        vl_version=VEGA_LITE,
        allowed_base_urls=[],
    )
    return svg


def _size(svg: str) -> tuple[float, float]:
    """Width and height of a drawing, from its first tag."""
    head = svg[: svg.index(">")]
    wide, tall = (head.partition(f' {name}="')[2].partition('"')[0] for name in ("width", "height"))
    return float(wide), float(tall)
