"""Endpoints with the faults that an attack has to find, and one without any."""

from __future__ import annotations

import json
from typing import Any
from uuid import UUID

from django.urls import path
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from golfstats.doors.rest.views import ClubView
from golfstats.ground.faults import Fault, invalid, not_found
from golfstats.ground.walls.scope import club_scope
from players.coaching.models import Goal
from players.people.models import Player
from tests.api.world import World

victims: list[World] = []
"""The one club that these endpoints give away."""


class Sound(ClubView):
    def get(self, request: Request, player_id: UUID) -> Response:
        player = Player.objects.filter(id=player_id).first()
        if player is None:
            raise not_found("No player")
        return Response({"name": player.name})


class ReadsAnyClub(APIView):
    def get(self, request: Request, player_id: UUID) -> Response:
        with club_scope(victims[0].club.id):
            player = Player.objects.filter(id=player_id).first()
            return Response({"name": player.name if player else None})


class TellsInHeader(ReadsAnyClub):
    def get(self, request: Request, player_id: UUID) -> Response:
        answer = super().get(request, player_id)
        return Response(status=404, headers={"X-Name": str(answer.data["name"])})


class TellsOtherIds(APIView):
    def get(self, request: Request, player_id: UUID) -> Response:
        return Response(
            {"squad": next(str(row.pk) for model, row in victims[0].rows.items() if model is Goal)}, 404
        )


class TakesAnyId(ClubView):
    def get(self, request: Request, player_id: UUID) -> Response:
        return Response({"figures": []})


class Forbids(ClubView):
    """403 for what is not there tells that it is there elsewhere."""

    def get(self, request: Request, player_id: UUID) -> Response:
        return Response(status=200 if Player.objects.filter(id=player_id).exists() else 403)


class Breaks(ClubView):
    def get(self, request: Request, player_id: UUID) -> Response:
        return Response(status=200 if Player.objects.filter(id=player_id).exists() else 500)


class WritesAndDenies(APIView):
    def get(self, request: Request, player_id: UUID) -> Response:
        with club_scope(victims[0].club.id):
            Player.objects.filter(id=player_id).update(rating_gender="men")
        return Response(status=404)


class SavesForeignKey(ClubView):
    def post(self, request: Request) -> Response:
        body: Any = json.loads(request._request.body)
        Goal.objects.create(player_id=body["player"], figure="gained.total", target=1, due_on="2099-01-01")
        return Response(status=201)


class BlamesSomethingElse(ClubView):
    """A 422, but not for the foreign id."""

    def post(self, request: Request) -> Response:
        raise invalid([Fault("/target", "missing", "Field required")])


class ListsEverything(APIView):
    def get(self, request: Request) -> Response:
        with club_scope(victims[0].club.id):
            return Response({"results": list(Player.objects.values_list("name", flat=True))})


FAULTY: dict[str, tuple[type[APIView], str]] = {
    "told the victim's text": (ReadsAnyClub, "GET"),
    "told the victim's text in a header": (TellsInHeader, "GET"),
    "told a victim's id": (TellsOtherIds, "GET"),
    "answered 200": (TakesAnyId, "GET"),
    "answered 403": (Forbids, "GET"),
    "broke": (Breaks, "GET"),
    "the victim's rows are not what they were": (WritesAndDenies, "GET"),
    "saved a key into another club": (SavesForeignKey, "POST"),
    "answered 201": (SavesForeignKey, "POST"),
    "answered 422": (BlamesSomethingElse, "POST"),
    "told the victim's text in a list": (ListsEverything, "GET"),
}


def address(view: type[APIView]) -> str:
    below = hasattr(view, "get") and view is not ListsEverything
    return f"api/v1/{view.__name__}" + ("/<uuid:player_id>" if below else "")


urlpatterns = [
    path(address(view), view.as_view(), name=view.__name__)
    for view in {Sound, *(view for view, _ in FAULTY.values())}
]
