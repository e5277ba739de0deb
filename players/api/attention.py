"""What a coach should look at, and what he has put aside."""

from __future__ import annotations

from typing import Annotated, Any
from uuid import UUID

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, extend_schema
from pydantic import BaseModel, ConfigDict, Field, StringConstraints
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.clubs.models import Role
from players import permissions
from players.api import coach_examples as examples
from players.api.coach_view import Body, CoachView
from players.api.figures import figure_json
from players.api.query_string import NoQuery
from players.coaching.attention import USUAL_DAYS_WITHOUT_ROUND, PlayersItem, attention_list, dismiss


class AttentionQuery(BaseModel):
    model_config = ConfigDict(extra="forbid")

    days: int = Field(USUAL_DAYS_WITHOUT_ROUND, ge=1, le=1000)
    dismissed: bool = False


class AttentionList(CoachView):
    @extend_schema(
        operation_id="list_attention",
        summary="What to look at in your squads: each item with its reason and figure, in a stable order",
        parameters=[
            OpenApiParameter(
                "days",
                OpenApiTypes.INT,
                description=f"without a round; {USUAL_DAYS_WITHOUT_ROUND} if left out",
            ),
            OpenApiParameter("dismissed", OpenApiTypes.BOOL, description="show what you put aside as well"),
        ],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("The list", value={"items": [examples.ATTENTION_ITEM]}, response_only=True)],
    )
    def get(self, request: Request) -> Response:
        permissions.require_role(self.member, Role.COACH, Role.MANAGER)
        query = self.query(AttentionQuery, request)
        found = attention_list(
            self.member, self.today, days_without_round=query.days, with_dismissed=query.dismissed
        )
        unit = self.club.distance_unit
        return Response({"items": [item_json(one, unit) for one in found]})


class DismissalBody(Body):
    player: UUID
    item: Annotated[str, StringConstraints(min_length=1, max_length=120)]


class DismissalList(CoachView):
    @extend_schema(
        operation_id="dismiss_attention_item",
        summary="Put an item aside, for yourself, until its cause begins anew",
        request=DismissalBody,
        responses={201: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample(
                "An item",
                value={"player": examples.PLAYER["id"], "item": "no_round"},
                request_only=True,
            ),
            OpenApiExample(
                "Put aside",
                value={
                    "player": examples.PLAYER["id"],
                    "item": "no_round",
                    "dismissed_at": "2026-08-20T09:12:00Z",
                },
                response_only=True,
                status_codes=["201"],
            ),
        ],
    )
    def post(self, request: Request) -> Response:
        permissions.require_role(self.member, Role.COACH, Role.MANAGER)
        self.query(NoQuery, request)
        body = self.body(DismissalBody, request)
        player = self.visible_player(body.player)
        dismissal = dismiss(self.member, player, body.item)
        answer = {"player": player.id, "item": dismissal.item, "dismissed_at": dismissal.dismissed_at}
        return Response(answer, status.HTTP_201_CREATED)


def item_json(one: PlayersItem, unit: str) -> dict[str, Any]:
    item = one.item
    return {
        "player": {"id": one.player_id, "name": one.player_name},
        "kind": item.kind,
        "item": item.key,
        "reason": item.reason,
        "figure": None if item.figure is None else figure_json(item.figure, unit=unit),
        "began": item.began,
        "dismissed": one.dismissed,
    }
