from __future__ import annotations

from uuid import UUID

from django.db.models import Prefetch, QuerySet

from courses.models import Course, Hole, Rating, TeeSet


def courses() -> QuerySet[Course]:
    """The club's courses."""
    return Course.objects.all()


def course_with_tees(course_id: UUID) -> Course | None:
    """A course with its tees, their holes and ratings: four queries."""
    tees = with_parts(TeeSet.objects.order_by("name", "id"))
    return Course.objects.filter(id=course_id).prefetch_related(Prefetch("tee_sets", queryset=tees)).first()


def tee_set(course_id: UUID, tee_set_id: UUID) -> TeeSet | None:
    """A tee set of that course, with holes and ratings."""
    tees = with_parts(TeeSet.objects.select_related("course"))
    return tees.filter(id=tee_set_id, course_id=course_id).first()


def with_parts(tees: QuerySet[TeeSet]) -> QuerySet[TeeSet]:
    return tees.prefetch_related(
        Prefetch("holes", queryset=Hole.objects.order_by("number")),
        Prefetch("ratings", queryset=Rating.objects.order_by("gender", "section")),
    )
