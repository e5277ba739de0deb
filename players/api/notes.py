"""Practice notes, which player and coach both see."""

from __future__ import annotations

from typing import Annotated, Any
from uuid import UUID

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, extend_schema
from pydantic import BaseModel, ConfigDict, Field, StringConstraints
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.api.bodies import Day
from golfstats.api.paging import PAGE_PARAMETERS, CursorPagination, page_example
from golfstats.api.problems import Fault, ProblemError, invalid, not_found
from players.api import coach_examples as examples
from players.api.coach_view import Body, CoachView, figure_of_spec, named, pair_json, player_json
from players.api.query_string import NoQuery
from players.coaching import notes
from players.coaching.notes import NewNote, NoteWithFigure


class NoteBody(Body):
    practised_on: Day
    text: Annotated[str, StringConstraints(min_length=1, max_length=4000)]
    figure: str = Field(default="", max_length=80, description="Key of the figure it was about.")


class PageQuery(BaseModel):
    model_config = ConfigDict(extra="forbid")

    cursor: str | None = None
    page_size: int | None = Field(None, ge=1, le=200)


class NotePages(CursorPagination):
    ordering = ("-practised_on", "-id")


class PlayerNotes(CoachView):
    @extend_schema(
        operation_id="list_player_notes",
        summary="Practice notes on a player, each with its figure before and after",
        parameters=PAGE_PARAMETERS,
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample(
                "A page",
                value=page_example(examples.NOTE),
                response_only=True,
            )
        ],
    )
    def get(self, request: Request, player_id: UUID) -> Response:
        self.query(PageQuery, request)
        player = self.visible_player(player_id)
        pages = NotePages()
        found = notes.visible_notes(self.member).filter(player=player)
        page = pages.paginate_queryset(found, request, view=self) or []
        golf = self.history([player_id])
        unit = self.club.distance_unit
        return pages.get_paginated_response([note_json(one, unit) for one in notes.with_figures(golf, page)])

    @extend_schema(
        operation_id="write_player_note",
        summary="Note what was practised; both the player and his coaches see it",
        request=NoteBody,
        responses={201: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample("A note", value=examples.NEW_NOTE, request_only=True),
            OpenApiExample("Written", value=examples.NOTE, response_only=True, status_codes=["201"]),
        ],
    )
    def post(self, request: Request, player_id: UUID) -> Response:
        self.query(NoQuery, request)
        body = self.body(NoteBody, request)
        player = self.visible_player(player_id)
        if body.practised_on > self.today:
            raise invalid([Fault("/practised_on", "in_the_future", f"today is {self.today}")])
        golf = self.history([player_id])
        note = notes.write_note(self.member, player, golf, NewNote(body.practised_on, body.text, body.figure))
        (found,) = notes.with_figures(golf, [note])
        return Response(note_json(found, self.club.distance_unit), status.HTTP_201_CREATED)


class NoteDetail(CoachView):
    @extend_schema(
        operation_id="delete_note",
        summary="Take back a note you wrote",
        responses={204: None},
        examples=[OpenApiExample("Deleted", value=None, response_only=True)],
    )
    def delete(self, request: Request, note_id: UUID) -> Response:
        self.query(NoQuery, request)
        note = notes.visible_notes(self.member).filter(id=note_id).first()
        if note is None:
            raise not_found("No note")
        if not notes.delete_note(self.member, note):
            raise ProblemError("not-allowed", "Only its writer may delete a note", status.HTTP_403_FORBIDDEN)
        return Response(status=status.HTTP_204_NO_CONTENT)


def note_json(found: NoteWithFigure, unit: str) -> dict[str, Any]:
    note, figure = found.note, found.figure
    about = None
    if figure is not None:
        about = named(figure.spec, unit) | {
            "before": figure_of_spec(figure.before, figure.spec, unit),
            "after": figure_of_spec(figure.after, figure.spec, unit),
            "comparison": pair_json(figure.pair, unit),
        }
    return {
        "id": note.id,
        "player": player_json(note.player),
        "written_by": note.written_by.name if note.written_by else None,
        "written_at": note.written_at,
        "practised_on": note.practised_on,
        "text": note.text,
        "figure": about,
    }
