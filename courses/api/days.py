"""Playing conditions calculations and events."""

from __future__ import annotations

from uuid import UUID

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, extend_schema
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response

from courses import output, permissions, queries
from courses.api import examples
from courses.api.base import DAYS, CourseView, days_between, filter_set, found
from courses.inputs import EventBody, PlayingConditionsBody
from courses.models import Event, PlayingConditions
from courses.services import days
from golfstats.api.filters import checked_filter
from golfstats.api.paging import PAGE_PARAMETERS, CursorPagination, page_example

PlayingConditionsFilter = filter_set(PlayingConditions, **days_between("played_on", "played_on"))
EventFilter = filter_set(Event, **days_between("starts_on", "ends_on"))


class PlayingConditionsPages(CursorPagination):
    ordering = ("-played_on", "-id")


class EventPages(CursorPagination):
    ordering = ("-starts_on", "-id")


class PlayingConditionsList(CourseView):
    @extend_schema(
        operation_id="list_playing_conditions",
        summary="Playing conditions calculations of a course, latest first",
        parameters=[*DAYS, *PAGE_PARAMETERS],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Figures", value=page_example(examples.PLAYING_CONDITIONS))],
    )
    def get(self, request: Request, course_id: UUID) -> Response:
        rows = queries.playing_conditions(self.course(course_id).id)
        rows = checked_filter(PlayingConditionsFilter, request, rows)
        return self.page(request, PlayingConditionsPages, rows, output.playing_conditions_line)

    @extend_schema(
        operation_id="enter_playing_conditions",
        summary="Enter a day's playing conditions calculation; its differentials are computed again (managers)",
        description="The constants of the calculation are not published: the figure comes from whoever issues it.",
        request=PlayingConditionsBody,
        responses={201: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample("New", value=examples.PLAYING_CONDITIONS_BODY, request_only=True),
            OpenApiExample(
                "Entered", value=examples.PLAYING_CONDITIONS, response_only=True, status_codes=["201"]
            ),
        ],
    )
    def post(self, request: Request, course_id: UUID) -> Response:
        course = self.course(course_id)
        permissions.require(self.member, permissions.COURSE_STAFF)
        given = self.body(request, PlayingConditionsBody)
        row = days.save_playing_conditions(self.member, course, PlayingConditions(), given)
        return Response(output.playing_conditions_line(row), status.HTTP_201_CREATED)


class PlayingConditionsDetail(CourseView):
    def _row(self, course_id: UUID, row_id: UUID) -> PlayingConditions:
        row = found(queries.playing_conditions(course_id).filter(id=row_id), "No such day")
        permissions.require(self.member, permissions.COURSE_STAFF)
        return row

    @extend_schema(
        operation_id="correct_playing_conditions",
        summary="Correct a day's figure (managers)",
        request=PlayingConditionsBody,
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample("Figure", value={"pcc": 1}, request_only=True),
            OpenApiExample("Corrected", value=examples.PLAYING_CONDITIONS, response_only=True),
        ],
    )
    def patch(self, request: Request, course_id: UUID, row_id: UUID) -> Response:
        row = self._row(course_id, row_id)
        given = self.changed_body(request, PlayingConditionsBody, row)
        row = days.save_playing_conditions(self.member, self.course(course_id), row, given)
        return Response(output.playing_conditions_line(row))

    @extend_schema(
        operation_id="delete_playing_conditions",
        summary="Take a day's figure back (managers)",
        responses={204: None},
        examples=[OpenApiExample("Deleted", value=None, response_only=True)],
    )
    def delete(self, request: Request, course_id: UUID, row_id: UUID) -> Response:
        days.delete_playing_conditions(self._row(course_id, row_id))
        return Response(status=status.HTTP_204_NO_CONTENT)


class EventList(CourseView):
    @extend_schema(
        operation_id="list_events",
        summary="Competitions and other dates of a course, latest first",
        parameters=[*DAYS, *PAGE_PARAMETERS],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Events", value=page_example(examples.EVENT))],
    )
    def get(self, request: Request, course_id: UUID) -> Response:
        rows = checked_filter(EventFilter, request, queries.events(self.course(course_id).id))
        return self.page(request, EventPages, rows, output.event_line)

    @extend_schema(
        operation_id="add_event",
        summary="A new event (greenkeepers and managers)",
        request=EventBody,
        responses={201: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample("New", value=examples.EVENT_BODY, request_only=True),
            OpenApiExample("Added", value=examples.EVENT, response_only=True, status_codes=["201"]),
        ],
    )
    def post(self, request: Request, course_id: UUID) -> Response:
        course = self.course(course_id)
        permissions.require(self.member, permissions.GREEN_STAFF)
        row = days.save_event(course, Event(), self.body(request, EventBody))
        return Response(output.event_line(row), status.HTTP_201_CREATED)


class EventDetail(CourseView):
    def _row(self, course_id: UUID, row_id: UUID) -> Event:
        row = found(queries.events(course_id).filter(id=row_id), "No event")
        permissions.require(self.member, permissions.GREEN_STAFF)
        return row

    @extend_schema(
        operation_id="change_event",
        summary="Change an event (greenkeepers and managers)",
        request=EventBody,
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample("Name", value={"name": "Summer cup"}, request_only=True),
            OpenApiExample("Changed", value=examples.EVENT, response_only=True),
        ],
    )
    def patch(self, request: Request, course_id: UUID, row_id: UUID) -> Response:
        row = self._row(course_id, row_id)
        given = self.changed_body(request, EventBody, row)
        return Response(output.event_line(days.save_event(self.course(course_id), row, given)))

    @extend_schema(
        operation_id="delete_event",
        summary="Delete an event (greenkeepers and managers)",
        responses={204: None},
        examples=[OpenApiExample("Deleted", value=None, response_only=True)],
    )
    def delete(self, request: Request, course_id: UUID, row_id: UUID) -> Response:
        self._row(course_id, row_id).delete()
        return Response(status=status.HTTP_204_NO_CONTENT)
