"""Green work, green readings, and the condition of the greens."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import django_filters
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, extend_schema
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response

from courses import output, permissions, queries
from courses.api import examples
from courses.api.base import DAYS, CourseView, days_between, filter_set, found
from courses.inputs import Body, GreenReadingBody, GreenWorkBody
from courses.models import CourseNote, GreenReading, GreenWork, WorkStatus
from courses.services import greens, readings
from golfstats.api import bodies
from golfstats.api.filters import checked_filter, refuse_unknown
from golfstats.api.paging import PAGE_PARAMETERS, CursorPagination, page_example
from golfstats.api.problems import not_found
from golfstats.api.versions import check_if_match, etag
from golfstats.calc.greens.work_types import work_types

GreenWorkFilter = filter_set(
    GreenWork,
    kind=django_filters.ChoiceFilter(choices=[(kind, kind) for kind in work_types()]),
    status=django_filters.ChoiceFilter(choices=WorkStatus.choices),
    **days_between("starts_on", "ends_on"),
)
GreenReadingFilter = filter_set(
    GreenReading,
    hole=django_filters.NumberFilter(),
    **days_between("measured_at", "measured_at", prefix="date__"),
)


CourseNoteFilter = filter_set(CourseNote, **days_between("day", "day"))


class CourseNotePages(CursorPagination):
    ordering = ("-day", "-id")


class GreenWorkPages(CursorPagination):
    ordering = ("-starts_on", "-id")


class GreenReadingPages(CursorPagination):
    ordering = ("-measured_at", "-id")


class WorkTypeList(CourseView):
    @extend_schema(
        operation_id="list_work_types",
        summary="Kinds of green work, with usual severity and recovery and where these are known from",
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample(
                "Kinds",
                value={
                    "results": [
                        {
                            "kind": "solid_tine",
                            "words": "solid tining",
                            "description": "Holes pressed in; nothing is taken out",
                            "severity": 0.5,
                            "recovery_days": 4.0,
                            "recovery_days_range": [1.0, 7.0],
                            "source": "common practice, no source",
                        }
                    ]
                },
            )
        ],
    )
    def get(self, request: Request) -> Response:
        refuse_unknown(request)
        names = (
            "kind",
            "words",
            "description",
            "severity",
            "recovery_days",
            "recovery_days_range",
            "source",
        )
        kinds = [{name: getattr(kind, name) for name in names} for kind in work_types().values()]
        return Response({"results": kinds})


class GreenWorkList(CourseView):
    @extend_schema(
        operation_id="list_green_work",
        summary="Green work of a course, latest first",
        parameters=[
            *DAYS,
            OpenApiParameter("kind", OpenApiTypes.STR),
            OpenApiParameter("status", OpenApiTypes.STR, enum=WorkStatus.values),
            *PAGE_PARAMETERS,
        ],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Work", value=page_example(examples.GREEN_WORK))],
    )
    def get(self, request: Request, course_id: UUID) -> Response:
        rows = checked_filter(GreenWorkFilter, request, queries.green_work(self.course(course_id).id))
        return self.page(request, GreenWorkPages, rows, output.green_work_line)

    @extend_schema(
        operation_id="add_green_work",
        summary="Enter green work, before or after the fact (greenkeepers and managers)",
        description=(
            "Works may overlap: their disturbances are combined. Rounds played while it is felt get their "
            "condition notes and condition-adjusted putting again; raw figures never change."
        ),
        request=GreenWorkBody,
        responses={201: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample("Coring", value=examples.GREEN_WORK_BODY, request_only=True),
            OpenApiExample("Entered", value=examples.GREEN_WORK, response_only=True, status_codes=["201"]),
        ],
    )
    def post(self, request: Request, course_id: UUID) -> Response:
        course = self.course(course_id)
        permissions.require(self.member, permissions.GREEN_STAFF)
        row = greens.add_work(self.member, course, self.body(request, GreenWorkBody))
        return Response(output.green_work_line(row), status.HTTP_201_CREATED, headers=etag(row.sequence))


class GreenWorkDetail(CourseView):
    def _row(self, course_id: UUID, work_id: UUID) -> GreenWork:
        return found(queries.green_work(course_id).filter(id=work_id), "No green work")

    def _row_to_change(self, request: Request, course_id: UUID, work_id: UUID) -> GreenWork:
        locked = queries.green_work(course_id).select_for_update(of=("self",)).filter(id=work_id)
        row = found(locked, "No green work")
        permissions.require(self.member, permissions.GREEN_STAFF)
        check_if_match(request, row.sequence, "green work")
        return row

    @extend_schema(
        operation_id="read_green_work",
        summary="A piece of green work",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Work", value=examples.GREEN_WORK)],
    )
    def get(self, request: Request, course_id: UUID, work_id: UUID) -> Response:
        row = self._row(course_id, work_id)
        return Response(output.green_work_line(row), headers=etag(row.sequence))

    @extend_schema(
        operation_id="change_green_work",
        summary="Correct green work; what it said before stays in its history (greenkeepers and managers)",
        parameters=[OpenApiParameter("If-Match", OpenApiTypes.STR, OpenApiParameter.HEADER)],
        request=GreenWorkBody,
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample("A day longer", value={"ends_on": "2026-08-26"}, request_only=True),
            OpenApiExample("Corrected", value=examples.GREEN_WORK | {"sequence": 1}, response_only=True),
        ],
    )
    def patch(self, request: Request, course_id: UUID, work_id: UUID) -> Response:
        row = self._row_to_change(request, course_id, work_id)
        given = self.changed_body(request, GreenWorkBody, row)
        row = greens.change_work(self.member, row, given)
        return Response(output.green_work_line(row), headers=etag(row.sequence))

    @extend_schema(
        operation_id="delete_green_work",
        summary="Take back green work entered by mistake; its history stays (greenkeepers and managers)",
        parameters=[OpenApiParameter("If-Match", OpenApiTypes.STR, OpenApiParameter.HEADER)],
        responses={204: None},
        examples=[OpenApiExample("Deleted", value=None, response_only=True)],
    )
    def delete(self, request: Request, course_id: UUID, work_id: UUID) -> Response:
        greens.delete_work(self.member, self._row_to_change(request, course_id, work_id))
        return Response(status=status.HTTP_204_NO_CONTENT)


class GreenWorkHistory(CourseView):
    @extend_schema(
        operation_id="read_green_work_history",
        summary="What was done to a piece of green work, latest first; also after it was deleted",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("History", value={"results": examples.HISTORY})],
    )
    def get(self, request: Request, course_id: UUID, work_id: UUID) -> Response:
        refuse_unknown(request)
        self.course(course_id)
        changes = [output.change_line(change) for change in queries.history(work_id)]
        if not changes:
            raise not_found("No green work")
        return Response({"results": changes})


class GreenReadingList(CourseView):
    @extend_schema(
        operation_id="list_green_readings",
        summary="Measurements of the greens, latest first",
        parameters=[*DAYS, OpenApiParameter("hole", OpenApiTypes.INT), *PAGE_PARAMETERS],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Readings", value=page_example(examples.READING))],
    )
    def get(self, request: Request, course_id: UUID) -> Response:
        course = self.course(course_id)
        # Days of the query are days at the club.
        with timezone.override(self.club.time_zone):
            rows = checked_filter(GreenReadingFilter, request, queries.green_readings(course.id))
            return self.page(request, GreenReadingPages, rows, output.reading_line)

    @extend_schema(
        operation_id="add_green_reading",
        summary="Enter a reading: stimpmeter both ways, firmness, mowing height, bobble score (staff)",
        description=(
            "Speed is 2·up·down ÷ (up + down). Doubtful where balls rolled the same way stop more than 8 in apart, "
            "or the two ways differ by more than 18 in; doubtful readings are kept but not computed with."
        ),
        request=GreenReadingBody,
        responses={201: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample("Reading", value=examples.READING_BODY, request_only=True),
            OpenApiExample("Entered", value=examples.READING, response_only=True, status_codes=["201"]),
        ],
    )
    def post(self, request: Request, course_id: UUID) -> Response:
        course = self.course(course_id)
        permissions.require(self.member, permissions.GREEN_STAFF)
        given = self.body(request, GreenReadingBody)
        row = readings.save_reading(self.member, course, GreenReading(), given)
        return Response(output.reading_line(row), status.HTTP_201_CREATED)


class GreenReadingDetail(CourseView):
    def _row(self, course_id: UUID, reading_id: UUID) -> GreenReading:
        row = found(queries.green_readings(course_id).filter(id=reading_id), "No reading")
        permissions.require(self.member, permissions.GREEN_STAFF)
        return row

    @extend_schema(
        operation_id="correct_green_reading",
        summary="Correct a reading (greenkeepers and managers)",
        request=GreenReadingBody,
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample("Smoothness", value={"bobble_score": 3}, request_only=True),
            OpenApiExample("Corrected", value=examples.READING, response_only=True),
        ],
    )
    def patch(self, request: Request, course_id: UUID, reading_id: UUID) -> Response:
        row = self._row(course_id, reading_id)
        given = self.changed_body(request, GreenReadingBody, row)
        return Response(output.reading_line(readings.save_reading(self.member, row.course, row, given)))

    @extend_schema(
        operation_id="delete_green_reading",
        summary="Delete a reading (greenkeepers and managers)",
        responses={204: None},
        examples=[OpenApiExample("Deleted", value=None, response_only=True)],
    )
    def delete(self, request: Request, course_id: UUID, reading_id: UUID) -> Response:
        self._row(course_id, reading_id).delete()
        return Response(status=status.HTTP_204_NO_CONTENT)


class ConditionQuery(Body):
    on: bodies.Day | None = None


class CourseCondition(CourseView):
    @extend_schema(
        operation_id="read_course_condition",
        summary="Surface of the greens on a day, and what is expected of the 30 days from then",
        description=(
            "Surface disturbance runs from 0 (undisturbed) to 1 (just cored). Planned work counts unless it is "
            "cancelled. Recovery days are the usual ones until the club's own putts show others."
        ),
        parameters=[OpenApiParameter("on", OpenApiTypes.DATE, description="Today where it is left out")],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Condition", value=examples.CONDITION)],
    )
    def get(self, request: Request, course_id: UUID) -> Response:
        course = self.course(course_id)
        asked = bodies.checked(ConditionQuery, dict(request.query_params.items()))
        day = asked.on or dt.datetime.now(ZoneInfo(self.club.time_zone)).date()
        states = queries.coming_days(course, day)
        return Response(
            output.condition_line(states[0])
            | {
                "coming": [{"day": state.day, "disturbance": round(state.mean, 3)} for state in states],
                "recovery_days": _recovery_lines(states),
            }
        )


class CourseNotes(CourseView):
    @extend_schema(
        operation_id="list_course_notes",
        summary="Condition notes of a course's days, latest first: what was done to the greens and what it costs here",
        description=(
            "Written by the worker for days on which the greens are disturbed, also for days to come; written "
            "again when work is entered late or the club's putts say more. `figures` are the numbers in the text."
        ),
        parameters=[*DAYS, *PAGE_PARAMETERS],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Notes", value=page_example(examples.NOTE))],
    )
    def get(self, request: Request, course_id: UUID) -> Response:
        rows = checked_filter(CourseNoteFilter, request, queries.course_notes(self.course(course_id).id))
        return self.page(request, CourseNotePages, rows, output.note_line)


def _recovery_lines(states: list[queries.CourseDay]) -> list[dict[str, Any]]:
    own = queries.recovery_by_kind()
    kinds = sorted({row.kind for state in states for row in state.felt})
    return [
        {
            "kind": kind,
            "days": round(own.get(kind, work_types()[kind].recovery_days), 1),
            "from": "this club's putts" if kind in own else "usual",
        }
        for kind in kinds
    ]
