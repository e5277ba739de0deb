"""Tells the club's own systems what came of a player's golf, by webhook."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from golfstats.ground.webhooks.models import Happening
from golfstats.ground.webhooks.services import announce_all
from players.figures.models import RoundFigures
from players.people.permissions import unprotected_players
from players.rounds.announcing import round_in_message


def rounds_analysed(round_ids: Iterable[UUID]) -> None:
    """Announce rounds whose figures have just been stored. One query where nobody wants to know."""
    announce_all(Happening.ROUND_ANALYSED, lambda: _bodies(round_ids))


def _bodies(round_ids: Iterable[UUID]) -> list[dict[str, Any]]:
    figures = RoundFigures.objects.filter(round__in=list(round_ids)).select_related(
        "round__player", "round__tee_set__course"
    )
    figures = figures.filter(round__player__in=unprotected_players())
    return [_round_body(one) for one in figures.order_by("round__played_on", "round_id")]


def _round_body(figures: RoundFigures) -> dict[str, Any]:
    return round_in_message(figures.round) | {
        "score": figures.score,
        "holes_played": figures.holes_played,
        "benchmark": figures.benchmark,
        "strokes_gained": figures.total,
    }
