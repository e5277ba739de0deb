"""Squads and players. What is asked of one player is loaded for all that were found with him."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Any
from uuid import UUID

import strawberry

from golfstats.api.problems import Fault, invalid
from golfstats.calc.figures.catalogue import UnknownFigureError
from golfstats.calc.strokes.selection import UnknownBenchmark
from golfstats.graphql.context import Info
from golfstats.graphql.paging import USUAL_PAGE, Connection, Order, Page, last_of, pages_by
from golfstats.graphql.rows import ClubType, Family, Row, rows_of
from players import models
from players.api.attention import item_json
from players.api.coach_view import unknown_figure
from players.api.comparison import EarlierSelfQuery, earlier_self_json
from players.api.conditions import window_json
from players.api.goals import goal_json
from players.api.long_game import approach_json, distances_json
from players.api.notes import note_json
from players.api.people import player_line
from players.api.players_figures import series_json, summary_json
from players.api.putting import putting_json
from players.api.strokes_view import FigureWriter, unknown_benchmark
from players.api.trends import trend_json
from players.api.trials import TrialQuery, trial_json
from players.coaching.attention import attention_list
from players.coaching.comparison import earlier_self
from players.coaching.goals import standings, visible_goals
from players.coaching.history import DASHBOARD_FIGURES, history_of, today_at
from players.coaching.notes import visible_notes, with_figures
from players.coaching.report import coaching_report
from players.coaching.trends import trends
from players.conditions.queries import adjusted_windows
from players.graphql.coaching import AttentionItem, Goal, PracticeNote, Priorities, Trend, priorities_line
from players.graphql.comparing import EarlierSelf, checked_keys
from players.graphql.documents import (
    FigureOfRound,
    Observation,
    PlayerApproach,
    PlayerDistances,
    PlayerPutting,
    PlayerSummary,
    Trial,
    observations_page,
)
from players.graphql.figures import AdjustedPutting, NamedFigure
from players.graphql.handicap import (
    LATEST_DECISIONS,
    NEWEST_SCORE,
    CommitteeAction,
    Handicap,
    HandicapLine,
    explained_line,
    handicap_line,
)
from players.graphql.rounds import NEWEST, Named, Round, round_row_line
from players.graphql.window import Window, asked, window_query
from players.handicap.queries import action_line
from players.queries import of_players, of_rounds
from players.queries.analysed import Golf
from players.queries.benchmarks import club_putting_prior
from players.queries.figures import figures_of, spec_of
from players.queries.one_player import golf_of_one
from players.queries.windows import RoundWindow

BY_NAME = Order(("name", "id"))
LATEST_NOTES = Order(("-practised_on", "-id"))
NEWEST_GOALS = Order(("-id",))
Parent = strawberry.Parent[Row]
MOST_FIGURES = 50
EVERY_ROUND = RoundWindow.between()


@strawberry.type
class AdjustedWindow:
    rounds: int
    left_out: int
    putting: AdjustedPutting


@strawberry.type
class Player(ClubType):
    model = models.Player
    id: UUID
    name: str
    rating_gender: str
    member: UUID | None

    @strawberry.field(
        graphql_type=list[NamedFigure],
        description=f"Figures by key, at most {MOST_FIGURES}; strokes gained in all and by part if left out.",
    )
    @staticmethod
    def figures(
        player: Parent, info: Info, keys: list[str] | None = None, window: Window | None = None
    ) -> Any:
        golf, write = _asked(player, info, window)
        try:
            found = figures_of(golf, _checked_keys(keys))
        except UnknownFigureError as error:
            raise unknown_figure(error) from None
        return [write.named(named) for named in found]

    @strawberry.field(graphql_type=PlayerSummary)
    @staticmethod
    def summary(player: Parent, info: Info, window: Window | None = None) -> Any:
        return summary_json(_model(player), *_asked(player, info, window))

    @strawberry.field(graphql_type=PlayerPutting)
    @staticmethod
    def putting(player: Parent, info: Info, window: Window | None = None) -> Any:
        golf, write = _asked(player, info, window)
        prior = player.family.once("putting prior", club_putting_prior)
        return putting_json(_model(player), golf, prior, write)

    @strawberry.field(graphql_type=PlayerApproach)
    @staticmethod
    def approach(player: Parent, info: Info, window: Window | None = None) -> Any:
        return approach_json(_model(player), *_asked(player, info, window))

    @strawberry.field(graphql_type=PlayerDistances)
    @staticmethod
    def distances(player: Parent, info: Info, window: Window | None = None) -> Any:
        return distances_json(_model(player), *_asked(player, info, window))

    @strawberry.field(
        graphql_type=Connection[Observation],
        description="The shots (or holes, or rounds) behind a figure, newest round first.",
    )
    @staticmethod
    def shots(
        player: Parent,
        info: Info,
        figure: str,
        first: int = USUAL_PAGE,
        after: str | None = None,
        window: Window | None = None,
    ) -> Any:
        golf, write = _asked(player, info, window)
        return observations_page(golf, figure, Page(first, after), write.unit)

    @strawberry.field(
        graphql_type=list[EarlierSelf],
        description="His rounds from a day on against those before it. Strokes gained without keys.",
    )
    @staticmethod
    def earlier_self(
        player: Parent,
        info: Info,
        day: dt.date,
        keys: list[str] | None = None,
        since: dt.date | None = None,
        benchmark: str | None = None,
    ) -> Any:
        club = info.context.club
        query = asked(EarlierSelfQuery, day=day.isoformat(), since=_iso(since), benchmark=benchmark)
        golf = _history_of(player.family, player.id, info, RoundWindow.between(query.since), query.benchmark)
        try:
            found = earlier_self(golf, player.id, checked_keys(keys), query.day, today_at(club))
        except UnknownFigureError as error:
            raise unknown_figure(error) from None
        return [earlier_self_json(one, club.distance_unit) for one in found]

    @strawberry.field(graphql_type=Trial, description="Is A better than B? Tested by permutation.")
    @staticmethod
    def trial(
        player: Parent,
        info: Info,
        tag: str,
        a: str,
        b: str,
        outcome: str,
        club: str | None = None,
        since: dt.date | None = None,
        benchmark: str | None = None,
    ) -> Any:
        query = asked(
            TrialQuery, tag=tag, a=a, b=b, outcome=outcome, club=club, since=_iso(since), benchmark=benchmark
        )
        golf = _history_of(player.family, player.id, info, RoundWindow.between(query.since), query.benchmark)
        return trial_json(_model(player), golf, query, info.context.club.distance_unit)

    @strawberry.field(
        graphql_type=list[FigureOfRound],
        description="A figure by round: the last so many of the window, oldest first.",
    )
    @staticmethod
    def figure_by_round(
        player: Parent, info: Info, key: str, last: int = 20, window: Window | None = None
    ) -> Any:
        golf, write = _asked(player, info, window)
        try:
            found = series_json(golf, spec_of(golf, key), write.unit)
        except UnknownFigureError as error:
            raise unknown_figure(error, "/key") from None
        return last_of(found, last)

    @strawberry.field(
        graphql_type=list[Trend], description="Strokes gained in all and by part if no keys are given."
    )
    @staticmethod
    def trends(
        player: Parent, info: Info, keys: list[str] | None = None, compare_to: dt.date | None = None
    ) -> Any:
        club = info.context.club
        today = today_at(club)
        if compare_to is not None and compare_to >= today:
            raise invalid([Fault("/compare_to", "not_earlier", "compare_to is a day before today")])
        try:
            found = trends(_history(player, info), player.id, _checked_keys(keys), today, compare_to)
        except UnknownFigureError as error:
            raise unknown_figure(error) from None
        return [trend_json(trend, club.distance_unit) for trend in found]

    @strawberry.field(graphql_type=Priorities | None, description="Null until the worker has come to them.")
    @staticmethod
    def priorities(player: Parent) -> Any:
        family = player.family
        sections = family.once("priorities", lambda: of_players.stored_priorities(family.ids))
        stored = coaching_report({"priorities": sections.get(player.id)}).priorities
        return None if stored is None else priorities_line(stored)

    @strawberry.field(graphql_type=Connection[Goal], description="Newest first, each with how it stands.")
    @staticmethod
    def goals(player: Parent, info: Info, first: int = USUAL_PAGE, after: str | None = None) -> Any:
        context = info.context
        today, unit = today_at(context.club), context.club.distance_unit

        def line(goal: models.Goal) -> dict[str, Any]:
            (found,) = standings(_history_of(player.family, goal.player_id, info), [goal], today)
            return goal_json(found, unit)

        return _page(player, "goals", visible_goals(context.member), NEWEST_GOALS, Page(first, after), line)

    @strawberry.field(
        graphql_type=Connection[PracticeNote],
        description="Latest first, each with its figure before and after.",
    )
    @staticmethod
    def notes(player: Parent, info: Info, first: int = USUAL_PAGE, after: str | None = None) -> Any:
        context = info.context

        def line(note: models.PracticeNote) -> dict[str, Any]:
            (found,) = with_figures(_history_of(player.family, note.player_id, info), [note])
            return note_json(found, context.club.distance_unit)

        return _page(player, "notes", visible_notes(context.member), LATEST_NOTES, Page(first, after), line)

    @strawberry.field(graphql_type=Connection[Round], description="Newest first.")
    @staticmethod
    def rounds(player: Parent, info: Info, first: int = USUAL_PAGE, after: str | None = None) -> Any:
        found = of_rounds.rounds_with_holes(info.context.member)
        return _page(player, "rounds", found, NEWEST, Page(first, after), round_row_line)

    @strawberry.field(graphql_type=Handicap | None, description="Null until there is a score.")
    @staticmethod
    def handicap(player: Parent) -> Any:
        family = player.family
        return family.once("handicap", lambda: _handicaps(family)).get(player.id)

    @strawberry.field(
        graphql_type=Connection[HandicapLine], description="Scores on the record, newest first."
    )
    @staticmethod
    def handicap_record(player: Parent, first: int = USUAL_PAGE, after: str | None = None) -> Any:
        found = of_players.all_handicap_lines()
        return _page(player, "record", found, NEWEST_SCORE, Page(first, after), explained_line)

    @strawberry.field(
        graphql_type=Connection[CommitteeAction], description="Decisions on his handicap, latest first."
    )
    @staticmethod
    def committee_actions(player: Parent, first: int = USUAL_PAGE, after: str | None = None) -> Any:
        found = of_players.all_committee_actions()
        return _page(player, "decisions", found, LATEST_DECISIONS, Page(first, after), action_line)

    @strawberry.field(
        graphql_type=AdjustedWindow,
        description="Putting over the last rounds with and without the greens' state.",
    )
    @staticmethod
    def condition_adjusted(player: Parent, last: int = 20) -> Any:
        family = player.family
        if not 1 <= last <= 1000:
            raise invalid([Fault("/last", "out_of_range", "last is from 1 to 1000")])
        windows = family.once(("adjusted", last), lambda: adjusted_windows(family.ids, RoundWindow(last)))
        told = window_json(_model(player), windows[player.id])
        return told["window"] | {"putting": told["putting"]}

    @strawberry.field(
        graphql_type=list[AttentionItem],
        description="What to look at; for coaches and managers, of the players in their squads.",
    )
    @staticmethod
    def attention(player: Parent, info: Info) -> Any:
        context = info.context
        found = player.family.once(
            "attention", lambda: attention_list(context.member, today_at(context.club))
        )
        unit = context.club.distance_unit
        return [item_json(one, unit) for one in found if one.player_id == player.id]


@strawberry.type
class Squad(ClubType):
    model = models.Squad
    id: UUID
    name: str

    @strawberry.field(graphql_type=list[Named])
    @staticmethod
    def coaches(squad: Parent) -> Any:
        family = squad.family
        return family.once("coaches", lambda: of_players.coaches_of(family.ids))[squad.id]

    @strawberry.field(graphql_type=Connection[Player], description="By name.")
    @staticmethod
    def players(squad: Parent, first: int = USUAL_PAGE, after: str | None = None) -> Any:
        family, page = squad.family, Page(first, after)
        rows = of_players.players_of_squads()
        pages = family.once(
            ("players", page), lambda: pages_by(rows, "squad_id", family.ids, BY_NAME, page, player_line)
        )
        return pages[squad.id]


def squad_head(squad: models.Squad) -> dict[str, Any]:
    return {"id": squad.id, "name": squad.name}


def _page(player: Row, name: str, rows: Any, order: Order, page: Page, line: Any) -> Any:
    family = player.family
    pages = family.once((name, page), lambda: pages_by(rows, "player_id", family.ids, order, page, line))
    return pages[player.id]


def _model(player: Row) -> models.Player:
    assert isinstance(player.model, models.Player)  # noqa: S101 - a type of its own refuses other rows
    return player.model


def _iso(day: dt.date | None) -> str | None:
    return None if day is None else day.isoformat()


def _checked_keys(keys: list[str] | None) -> list[str]:
    if keys is not None and len(keys) > MOST_FIGURES:
        raise invalid([Fault("/keys", "too_many", f"at most {MOST_FIGURES} figures at once")])
    return list(DASHBOARD_FIGURES) if keys is None else keys


def _asked(player: Row, info: Info, window: Window | None) -> tuple[Golf, FigureWriter]:
    """The player's golf in the window, and who writes figures about it."""
    query = window_query(window)
    golf = _history_of(player.family, player.id, info, query.window(), query.benchmark)
    return golf, FigureWriter(_model(player), query, info.context.club.distance_unit)


def _history(player: Row, info: Info) -> Golf:
    return _history_of(player.family, player.id, info)


def _history_of(
    family: Family,
    player_id: UUID,
    info: Info,
    window: RoundWindow = EVERY_ROUND,
    benchmark: str | None = None,
) -> Golf:
    """Rounds of one of the family, cut out of those of all of them."""

    def load() -> Golf:
        try:
            return history_of(family.ids, info.context.club, benchmark)
        except UnknownBenchmark as error:
            raise unknown_benchmark(error) from None

    golf = family.once(("history", benchmark), load)
    return family.once(
        ("history of one", player_id, window, benchmark), lambda: golf_of_one(golf, player_id, window)
    )


def _handicaps(family: Family) -> dict[UUID, Row]:
    found: Iterable[models.PlayerHandicap] = of_players.handicaps_of(family.ids)
    return {row.model.player_id: row for row in rows_of(found, handicap_line)}  # type: ignore[attr-defined]
