"""Handicaps: the record, its explanation, what a tee gives, what a score would do, the committee's decisions.

Every answer says that its figures are unofficial.
"""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, extend_schema
from pydantic import BaseModel, ConfigDict
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response

from courses.models import Course, Rating, Section
from golfstats.api import bodies
from golfstats.api.filters import refuse_unknown
from golfstats.api.problems import Fault, invalid, not_found
from golfstats.api.views import ClubView
from golfstats.clubs.models import Role
from players import permissions
from players.api import handicap_examples as examples
from players.api.query_string import checked_query
from players.handicap import queries, services
from players.models import CommitteeAction, Player

BODY_LIMIT = 16 * 1024


class TargetsQuery(BaseModel):
    model_config = ConfigDict(extra="forbid")
    tee: UUID
    section: Section = Section.EIGHTEEN


class PlayerQuery(BaseModel):
    model_config = ConfigDict(extra="forbid")
    player: UUID


class OfPlayer(ClubView):
    """A view below ``players/<id>/``."""

    def player(self, player_id: UUID) -> Player:
        player = permissions.visible_players(self.member).filter(id=player_id).first()
        if player is None:
            raise not_found("No player")
        return player

    def today(self) -> dt.date:
        return dt.datetime.now(ZoneInfo(self.club.time_zone)).date()


class HandicapOfPlayer(OfPlayer):
    @extend_schema(
        operation_id="read_handicap",
        summary="Unofficial index, low index, trend and the whole record of a player",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("A record", value=examples.RECORD)],
    )
    def get(self, request: Request, player_id: UUID) -> Response:
        return Response(queries.handicap_of(self.player(player_id)))


class HandicapOfRound(OfPlayer):
    @extend_schema(
        operation_id="explain_handicap",
        summary="One score line by line: which rule made which (unofficial) number",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Explained", value=examples.EXPLANATION)],
    )
    def get(self, request: Request, player_id: UUID, round_id: UUID) -> Response:
        found = queries.explanation(self.player(player_id), round_id)
        if found is None:
            raise not_found("No score")
        return Response(found)


class HandicapTargets(OfPlayer):
    @extend_schema(
        operation_id="handicap_targets",
        summary="What would I need to shoot: adjusted gross scores and the (unofficial) index each would give",
        parameters=[
            OpenApiParameter("tee", OpenApiTypes.UUID, required=True),
            OpenApiParameter("section", OpenApiTypes.STR, enum=Section.values),
        ],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Targets", value=examples.TARGETS)],
    )
    def get(self, request: Request, player_id: UUID) -> Response:
        player = self.player(player_id)
        asked = checked_query(TargetsQuery, request)
        return Response(queries.targets(player, rating_for(player, asked), self.today()))


def rating_for(player: Player, asked: TargetsQuery) -> Rating:
    """The rating that the player's scores from this tee count by; a 422 problem if there is none."""
    found = Rating.objects.filter(
        tee_set_id=asked.tee, gender=player.rating_gender, section=asked.section
    ).first()
    if found is None:
        raise invalid([Fault("/tee", "no_such_rating", "no such tee, or no rating of it for this player")])
    return found


class HandicapsOnCourse(OfPlayer):
    @extend_schema(
        operation_id="handicaps_on_course",
        summary="Course and playing handicap (unofficial) of a player on each tee and in each format",
        parameters=[OpenApiParameter("player", OpenApiTypes.UUID, required=True)],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Handicaps", value=examples.ON_COURSE)],
    )
    def get(self, request: Request, course_id: UUID) -> Response:
        asked = checked_query(PlayerQuery, request)
        course = Course.objects.filter(id=course_id).first()
        if course is None:
            raise not_found("No course")
        player = self.player(asked.player)
        return Response(queries.handicaps_on_course(course, player, self.today()))


class CommitteeActions(OfPlayer):
    def _managed(self, player_id: UUID) -> Player:
        player = self.player(player_id)
        permissions.require_role(self.member, Role.MANAGER)
        return player

    @extend_schema(
        operation_id="list_committee_actions",
        summary="The committee's decisions on a player, with who, when and why",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Log", value={"results": [examples.ACTION]})],
    )
    def get(self, request: Request, player_id: UUID) -> Response:
        refuse_unknown(request)
        found = CommitteeAction.objects.filter(player=self.player(player_id))
        rows = found.select_related("decided_by", "withdrawn_by").order_by("-decided_at", "-id")
        return Response({"results": [queries.action_line(row) for row in rows]})

    @extend_schema(
        operation_id="decide_committee_action",
        summary="A decision of the handicap committee; the record is computed again (managers)",
        request=services.NewAction,
        responses={201: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample("Freeze", value=examples.NEW_ACTION, request_only=True),
            OpenApiExample("Recorded", value=examples.ACTION, response_only=True, status_codes=["201"]),
        ],
    )
    def post(self, request: Request, player_id: UUID) -> Response:
        player = self._managed(player_id)
        new = bodies.checked(services.NewAction, bodies.json_body(bodies.raw_body(request, BODY_LIMIT)))
        action = services.decide(player, self.member, new)
        return Response(queries.action_line(action), status.HTTP_201_CREATED)


class CommitteeActionDetail(CommitteeActions):
    http_method_names = ["delete", "options"]

    @extend_schema(
        operation_id="withdraw_committee_action",
        summary="Take a decision back; it stays in the log (managers)",
        responses={200: OpenApiTypes.OBJECT},
        examples=[OpenApiExample("Withdrawn", value=examples.WITHDRAWN, response_only=True)],
    )
    def delete(self, request: Request, player_id: UUID, action_id: UUID) -> Response:
        player = self._managed(player_id)
        action = CommitteeAction.objects.filter(id=action_id, player=player).first()
        if action is None:
            raise not_found("No decision")
        changed = services.withdraw(action, self.member)
        body: dict[str, Any] = queries.action_line(changed)
        return Response(body)
