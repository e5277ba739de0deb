"""Courses, tees, holes and ratings."""

from __future__ import annotations

from uuid import UUID

import django_filters
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, extend_schema
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response

from courses import output, permissions, queries
from courses.api import examples
from courses.api.base import CourseView, filter_set
from courses.inputs import CourseChanges, HolesBody, NewCourse, RatingsBody, TeeName
from courses.models import Course, TeeSet
from courses.services import layout
from golfstats.api.filters import checked_filter
from golfstats.api.paging import PAGE_PARAMETERS, CursorPagination, page_example
from golfstats.api.problems import not_found

CourseFilter = filter_set(Course, name=django_filters.CharFilter(lookup_expr="icontains"))


class CoursePages(CursorPagination):
    ordering = ("name", "id")


class CourseList(CourseView):
    @extend_schema(
        operation_id="list_courses",
        summary="The club's courses",
        parameters=[OpenApiParameter("name", OpenApiTypes.STR), *PAGE_PARAMETERS],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Courses", value=page_example(examples.COURSE))],
    )
    def get(self, request: Request) -> Response:
        rows = checked_filter(CourseFilter, request, queries.courses())
        return self.page(request, CoursePages, rows, output.course_line)

    @extend_schema(
        operation_id="add_course",
        summary="A new course (managers)",
        request=NewCourse,
        responses={201: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample("New", value=examples.NEW_COURSE, request_only=True),
            OpenApiExample("Added", value=examples.COURSE, response_only=True, status_codes=["201"]),
        ],
    )
    def post(self, request: Request) -> Response:
        permissions.require(self.member, permissions.COURSE_STAFF)
        course = layout.add_course(self.body(request, NewCourse))
        return Response(output.course_line(course), status.HTTP_201_CREATED)


class CourseDetail(CourseView):
    @extend_schema(
        operation_id="read_course",
        summary="A course with its tees, holes and ratings",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("A course", value=examples.COURSE_IN_FULL)],
    )
    def get(self, request: Request, course_id: UUID) -> Response:
        course = queries.course_with_tees(course_id)
        if course is None:
            raise not_found("No course")
        return Response(output.course_in_full(course, self.club))

    @extend_schema(
        operation_id="change_course",
        summary="Change a course's name, grass or season (managers)",
        request=CourseChanges,
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample("Grass", value={"grass": "creeping bentgrass"}, request_only=True),
            OpenApiExample("Changed", value=examples.COURSE, response_only=True),
        ],
    )
    def patch(self, request: Request, course_id: UUID) -> Response:
        course = self.course(course_id)
        permissions.require(self.member, permissions.COURSE_STAFF)
        return Response(output.course_line(layout.change_course(course, self.body(request, CourseChanges))))

    @extend_schema(
        operation_id="delete_course",
        summary="Delete a course on which no round was played (managers)",
        responses={204: None},
        examples=[OpenApiExample("Deleted", value=None, response_only=True)],
    )
    def delete(self, request: Request, course_id: UUID) -> Response:
        course = self.course(course_id)
        permissions.require(self.member, permissions.COURSE_STAFF)
        layout.delete_course(course)
        return Response(status=status.HTTP_204_NO_CONTENT)


class TeeList(CourseView):
    @extend_schema(
        operation_id="add_tee",
        summary="A new tee set; its holes and ratings follow (managers)",
        request=TeeName,
        responses={201: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample("New", value={"name": "White"}, request_only=True),
            OpenApiExample(
                "Added",
                value=examples.TEE | {"length": None, "holes": [], "ratings": []},
                response_only=True,
                status_codes=["201"],
            ),
        ],
    )
    def post(self, request: Request, course_id: UUID) -> Response:
        course = self.course(course_id)
        permissions.require(self.member, permissions.COURSE_STAFF)
        tee = layout.add_tee_set(course, self.body(request, TeeName).name)
        return Response(output.tee_set_in_full(tee, self.club), status.HTTP_201_CREATED)


class TeeView(CourseView):
    def tee(self, course_id: UUID, tee_id: UUID) -> TeeSet:
        tee = queries.tee_set(course_id, tee_id)
        if tee is None:
            raise not_found("No tee")
        return tee

    def tee_to_change(self, course_id: UUID, tee_id: UUID) -> TeeSet:
        tee = self.tee(course_id, tee_id)
        permissions.require(self.member, permissions.COURSE_STAFF)
        return tee


class TeeDetail(TeeView):
    @extend_schema(
        operation_id="read_tee",
        summary="A tee set with holes and ratings",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("A tee", value=examples.TEE)],
    )
    def get(self, request: Request, course_id: UUID, tee_id: UUID) -> Response:
        return Response(output.tee_set_in_full(self.tee(course_id, tee_id), self.club))

    @extend_schema(
        operation_id="rename_tee",
        summary="Rename a tee set (managers)",
        request=TeeName,
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample("Name", value={"name": "White"}, request_only=True),
            OpenApiExample("Renamed", value=examples.TEE, response_only=True),
        ],
    )
    def patch(self, request: Request, course_id: UUID, tee_id: UUID) -> Response:
        tee = self.tee_to_change(course_id, tee_id)
        layout.rename_tee_set(tee, self.body(request, TeeName).name)
        return Response(output.tee_set_in_full(tee, self.club))

    @extend_schema(
        operation_id="delete_tee",
        summary="Delete a tee set from which no round was played (managers)",
        responses={204: None},
        examples=[OpenApiExample("Deleted", value=None, response_only=True)],
    )
    def delete(self, request: Request, course_id: UUID, tee_id: UUID) -> Response:
        layout.delete_tee_set(self.tee_to_change(course_id, tee_id))
        return Response(status=status.HTTP_204_NO_CONTENT)


class TeeHoles(TeeView):
    @extend_schema(
        operation_id="set_holes",
        summary="All holes of a tee set at once; rounds played there are analysed again (managers)",
        request=HolesBody,
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample("Holes", value={"holes": examples.HOLES}, request_only=True),
            OpenApiExample("Saved", value=examples.TEE, response_only=True),
        ],
    )
    def put(self, request: Request, course_id: UUID, tee_id: UUID) -> Response:
        tee = self.tee_to_change(course_id, tee_id)
        layout.set_holes(self.club, tee, self.body(request, HolesBody).holes)
        return Response(output.tee_set_in_full(self.tee(course_id, tee_id), self.club))


class TeeRatings(TeeView):
    @extend_schema(
        operation_id="set_ratings",
        summary="All ratings of a tee set at once; handicap records are computed again (managers)",
        request=RatingsBody,
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample("Ratings", value={"ratings": examples.RATINGS}, request_only=True),
            OpenApiExample("Saved", value=examples.TEE, response_only=True),
        ],
    )
    def put(self, request: Request, course_id: UUID, tee_id: UUID) -> Response:
        tee = self.tee_to_change(course_id, tee_id)
        layout.set_ratings(tee, self.body(request, RatingsBody).ratings)
        return Response(output.tee_set_in_full(self.tee(course_id, tee_id), self.club))
