"""Tells the club's own systems what happened to a player's golf, by webhook."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from golfstats.webhooks import services
from golfstats.webhooks.models import Destination, Happening
from players.models import RoundFigures


def rounds_analysed(round_ids: Iterable[UUID]) -> None:
    """Announce rounds whose figures have just been stored. One query where nobody wants to know."""
    if not _anybody_asked_for(Happening.ROUND_ANALYSED):
        return
    figures = RoundFigures.objects.filter(round__in=list(round_ids)).select_related(
        "round__player", "round__tee_set__course"
    )
    for one in figures.order_by("round__played_on", "round_id"):
        services.announce(Happening.ROUND_ANALYSED, _round_body(one))


def _anybody_asked_for(happening: Happening) -> bool:
    return Destination.objects.filter(active=True, happenings__contains=[happening]).exists()


def _round_body(figures: RoundFigures) -> dict[str, Any]:
    round_ = figures.round
    return {
        "round": str(round_.id),
        "player": {"id": str(round_.player_id), "name": round_.player.name},
        "course": round_.tee_set.course.name,
        "played_on": round_.played_on.isoformat(),
        "score": figures.score,
        "holes_played": figures.holes_played,
        "benchmark": figures.benchmark,
        "strokes_gained": figures.total,
    }
