"""Courses, tee sets, holes and ratings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from django.db import transaction
from django.db.models import ProtectedError
from rest_framework import status

from courses.inputs import CourseChanges, HoleBody, NewCourse, RatingBody
from courses.lengths import to_yards
from courses.models import Course, Gender, Hole, Rating, Section, TeeSet
from golfstats.api.problems import Fault, ProblemError, invalid
from golfstats.clubs.models import Club
from golfstats.outbox import work

COURSE_CHANGED = "course_changed"
"""Key: the course. Whoever computes from holes and ratings registers how."""


@transaction.atomic
def add_course(new: NewCourse) -> Course:
    _refuse_taken_name(Course(), new.name)
    return Course.objects.create(**new.model_dump())


@transaction.atomic
def change_course(course: Course, changes: CourseChanges) -> Course:
    if changes.name is not None:
        _refuse_taken_name(course, changes.name)
    for name, value in changes.model_dump(exclude_none=True).items():
        setattr(course, name, value)
    course.save()
    return course


@transaction.atomic
def delete_course(course: Course) -> None:
    """Raises a 409 problem if golf was played there."""
    _delete_unplayed(course, "course")


@transaction.atomic
def add_tee_set(course: Course, name: str) -> TeeSet:
    _refuse_taken_tee(course, TeeSet(), name)
    return TeeSet.objects.create(course=course, name=name)


@transaction.atomic
def rename_tee_set(tee_set: TeeSet, name: str) -> TeeSet:
    _refuse_taken_tee(tee_set.course, tee_set, name)
    tee_set.name = name
    tee_set.save(update_fields=["name"])
    return tee_set


@transaction.atomic
def delete_tee_set(tee_set: TeeSet) -> None:
    """Raises a 409 problem if golf was played from there."""
    _delete_unplayed(tee_set, "tee")


@transaction.atomic
def set_holes(club: Club, tee_set: TeeSet, given: Sequence[HoleBody]) -> None:
    """Put these in the place of a tee set's holes; raises a 422 problem with every fault.

    One statement: the trigger that checks numbers and stroke indexes looks once a statement.
    """
    faults = list(_hole_faults(given, tee_set.course.hole_count))
    if faults:
        raise invalid(faults, "The holes do not fit together")
    Hole.objects.bulk_create(
        [
            Hole(
                tee_set=tee_set,
                **hole.model_dump() | {"length": to_yards(hole.length, club.distance_unit)},
            )
            for hole in given
        ],
        update_conflicts=True,
        unique_fields=["club", "tee_set", "number"],
        update_fields=["length", "par_men", "par_women", "stroke_index_men", "stroke_index_women"],
    )
    work.ask(COURSE_CHANGED, str(tee_set.course_id))


@transaction.atomic
def set_ratings(tee_set: TeeSet, given: Sequence[RatingBody]) -> None:
    """Put these in the place of a tee set's ratings; raises a 422 problem with every fault."""
    faults = list(_rating_faults(given, tee_set.course.hole_count))
    if faults:
        raise invalid(faults, "The ratings do not fit together")
    Rating.objects.filter(tee_set=tee_set).delete()
    Rating.objects.bulk_create(Rating(tee_set=tee_set, **rating.model_dump()) for rating in given)
    work.ask(COURSE_CHANGED, str(tee_set.course_id))


def _hole_faults(given: Sequence[HoleBody], hole_count: int) -> Iterable[Fault]:
    if sorted(hole.number for hole in given) != list(range(1, hole_count + 1)):
        yield Fault("/holes", "wrong_numbers", f"give each of the holes 1 to {hole_count} once")
        return
    if all(hole.par_men is None and hole.par_women is None for hole in given):
        yield Fault("/holes", "no_par", "give par and stroke index for men, for women, or for both")
    for gender in Gender.values:
        pars = [getattr(hole, f"par_{gender}") for hole in given]
        indexes = [getattr(hole, f"stroke_index_{gender}") for hole in given]
        if all(value is None for value in pars + indexes):
            continue
        for place, (par, index) in enumerate(zip(pars, indexes, strict=True)):
            if par is None or index is None:
                missing = "par" if par is None else "stroke_index"
                where = f"/holes/{place}/{missing}_{gender}"
                yield Fault(where, "missing", f"{gender} play the other holes", hole=given[place].number)
        if None not in indexes and sorted(indexes) != list(range(1, hole_count + 1)):
            detail = f"{gender}: each stroke index from 1 to {hole_count} once"
            yield Fault("/holes", "stroke_indexes_not_a_permutation", detail)


def _rating_faults(given: Sequence[RatingBody], hole_count: int) -> Iterable[Fault]:
    seen = set()
    for place, rating in enumerate(given):
        key = (rating.gender, rating.section)
        if key in seen:
            yield Fault(
                f"/ratings/{place}", "rated_twice", f"{rating.gender}, {rating.section} is there already"
            )
        seen.add(key)
        if hole_count == 9 and rating.section != Section.FRONT:
            yield Fault(
                f"/ratings/{place}/section", "no_such_section", "a course of nine holes is rated as front"
            )


def _refuse_taken_name(course: Course, name: str) -> None:
    if Course.objects.filter(name__iexact=name).exclude(id=course.id).exists():
        raise invalid([Fault("/name", "name_taken", f"there is a course {name!r} already")])


def _refuse_taken_tee(course: Course, tee_set: TeeSet, name: str) -> None:
    if TeeSet.objects.filter(course=course, name__iexact=name).exclude(id=tee_set.id).exists():
        raise invalid([Fault("/name", "name_taken", f"{course.name} has a tee {name!r} already")])


def _delete_unplayed(row: Course | TeeSet, what: str) -> None:
    try:
        row.delete()
    except ProtectedError:
        raise ProblemError(
            "has-rounds", f"Rounds were played here: the {what} stays", status.HTTP_409_CONFLICT
        ) from None
