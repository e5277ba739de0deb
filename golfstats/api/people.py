"""Signing in, one's clubs, and a club's members."""

from __future__ import annotations

from typing import Annotated, Any
from uuid import UUID

from django.db.models import QuerySet
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, extend_schema
from knox.models import AuthToken
from pydantic import BaseModel, ConfigDict, Field
from rest_framework import status
from rest_framework.authentication import BasicAuthentication, SessionAuthentication
from rest_framework.exceptions import Throttled
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from golfstats.api import bodies
from golfstats.api.filters import refuse_unknown
from golfstats.api.problems import ProblemError, not_found
from golfstats.api.throttles import SignInThrottle
from golfstats.api.views import ClubView, user_id_of
from golfstats.clubs import services
from golfstats.clubs.membership import memberships
from golfstats.clubs.models import Member, Role

BODY_LIMIT = 16 * 1024


class TokenList(APIView):
    """Access tokens of the person who asks; made with name and password, used as ``Bearer``."""

    authentication_classes = [BasicAuthentication, SessionAuthentication]

    def perform_authentication(self, request: Request) -> None:
        """Passwords are guessed before anybody is known, so this limit comes before the usual one."""
        throttle = SignInThrottle()
        if not throttle.allow_request(request, self):
            raise Throttled(throttle.wait())
        super().perform_authentication(request)

    @extend_schema(
        operation_id="make_token",
        summary="A new access token, by name and password (Basic authentication)",
        request=None,
        responses={201: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample(
                "A token",
                value={"token": "0123…", "expires_at": "2026-09-12T08:00:00Z"},
                response_only=True,
                status_codes=["201"],
            )
        ],
    )
    def post(self, request: Request) -> Response:
        instance, token = AuthToken.objects.create(user=request.user)
        return Response({"token": token, "expires_at": instance.expiry}, status.HTTP_201_CREATED)


class PresentToken(APIView):
    @extend_schema(
        operation_id="end_token",
        summary="End the token that this request carries",
        responses={204: None},
        examples=[OpenApiExample("Ended", value=None, response_only=True)],
    )
    def delete(self, request: Request) -> Response:
        if isinstance(request.auth, AuthToken):
            request.auth.delete()
        return Response(status=status.HTTP_204_NO_CONTENT)


class ClubList(APIView):
    @extend_schema(
        operation_id="list_clubs",
        summary="The clubs you belong to, and as what",
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample(
                "Clubs", value={"results": [{"slug": "larkmoor", "name": "Larkmoor", "role": "coach"}]}
            )
        ],
    )
    def get(self, request: Request) -> Response:
        refuse_unknown(request)
        return Response({"results": club_lines(user_id_of(request))})


class NewMember(BaseModel):
    model_config = ConfigDict(extra="forbid", str_strip_whitespace=True)
    username: Annotated[str, Field(min_length=1, max_length=150)]
    name: Annotated[str, Field(min_length=1, max_length=120)]
    role: Role
    password: Annotated[str, Field(min_length=10, max_length=200)] | None = None


class MemberChanges(BaseModel):
    model_config = ConfigDict(extra="forbid", str_strip_whitespace=True)
    name: Annotated[str, Field(min_length=1, max_length=120)] | None = None
    role: Role | None = None


MEMBER_EXAMPLE = {
    "id": "01980000-0000-7000-8000-000000000011",
    "username": "ines",
    "name": "Ines Aldana",
    "role": "player",
}


class MemberList(ClubView):
    @extend_schema(
        operation_id="list_members",
        summary="Members of the club (managers)",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Members", value={"results": [MEMBER_EXAMPLE]})],
    )
    def get(self, request: Request) -> Response:
        refuse_unknown(request)
        managers_only(self.member)
        found = members().order_by("name", "id")
        return Response({"results": [member_line(member) for member in found]})

    @extend_schema(
        operation_id="add_member",
        summary="Make a person a member (managers)",
        request=NewMember,
        responses={201: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample("New", value=MEMBER_EXAMPLE | {"id": None}, request_only=True),
            OpenApiExample("Added", value=MEMBER_EXAMPLE, response_only=True, status_codes=["201"]),
        ],
    )
    def post(self, request: Request) -> Response:
        managers_only(self.member)
        new = bodies.checked(NewMember, bodies.json_body(bodies.raw_body(request, BODY_LIMIT)))
        try:
            member = services.add_member(self.club, new.username, new.name, new.role, new.password)
        except services.MemberExistsError:
            raise ProblemError("member-exists", "Already a member", status.HTTP_409_CONFLICT) from None
        return Response(member_line(member), status.HTTP_201_CREATED)


class MemberDetail(ClubView):
    def _found(self, member_id: UUID) -> Member:
        managers_only(self.member)
        member = members().filter(id=member_id).first()
        if member is None:
            raise not_found("No member")
        return member

    @extend_schema(
        operation_id="change_member",
        summary="Change a member's name or role (managers)",
        request=MemberChanges,
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample("Role", value={"role": "coach"}, request_only=True),
            OpenApiExample("Changed", value=MEMBER_EXAMPLE | {"role": "coach"}, response_only=True),
        ],
    )
    def patch(self, request: Request, member_id: UUID) -> Response:
        member = self._found(member_id)
        changes = bodies.checked(MemberChanges, bodies.json_body(bodies.raw_body(request, BODY_LIMIT)))
        try:
            return Response(member_line(services.change_member(member, changes.name, changes.role)))
        except services.LastManagerError:
            raise _last_manager() from None

    @extend_schema(
        operation_id="remove_member",
        summary="End a membership; the player's rounds stay (managers)",
        responses={204: None},
        examples=[OpenApiExample("Removed", value=None, response_only=True)],
    )
    def delete(self, request: Request, member_id: UUID) -> Response:
        try:
            services.remove_member(self._found(member_id))
        except services.LastManagerError:
            raise _last_manager() from None
        return Response(status=status.HTTP_204_NO_CONTENT)


def club_lines(user_id: int) -> list[dict[str, Any]]:
    """The clubs that a person belongs to, and as what."""
    return [
        {"slug": member.club.slug, "name": member.club.name, "role": member.role}
        for member in memberships(user_id)
    ]


def members() -> QuerySet[Member]:
    return Member.objects.select_related("user")


def member_line(member: Member) -> dict[str, Any]:
    return {"id": member.id, "username": member.user.get_username(), "name": member.name, "role": member.role}


def managers_only(member: Member) -> None:
    if member.role != Role.MANAGER:
        raise ProblemError("not-allowed", "Only a manager may do this", status.HTTP_403_FORBIDDEN)


def _last_manager() -> ProblemError:
    return ProblemError("last-manager", "A club keeps at least one manager", status.HTTP_409_CONFLICT)
