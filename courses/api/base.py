"""What the endpoints of courses share."""

from __future__ import annotations

from typing import TypeVar
from uuid import UUID

import django_filters
from django.db.models import Model, QuerySet
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter
from pydantic import BaseModel
from rest_framework.request import Request

from courses import queries
from courses.models import Course
from golfstats.api import bodies
from golfstats.api.problems import not_found
from golfstats.api.views import ClubView

BODY_LIMIT = 64 * 1024
BodyT = TypeVar("BodyT", bound=BaseModel)
RowT = TypeVar("RowT", bound=Model)
DAYS = [OpenApiParameter("from", OpenApiTypes.DATE), OpenApiParameter("to", OpenApiTypes.DATE)]


class CourseView(ClubView):
    """An endpoint below a course."""

    def course(self, course_id: UUID) -> Course:
        return found(queries.courses().filter(id=course_id), "No course")

    def body(self, request: Request, model: type[BodyT]) -> BodyT:
        return bodies.checked(model, bodies.json_body(bodies.raw_body(request, BODY_LIMIT)))

    def changed_body(self, request: Request, model: type[BodyT], row: Model) -> BodyT:
        """The row's present values with those of the body over them."""
        present = {name: getattr(row, name) for name in model.model_fields}
        given = bodies.json_body(bodies.raw_body(request, BODY_LIMIT))
        return bodies.checked(model, present | given if isinstance(given, dict) else given)


def found(rows: QuerySet[RowT], what: str) -> RowT:
    """The only row, or a 404 problem."""
    row = rows.first()
    if row is None:
        raise not_found(what)
    return row


def filter_set(model: type[Model], **filters: django_filters.Filter) -> type[django_filters.FilterSet]:
    """A filter set made by a call, since ``from`` is no name for an attribute."""
    meta = type("Meta", (), {"model": model, "fields": []})
    return type(f"{model.__name__}Filter", (django_filters.FilterSet,), {"Meta": meta, **filters})


def days_between(first: str, last: str, prefix: str = "") -> dict[str, django_filters.Filter]:
    """Filters ``from`` and ``to`` for what lasts from the day ``first`` to the day ``last``."""
    return {
        "from": django_filters.DateFilter(field_name=last, lookup_expr=f"{prefix}gte"),
        "to": django_filters.DateFilter(field_name=first, lookup_expr=f"{prefix}lte"),
    }
