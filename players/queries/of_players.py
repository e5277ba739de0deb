"""What belongs to players and squads, for whoever reads it of several of them at once."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from django.db.models import F, QuerySet

from players.models import CommitteeAction, HandicapLine, Player, PlayerHandicap, PlayerReport, SquadCoach


def players_of_squads() -> QuerySet[Player]:
    """Each player once for every squad he is in, with its ``squad_id``."""
    return Player.objects.annotate(squad_id=F("squad_places__squad_id"))


def coaches_of(squads: Iterable[UUID]) -> dict[UUID, list[dict[str, Any]]]:
    """The coaches of each squad, by name."""
    wanted = list(squads)
    rows = SquadCoach.objects.filter(squad__in=wanted).select_related("member").order_by("member__name", "id")
    found: dict[UUID, list[dict[str, Any]]] = {squad: [] for squad in wanted}
    for row in rows:
        found[row.squad_id].append({"id": row.member_id, "name": row.member.name})
    return found


def handicaps_of(players: Iterable[UUID]) -> QuerySet[PlayerHandicap]:
    return PlayerHandicap.objects.filter(player__in=list(players))


def all_handicap_lines() -> QuerySet[HandicapLine]:
    return HandicapLine.objects.all()


def all_committee_actions() -> QuerySet[CommitteeAction]:
    return CommitteeAction.objects.select_related("decided_by", "withdrawn_by")


def stored_priorities(players: Iterable[UUID]) -> dict[UUID, Any]:
    """Of each player's stored report the section with his priorities."""
    rows = PlayerReport.objects.filter(player__in=list(players))
    return dict(rows.values_list("player_id", "document__priorities"))
