"""Entering and correcting green work through GraphQL: the services of REST, with the same bodies and checks."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import UUID

import strawberry
from rest_framework import status

from courses import permissions
from courses.graphql.courses import GreenWork, found_course, work_line
from courses.inputs import GreenWorkBody
from courses.queries import of_courses
from courses.services import greens
from golfstats.api import bodies
from golfstats.api.problems import ProblemError, not_found
from golfstats.graphql.context import Info
from golfstats.graphql.inputs import given_fields
from golfstats.graphql.rows import row_of


@strawberry.input(
    description="Fields that are left out keep their usual value, or in a change their present one."
)
class GreenWorkInput:
    kind: str | None = strawberry.UNSET
    starts_on: dt.date | None = strawberry.UNSET
    ends_on: dt.date | None = strawberry.UNSET
    holes: list[int] | None = strawberry.UNSET
    tine_diameter_mm: float | None = strawberry.UNSET
    spacing_along_mm: float | None = strawberry.UNSET
    spacing_across_mm: float | None = strawberry.UNSET
    severity: float | None = strawberry.UNSET
    temporary_greens: bool | None = strawberry.UNSET
    status: str | None = strawberry.UNSET
    note: str | None = strawberry.UNSET


@strawberry.type
class CourseMutation:
    @strawberry.mutation(graphql_type=GreenWork, description="Enter green work (greenkeepers and managers).")
    @staticmethod
    def add_green_work(info: Info, course_id: UUID, work: GreenWorkInput) -> Any:
        course = found_course(course_id)
        permissions.require(info.context.member, permissions.GREEN_STAFF)
        given = bodies.checked(GreenWorkBody, given_fields(work))
        return row_of(greens.add_work(info.context.member, course, given), work_line)

    @strawberry.mutation(
        graphql_type=GreenWork,
        description=(
            "Correct green work (greenkeepers and managers). With `sequence`, only if it is still the one you read."
        ),
    )
    @staticmethod
    def change_green_work(info: Info, id: UUID, changes: GreenWorkInput, sequence: int | None = None) -> Any:
        row = of_courses.all_green_work().select_for_update(of=("self",)).filter(id=id).first()
        if row is None:
            raise not_found("No green work")
        permissions.require(info.context.member, permissions.GREEN_STAFF)
        if sequence is not None and sequence != row.sequence:
            raise ProblemError(
                "changed-meanwhile",
                "The work was changed since you read it",
                status.HTTP_412_PRECONDITION_FAILED,
            )
        given = bodies.checked(GreenWorkBody, greens.as_fields(row) | given_fields(changes))
        return row_of(greens.change_work(info.context.member, row, given), work_line)
