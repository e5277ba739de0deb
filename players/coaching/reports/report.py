"""What a dashboard shows of a player, written once by the worker so that pages and queries read stored rows.

The coach's part is kept and read back as the answers that the service gives.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils import timezone
from pydantic import TypeAdapter, ValidationError

from golfstats.ground.clock import today_at
from golfstats.ground.clubs.models import Club
from golfstats.ground.operations import Asker, Query
from golfstats.ground.walls.bulk import insert_columns
from golfstats.ground.words import dates_as, in_other_languages
from players.coaching.goals import Goal, goal_answer, refresh_goals
from players.coaching.history import DASHBOARD_FIGURES, history_of, observed
from players.coaching.models import PlayerReport, report_section
from players.coaching.priorities import Priorities, against_peer, player_priorities, priorities, ranked_groups
from players.coaching.questions import PrioritiesQuery
from players.coaching.reports.attention import AttentionItem, items_of, recent_scores
from players.coaching.reports.ledger import keep_what_is_said
from players.coaching.reports.next_round import (
    FORECAST_FIGURE,
    NextRound,
    forecasts_to_store,
    next_round_of,
    told,
)
from players.coaching.trends import Trend, fitted_together, trend_answer
from players.people import remembered
from players.people.models import Player

ROUNDS_KEPT = 20
"""A stored trend keeps the levels of so many rounds."""
GROUPS_KEPT = 5


@dataclass(frozen=True)
class CoachingReport:
    """The sections of a stored report that a coach reads."""

    trends: list[Trend] = field(default_factory=list)
    level: Trend | None = None
    """Of strokes gained a round as on sound greens, over more rounds than the trends keep."""
    priorities: Priorities | None = None
    goals: list[Goal] = field(default_factory=list)
    attention: list[AttentionItem] = field(default_factory=list)
    next_rounds: list[NextRound] = field(default_factory=list)


_REPORT = TypeAdapter(CoachingReport)


def sections(player: Player) -> dict[str, object]:
    """What is stored, as JSON, worked out from all rounds of the player.

    Brings their goals up to date as well, and keeps the whole of their priorities for whoever asks.
    """
    club = Club.objects.get()
    golf = history_of([player.id], club)
    today, unit = today_at(club), club.distance_unit
    goals = refresh_goals(golf, player.id, today)
    ranked = ranked_groups(player, golf, against_peer=against_peer(player, golf, club.benchmark))
    keys = (*DASHBOARD_FIGURES, FORECAST_FIGURE)
    *fits, score = fitted_together([observed(golf, player.id, key) for key in keys])
    coming, scores = forecasts_to_store(score, today), recent_scores(player.id)
    keep_what_is_said(golf, player.id, [*fits, score], goals, today)

    def written() -> dict[str, object]:
        """In the language of now."""
        worth_work = priorities(ranked)
        player_priorities.keep(club, player, PrioritiesQuery(), worth_work)
        report = CoachingReport(
            trends=[trend_answer(one, today, unit, last=ROUNDS_KEPT) for one in fits],
            level=trend_answer(fits[0], today, unit, last=ROUNDS_KEPT * 2),
            priorities=replace(worth_work, bands=worth_work.bands[:GROUPS_KEPT]),
            goals=[goal_answer(one, unit) for one in goals],
            attention=items_of(golf, player, fits, goals, scores, today, unit),
            next_rounds=[told(one) for one in coming],
        )
        sections: dict[str, object] = _REPORT.dump_python(report, mode="json")
        return sections

    with dates_as(club.date_style):
        return {**written(), "languages": in_other_languages(written)}


def coaching_report(document: dict[str, object] | None) -> CoachingReport:
    """The sections of a stored document; empty where the worker has not come to them yet.

    Those of an earlier version of the service are none either, until the worker writes them again.
    """
    kept = document or {}
    sections = ("trends", "level", "priorities", "goals", "attention", "next_rounds")
    try:
        return _REPORT.validate_python({name: kept[name] for name in sections if name in kept})
    except ValidationError:
        return CoachingReport()


def stored_priorities(_: Asker, players: Sequence[Player], __: Query) -> list[Priorities | None]:
    """As the worker stored them after each player's last round. One query."""
    rows = PlayerReport.objects.filter(player__in=players)
    sections = dict(rows.values_list("player_id", report_section("priorities")))
    return [coaching_report({"priorities": sections.get(player.id)}).priorities for player in players]


def kept_priorities(
    _: Asker, players: Sequence[Player], __: Query
) -> list[Priorities | Mapping[str, Any] | None]:
    """The same for a door that tells it field by field: as JSON, of which a squad's takes long to be made objects.

    What other code has written may have another shape, and is looked at.
    """
    rows = PlayerReport.objects.filter(player__in=players)
    found = rows.values_list("player_id", report_section("priorities"), "edition")
    sections = {
        player: section
        if edition == remembered.edition()
        else coaching_report({"priorities": section}).priorities
        for player, section, edition in found
    }
    return [sections.get(player.id) for player in players]


def stored_levels(_: Asker, players: Sequence[Player], __: Query) -> list[Trend | None]:
    """As the worker stored them after each player's last round. One query."""
    rows = PlayerReport.objects.filter(player__in=players)
    stored = dict(rows.values_list("player_id", "document__level"))
    return [coaching_report({"level": stored.get(player.id)}).level for player in players]


def next_rounds(asker: Asker, players: Sequence[Player], _: Query) -> list[NextRound]:
    """As the worker stored them after each player's last round. One query."""
    rows = PlayerReport.objects.filter(player__in=players)
    stored = dict(rows.values_list("player_id", report_section("next_rounds")))
    return [
        next_round_of(coaching_report({"next_rounds": stored.get(player.id)}).next_rounds, asker.today)
        for player in players
    ]


@transaction.atomic
def write_player_report(player_id: UUID) -> None:
    """Compute and store the report. Repeatable; a player deleted meanwhile is simply not found."""
    player = Player.objects.filter(id=player_id, erased_at=None).first()
    if player is None:
        return
    remembered.forget(player_id)
    insert_columns(
        PlayerReport,
        {
            "player_id": [player_id],
            "document": [sections(player)],
            "edition": [remembered.edition()],
            "computed_at": [timezone.now()],
        },
        in_place_of="player_id",
    )
