from __future__ import annotations

from typing import Any

from django.db.models import Prefetch, QuerySet
from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.api.paging import CursorPagination
from golfstats.clubs.models import Member
from golfstats.clubs.scope import current_club_id
from players import permissions
from players.models import PlayedHole, Round, Shot


def rounds(member: Member) -> QuerySet[Round]:
    """Rounds that the member may read, with what a full answer needs: four queries, however many holes."""
    players = permissions.visible_players(member).values("id")
    shots = Shot.objects.order_by("number")
    holes = PlayedHole.objects.order_by("number").prefetch_related(Prefetch("shots", queryset=shots))
    return (
        Round.objects.filter(club_id=current_club_id(), player__in=players)
        .select_related("player", "tee_set__course")
        .prefetch_related(Prefetch("holes", queryset=holes))
    )


class RoundPages(CursorPagination):
    ordering = ("-played_on", "-id")

    def answer(self, request: Request, found: QuerySet[Round], view: Any) -> Response:
        without_shots = found.prefetch_related(None).prefetch_related("holes")
        page = self.paginate_queryset(without_shots, request, view=view) or []
        return self.get_paginated_response([round_line(round_) for round_ in page])


def round_head(round_: Round) -> dict[str, Any]:
    """What is known of a round without its holes."""
    return {
        "id": round_.id,
        "player": {"id": round_.player_id, "name": round_.player.name},
        "course": {"id": round_.tee_set.course_id, "name": round_.tee_set.course.name},
        "tee": {"id": round_.tee_set_id, "name": round_.tee_set.name},
        "played_on": round_.played_on,
        "start_time": round_.start_time,
        "section": round_.section,
        "format": round_.format,
        "counting": round_.counting,
        "competition": round_.competition,
        "analysis": round_.analysis,
        "analysis_reason": round_.analysis_reason,
        "version": round_.version,
    }


def round_line(round_: Round) -> dict[str, Any]:
    """A round in a list."""
    holes = list(round_.holes.all())
    return round_head(round_) | {"holes": len(holes), "score": sum(hole.score for hole in holes)}
