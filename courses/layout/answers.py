"""What is told of courses, their tees and days. Lengths of holes in the club's unit."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from django.db.models import Prefetch, prefetch_related_objects

from courses.layout import models
from courses.layout.models import Gender, PartOfDay, Section
from courses.layout.services import from_yards
from golfstats.ground.answers import up_to
from golfstats.ground.clubs.models import DistanceUnit
from golfstats.ground.operations import Asker, Query


@dataclass(frozen=True)
class Course:
    """A course of the club."""

    id: UUID
    name: str
    """What the course is called."""
    hole_count: int
    """9 or 18."""
    grass: str
    """Grass of the greens, in the club's words."""
    season: str
    """When it grows, in the club's words."""
    altitude: float | None
    """Metres above the sea."""
    provisional: bool
    """Entered from a scorecard: seen by whoever entered it, their coaches and managers alone."""


@dataclass(frozen=True)
class Hole:
    """A hole as played from one tee set."""

    number: int
    """Number of the hole."""
    length: float
    """In the club's unit."""
    par_men: int | None
    par_women: int | None
    stroke_index_men: int | None
    stroke_index_women: int | None


@dataclass(frozen=True)
class Rating:
    """Course and slope rating of a tee set for one gender."""

    gender: Gender
    section: Section
    """What it covers: 18 holes or one nine."""
    course_rating: float
    slope_rating: int
    par: int
    """Par of these tees."""


@dataclass(frozen=True, kw_only=True)
class TeeSet:
    """Tees of a course, with holes and ratings."""

    id: UUID
    name: str
    """What the tees are called."""
    length: float | None
    """Of all holes together, in the club's unit; null while there are none."""
    unit: DistanceUnit
    """Unit of its lengths."""
    holes: list[Hole] = up_to(18)
    """By number."""
    ratings: list[Rating] = up_to(6)
    """By section and gender."""


@dataclass(frozen=True, kw_only=True)
class CourseInFull(Course):
    """A course with its tees, holes and ratings."""

    unit: DistanceUnit
    """Unit of its lengths."""
    tees: list[TeeSet] = up_to(10)
    """By name."""


@dataclass(frozen=True)
class PlayingConditions:
    """A day's playing conditions calculation, as its issuer gave it."""

    id: UUID
    played_on: dt.date
    part_of_day: PartOfDay
    """For which rounds of the day it holds."""
    pcc: int
    """−1 to 3."""
    origin: str
    """Who issued the figure."""
    entered_by: str | None
    entered_at: dt.datetime


def course_heads(_: Asker, courses: Sequence[models.Course]) -> list[Course]:
    return [
        Course(one.id, one.name, one.hole_count, one.grass, one.season, one.altitude, one.provisional)
        for one in courses
    ]


def courses_in_full(asker: Asker, courses: Sequence[models.Course], query: Query) -> list[CourseInFull]:
    """Three queries, whatever the number of courses."""
    tees = tees_of_courses(asker, courses, query)
    return [
        CourseInFull(**vars(head), unit=_unit(asker), tees=of_course)
        for head, of_course in zip(course_heads(asker, courses), tees, strict=True)
    ]


def tees_of_courses(asker: Asker, courses: Sequence[models.Course], _: Query) -> list[list[TeeSet]]:
    """Of each course its tees by name. Three queries, whatever the number of courses."""
    tees = models.TeeSet.objects.order_by("name", "id")
    prefetch_related_objects(list(courses), Prefetch("tee_sets", queryset=tees, to_attr="tees_by_name"))
    in_order = [list(getattr(course, "tees_by_name")) for course in courses]  # noqa: B009 - prefetched
    heads = {tee.id: tee for tee in tee_heads(asker, [tee for tees_ in in_order for tee in tees_])}
    return [[heads[tee.id] for tee in tees_] for tees_ in in_order]


def tee_heads(asker: Asker, tees: Sequence[models.TeeSet]) -> list[TeeSet]:
    """Two queries, whatever the number of tees."""
    prefetch_related_objects(
        list(tees),
        Prefetch("holes", queryset=models.Hole.objects.order_by("number")),
        Prefetch("ratings", queryset=models.Rating.objects.order_by("gender", "section")),
    )
    return [_tee(tee, _unit(asker)) for tee in tees]


def _tee(tee: models.TeeSet, unit: DistanceUnit) -> TeeSet:
    holes = list(tee.holes.all())
    return TeeSet(
        id=tee.id,
        name=tee.name,
        length=from_yards(sum(hole.length for hole in holes), unit) if holes else None,
        unit=unit,
        holes=[
            Hole(
                number=hole.number,
                length=from_yards(hole.length, unit),
                par_men=hole.par_men,
                par_women=hole.par_women,
                stroke_index_men=hole.stroke_index_men,
                stroke_index_women=hole.stroke_index_women,
            )
            for hole in holes
        ],
        ratings=[
            Rating(
                Gender(rating.gender),
                Section(rating.section),
                float(rating.course_rating),
                rating.slope_rating,
                rating.par,
            )
            for rating in tee.ratings.all()
        ],
    )


def playing_conditions(_: Asker, rows: Sequence[models.PlayingConditions]) -> list[PlayingConditions]:
    """Of rows whose member who entered them was loaded with them."""
    return [
        PlayingConditions(
            row.id,
            row.played_on,
            PartOfDay(row.part_of_day),
            row.pcc,
            row.origin,
            row.entered_by and row.entered_by.name,
            row.entered_at,
        )
        for row in rows
    ]


def _unit(asker: Asker) -> DistanceUnit:
    return DistanceUnit(asker.distance_unit)
