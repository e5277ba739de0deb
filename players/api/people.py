"""Players, squads, and the club's settings."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import Annotated, Any
from uuid import UUID
from zoneinfo import available_timezones

from django.db.models import Prefetch, QuerySet
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, extend_schema
from pydantic import BaseModel, ConfigDict, Field, ValidationError
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response

from courses.models import Gender
from golfstats.api import bodies
from golfstats.api.filters import PAGING, refuse_unknown
from golfstats.api.paging import PAGE_PARAMETERS, CursorPagination, page_example
from golfstats.api.problems import Fault, invalid, not_found
from golfstats.api.views import ClubView
from golfstats.clubs.models import Club, DistanceUnit, Role
from players import people, permissions
from players.handicap.rules import HandicapChoices
from players.models import Player, Squad, SquadCoach, SquadPlayer

BODY_LIMIT = 64 * 1024
Name = Annotated[str, Field(min_length=1, max_length=120)]


class Body(BaseModel):
    model_config = ConfigDict(extra="forbid", str_strip_whitespace=True)


class NewPlayer(Body):
    name: Name
    rating_gender: Gender
    member: UUID | None = None


class PlayerChanges(Body):
    name: Name | None = None
    rating_gender: Gender | None = None
    member: UUID | None = None


class SquadBody(Body):
    name: Name | None = None
    coaches: list[UUID] | None = None
    players: list[UUID] | None = None


class ClubSettings(Body):
    name: Name | None = None
    time_zone: str | None = None
    distance_unit: DistanceUnit | None = None
    short_game_yards: Annotated[float, Field(gt=0, le=300)] | None = None
    approach_band_edges: (
        Annotated[list[Annotated[float, Field(ge=0, le=400)]], Field(max_length=30)] | None
    ) = None
    benchmark: Annotated[str, Field(max_length=40)] | None = None
    handicap_rules: dict[str, Any] | None = None


PLAYER_EXAMPLE = {
    "id": "01980000-0000-7000-8000-000000000002",
    "name": "Ines Aldana",
    "rating_gender": "women",
    "member": None,
}
SQUAD_EXAMPLE = {
    "id": "01980000-0000-7000-8000-000000000021",
    "name": "First team",
    "coaches": [{"id": "01980000-0000-7000-8000-000000000031", "name": "Odile Marchetti"}],
    "players": [{"id": PLAYER_EXAMPLE["id"], "name": "Ines Aldana"}],
}
CLUB_EXAMPLE = {
    "slug": "larkmoor",
    "name": "Larkmoor",
    "time_zone": "Europe/Dublin",
    "distance_unit": "yards",
    "short_game_yards": 100.0,
    "approach_band_edges": [],
    "benchmark": "professional",
    "handicap_rules": {},
}


def _json(request: Request) -> Any:
    return bodies.json_body(bodies.raw_body(request, BODY_LIMIT))


class PlayerPages(CursorPagination):
    ordering = ("name", "id")


class PlayerList(ClubView):
    @extend_schema(
        operation_id="list_players",
        summary="Players that you may see",
        parameters=PAGE_PARAMETERS,
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Players", value=page_example(PLAYER_EXAMPLE))],
    )
    def get(self, request: Request) -> Response:
        refuse_unknown(request, PAGING)
        return self.page(request, PlayerPages, permissions.visible_players(self.member), player_line)

    @extend_schema(
        operation_id="add_player",
        summary="A new player, with or without a sign-in (managers)",
        request=NewPlayer,
        responses={201: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample("New", value={"name": "Ines Aldana", "rating_gender": "women"}, request_only=True),
            OpenApiExample("Added", value=PLAYER_EXAMPLE, response_only=True, status_codes=["201"]),
        ],
    )
    def post(self, request: Request) -> Response:
        permissions.require_role(self.member, Role.MANAGER)
        new = bodies.checked(NewPlayer, _json(request))
        player = people.save_player(Player(), new.name, new.rating_gender, new.member)
        return Response(player_line(player), status.HTTP_201_CREATED)


class PlayerDetail(ClubView):
    def _player(self, player_id: UUID) -> Player:
        player = permissions.visible_players(self.member).filter(id=player_id).first()
        if player is None:
            raise not_found("No player")
        return player

    @extend_schema(
        operation_id="read_player",
        summary="A player",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("A player", value=PLAYER_EXAMPLE)],
    )
    def get(self, request: Request, player_id: UUID) -> Response:
        return Response(player_line(self._player(player_id)))

    @extend_schema(
        operation_id="change_player",
        summary="Change a player (managers)",
        request=PlayerChanges,
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample("Name", value={"name": "Ines Aldana Roy"}, request_only=True),
            OpenApiExample("Changed", value=PLAYER_EXAMPLE, response_only=True),
        ],
    )
    def patch(self, request: Request, player_id: UUID) -> Response:
        player = self._player(player_id)
        permissions.require_role(self.member, Role.MANAGER)
        changes = bodies.checked(PlayerChanges, _json(request))
        return Response(
            player_line(people.save_player(player, changes.name, changes.rating_gender, changes.member))
        )


class SquadList(ClubView):
    @extend_schema(
        operation_id="list_squads",
        summary="Squads that you look after",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Squads", value={"results": [SQUAD_EXAMPLE]})],
    )
    def get(self, request: Request) -> Response:
        refuse_unknown(request)
        found = with_people(permissions.visible_squads(self.member)).order_by("name", "id")
        return Response({"results": [squad_line(squad) for squad in found]})

    @extend_schema(
        operation_id="add_squad",
        summary="A new squad (managers)",
        request=SquadBody,
        responses={201: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample(
                "New", value={"name": "First team", "players": [PLAYER_EXAMPLE["id"]]}, request_only=True
            ),
            OpenApiExample("Added", value=SQUAD_EXAMPLE, response_only=True, status_codes=["201"]),
        ],
    )
    def post(self, request: Request) -> Response:
        permissions.require_role(self.member, Role.MANAGER)
        new = bodies.checked(SquadBody, _json(request))
        if new.name is None:
            raise invalid([Fault("/name", "missing", "a squad has a name")])
        squad = people.save_squad(Squad(), new.name, new.coaches, new.players)
        return Response(_squad_again(squad), status.HTTP_201_CREATED)


class SquadDetail(ClubView):
    def _squad(self, squad_id: UUID) -> Squad:
        squad = with_people(permissions.visible_squads(self.member)).filter(id=squad_id).first()
        if squad is None:
            raise not_found("No squad")
        return squad

    @extend_schema(
        operation_id="read_squad",
        summary="A squad",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("A squad", value=SQUAD_EXAMPLE)],
    )
    def get(self, request: Request, squad_id: UUID) -> Response:
        return Response(squad_line(self._squad(squad_id)))

    @extend_schema(
        operation_id="change_squad",
        summary="Change a squad; a list given replaces the one there was (managers)",
        request=SquadBody,
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample("Players", value={"players": [PLAYER_EXAMPLE["id"]]}, request_only=True),
            OpenApiExample("Changed", value=SQUAD_EXAMPLE, response_only=True),
        ],
    )
    def patch(self, request: Request, squad_id: UUID) -> Response:
        squad = self._squad(squad_id)
        permissions.require_role(self.member, Role.MANAGER)
        changes = bodies.checked(SquadBody, _json(request))
        return Response(
            _squad_again(people.save_squad(squad, changes.name, changes.coaches, changes.players))
        )

    @extend_schema(
        operation_id="delete_squad",
        summary="Dissolve a squad; its players stay (managers)",
        responses={204: None},
        examples=[OpenApiExample("Dissolved", value=None, response_only=True)],
    )
    def delete(self, request: Request, squad_id: UUID) -> Response:
        squad = self._squad(squad_id)
        permissions.require_role(self.member, Role.MANAGER)
        squad.delete()
        return Response(status=status.HTTP_204_NO_CONTENT)


class ClubDetail(ClubView):
    @extend_schema(
        operation_id="read_club",
        summary="The club and its settings",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("A club", value=CLUB_EXAMPLE)],
    )
    def get(self, request: Request) -> Response:
        return Response(club_line(self.club))

    @extend_schema(
        operation_id="change_club",
        summary="Change the club's settings; what depends on them is computed again (managers)",
        request=ClubSettings,
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample("Metres", value={"distance_unit": "metres"}, request_only=True),
            OpenApiExample("Changed", value=CLUB_EXAMPLE | {"distance_unit": "metres"}, response_only=True),
        ],
    )
    def patch(self, request: Request) -> Response:
        permissions.require_role(self.member, Role.MANAGER)
        changes = bodies.checked(ClubSettings, _json(request))
        faults = list(_settings_faults(changes))
        if faults:
            raise invalid(faults)
        given = changes.model_dump(exclude_none=True)
        return Response(club_line(people.change_settings(self.club, given)))


def _settings_faults(changes: ClubSettings) -> list[Fault]:
    faults = []
    if changes.time_zone is not None and changes.time_zone not in available_timezones():
        faults.append(Fault("/time_zone", "unknown_time_zone", "a name of the IANA time zone database"))
    if changes.handicap_rules is not None:
        try:
            HandicapChoices.model_validate(changes.handicap_rules)
        except ValidationError as error:
            found = bodies.faults_of(error, changes.handicap_rules)
            faults += [replace(fault, pointer=f"/handicap_rules{fault.pointer}") for fault in found]
    edges = changes.approach_band_edges
    if edges is not None and any(left >= right for left, right in itertools.pairwise(edges)):
        faults.append(Fault("/approach_band_edges", "not_ascending", "edges grow from one to the next"))
    return faults


def with_people(squads: QuerySet[Squad]) -> QuerySet[Squad]:
    return squads.prefetch_related(
        Prefetch("squad_coaches", SquadCoach.objects.select_related("member").order_by("member__name")),
        Prefetch("squad_players", SquadPlayer.objects.select_related("player").order_by("player__name")),
    )


def _squad_again(squad: Squad) -> dict[str, Any]:
    return squad_line(with_people(Squad.objects.filter(id=squad.id)).get())


def player_line(player: Player) -> dict[str, Any]:
    return {
        "id": player.id,
        "name": player.name,
        "rating_gender": player.rating_gender,
        "member": player.member_id,
    }


def squad_line(squad: Squad) -> dict[str, Any]:
    return {
        "id": squad.id,
        "name": squad.name,
        "coaches": [{"id": row.member_id, "name": row.member.name} for row in squad.squad_coaches.all()],
        "players": [{"id": row.player_id, "name": row.player.name} for row in squad.squad_players.all()],
    }


def club_line(club: Club) -> dict[str, Any]:
    return {name: getattr(club, name) for name in CLUB_EXAMPLE}
