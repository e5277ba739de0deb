"""Courses, tee sets, holes, ratings and playing conditions: saving what was entered."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date
from uuid import UUID

import numpy as np
from django.db import transaction
from django.db.models import ProtectedError, Q

from courses.layout.announcing import (
    COURSE_CHANGED,
    COURSE_DELETED,
    PLAYING_CONDITIONS_CHANGED,
    PLAYING_CONDITIONS_DELETED,
    TEE_CHANGED,
    TEE_DELETED,
)
from courses.layout.bodies import (
    CourseChanges,
    NewCourse,
    PlayingConditionsBody,
    RatingBody,
    Scorecard,
    TeeHoleBody,
)
from courses.layout.models import (
    Course,
    Gender,
    Hole,
    PlayingConditions,
    Rating,
    Section,
    TeeSet,
)
from golfstats.calc.strokes.peer import RatedTees
from golfstats.calc.units import YARDS_PER_METRE
from golfstats.ground.clubs.models import DistanceUnit, Member
from golfstats.ground.events import tells
from golfstats.ground.faults import Fault, ProblemError, Refusal, invalid
from golfstats.ground.outbox import work
from golfstats.ground.walls.kept import ANY_KEYS, KeptStatement
from golfstats.sentences import Sentence

LAYOUT_CHANGED = "course_changed"
"""Key: the course. Whoever computes from holes and ratings registers how."""
HOLES_DRAWN_ANEW = "holes_drawn_anew"
"""Key: the tee set. What was worked out of its holes' drawings may be of others."""
CONDITIONS_CHANGED = "conditions_changed"
"""Key: ``<course>:<date>``. The differentials of that day, and all that follows from them, change."""


@tells(COURSE_CHANGED)
def add_course(new: NewCourse) -> Course:
    _refuse_taken_name(Course(), new.name)
    return Course.objects.create(**new.model_dump())


@tells(COURSE_CHANGED)
def change_course(course: Course, changes: CourseChanges) -> Course:
    for name, value in changes.model_dump(exclude_none=True).items():
        setattr(course, name, value)
    if not course.provisional:
        course.made_by = None
    if changes.name is not None or changes.provisional is False:
        _refuse_taken_name(course, course.name)
    course.save()
    return course


@transaction.atomic
def enter_scorecard(member: Member, card: Scorecard) -> Course:
    """A provisional course of this member's."""
    count = 18 if len(card.holes) > 9 else 9
    course = Course(name=card.name, hole_count=count, provisional=True, made_by=member)
    _refuse_taken_name(course, card.name)
    course.save()
    return put_scorecard(course, card, member.club.distance_unit)


@tells(COURSE_CHANGED)
def put_scorecard(course: Course, card: Scorecard, unit: str) -> Course:
    """The card in the place of the course's name and of the tees of that name; refused with every fault.

    ``unit`` is that of a card which names none.
    """
    _refuse_taken_name(course, card.name)
    course.name, course.altitude = card.name, card.altitude if card.altitude is not None else course.altitude
    course.save(update_fields=["name", "altitude"])
    tee_set = TeeSet.objects.filter(course=course, name__iexact=card.tee).first()
    if tee_set is None:
        tee_set = TeeSet.objects.create(course=course, name=card.tee)
    _put_holes(card.unit or unit, tee_set, card.holes)
    _put_ratings(tee_set, card.ratings)
    TEE_CHANGED.send([tee_set])
    return course


@tells(COURSE_DELETED)
def delete_course(course: Course) -> None:
    """Raises a 409 problem if golf was played there."""
    _delete_unplayed(course, "course")


@tells(TEE_CHANGED)
def add_tee_set(course: Course, name: str) -> TeeSet:
    _refuse_taken_tee(course, TeeSet(), name)
    return TeeSet.objects.create(course=course, name=name)


@tells(TEE_CHANGED)
def rename_tee_set(tee_set: TeeSet, name: str) -> TeeSet:
    _refuse_taken_tee(tee_set.course, tee_set, name)
    tee_set.name = name
    tee_set.save(update_fields=["name"])
    return tee_set


@tells(TEE_DELETED)
def delete_tee_set(tee_set: TeeSet) -> None:
    """Raises a 409 problem if golf was played from there."""
    _delete_unplayed(tee_set, "tee")


@tells(TEE_CHANGED)
def set_holes(unit: str, tee_set: TeeSet, given: Sequence[TeeHoleBody]) -> None:
    """Put these in the place of a tee set's holes."""
    _put_holes(unit, tee_set, given)


def _put_holes(unit: str, tee_set: TeeSet, given: Sequence[TeeHoleBody]) -> None:
    """Put these in the place of a tee set's holes; raises a 422 problem with every fault. ``unit``: of lengths.

    One statement: the trigger that checks numbers and stroke indexes looks once a statement.
    """
    faults = list(_hole_faults(given, tee_set.course.hole_count))
    if faults:
        raise invalid(faults, Sentence("The holes do not fit together"))
    Hole.objects.bulk_create(
        [
            Hole(
                tee_set=tee_set,
                **hole.model_dump() | {"length": to_yards(hole.length, unit)},
            )
            for hole in given
        ],
        update_conflicts=True,
        unique_fields=["club", "tee_set", "number"],
        update_fields=["length", "par_men", "par_women", "stroke_index_men", "stroke_index_women"],
    )
    work.ask(LAYOUT_CHANGED, str(tee_set.course_id))
    work.ask(HOLES_DRAWN_ANEW, str(tee_set.id))


@tells(TEE_CHANGED)
def set_ratings(tee_set: TeeSet, given: Sequence[RatingBody]) -> None:
    """Put these in the place of a tee set's ratings."""
    _put_ratings(tee_set, given)


def _put_ratings(tee_set: TeeSet, given: Sequence[RatingBody]) -> None:
    """Put these in the place of a tee set's ratings; raises a 422 problem with every fault."""
    faults = list(_rating_faults(given, tee_set.course.hole_count))
    if faults:
        raise invalid(faults, Sentence("The ratings do not fit together"))
    Rating.objects.filter(tee_set=tee_set).delete()
    Rating.objects.bulk_create(Rating(tee_set=tee_set, **rating.model_dump()) for rating in given)
    work.ask(LAYOUT_CHANGED, str(tee_set.course_id))


@tells(PLAYING_CONDITIONS_CHANGED)
def save_playing_conditions(
    member: Member, course: Course, conditions: PlayingConditions, given: PlayingConditionsBody
) -> PlayingConditions:
    """Enter or correct a day's figure. Raises a 409 problem where that day (or part of it) has one."""
    before = None if conditions._state.adding else conditions.played_on
    same = PlayingConditions.objects.filter(
        course=course, played_on=given.played_on, part_of_day=given.part_of_day
    )
    if same.exclude(id=conditions.id).exists():
        raise ProblemError("entered-already", Sentence("That day has a figure: correct it"), Refusal.CONFLICT)
    for name, value in given.model_dump().items():
        setattr(conditions, name, value)
    conditions.course, conditions.entered_by = course, member
    conditions.save()
    for day in {given.played_on, before or given.played_on}:
        _tell(course.id, day)
    return conditions


@tells(PLAYING_CONDITIONS_DELETED)
def delete_playing_conditions(conditions: PlayingConditions) -> None:
    course_id, day = conditions.course_id, conditions.played_on
    conditions.delete()
    _tell(course_id, day)


LENGTHS = KeptStatement(
    lambda: (
        Hole.objects.filter(tee_set_id__any_of=ANY_KEYS)
        .order_by("number")
        .values_list("tee_set_id", "length")
    )
)
RATINGS = KeptStatement(lambda: Rating.objects.filter(tee_set_id__any_of=ANY_KEYS), Rating)


def rated_tees(tee_sets: Iterable[UUID]) -> dict[tuple[UUID, str], RatedTees]:
    """Each of these tee sets as rated for each gender, over 18 holes or the nine of a short course. Two queries."""
    keys = list(tee_sets)
    lengths: dict[UUID, list[float]] = defaultdict(list)
    for tee_set_id, length in LENGTHS.found(keys=keys):
        lengths[tee_set_id].append(length)
    ratings: list[Rating] = RATINGS.rows(keys=keys)
    return {
        (rating.tee_set_id, rating.gender): RatedTees(
            float(rating.course_rating), float(rating.slope_rating), np.array(lengths[rating.tee_set_id])
        )
        for rating in ratings
        if rating.section == (Section.EIGHTEEN if len(lengths[rating.tee_set_id]) == 18 else Section.FRONT)
    }


def to_yards(length: float, unit: str) -> float:
    return length * YARDS_PER_METRE if unit == DistanceUnit.METRES else length


def from_yards(yards: float, unit: str) -> float:
    """In the club's unit, to a tenth: finer than any hole is measured."""
    return round(yards / YARDS_PER_METRE if unit == DistanceUnit.METRES else yards, 1)


def _tell(course_id: UUID, day: date) -> None:
    work.ask(CONDITIONS_CHANGED, f"{course_id}:{day.isoformat()}")


def _hole_faults(given: Sequence[TeeHoleBody], hole_count: int) -> Iterable[Fault]:
    if sorted(hole.number for hole in given) != list(range(1, hole_count + 1)):
        yield Fault(
            "/holes",
            "wrong_numbers",
            Sentence("give each of the holes 1 to {hole_count} once", hole_count=hole_count),
        )
        return
    if all(hole.par_men is None and hole.par_women is None for hole in given):
        yield Fault("/holes", "no_par", Sentence("give par and stroke index for men, for women, or for both"))
    for gender in Gender.values:
        pars = [getattr(hole, f"par_{gender}") for hole in given]
        indexes = [getattr(hole, f"stroke_index_{gender}") for hole in given]
        if all(value is None for value in pars + indexes):
            continue
        for place, (par, index) in enumerate(zip(pars, indexes, strict=True)):
            if par is None or index is None:
                missing = "par" if par is None else "stroke_index"
                where = f"/holes/{place}/{missing}_{gender}"
                yield Fault(
                    where,
                    "missing",
                    Sentence("missing, but {gender} play the others", gender=Sentence(gender)),
                    hole=given[place].number,
                )
        if None not in indexes and sorted(indexes) != list(range(1, hole_count + 1)):
            detail = Sentence(
                "{gender}: each stroke index from 1 to {hole_count} once",
                gender=Sentence(gender),
                hole_count=hole_count,
            )
            if hole_count == 9 and len(set(indexes)) == 9:
                detail = Sentence(
                    "{detail}; where the card has every second number, count them up in their order",
                    detail=detail,
                )
            yield Fault("/holes", "stroke_indexes_not_a_permutation", detail)


def _rating_faults(given: Sequence[RatingBody], hole_count: int) -> Iterable[Fault]:
    seen = set()
    for place, rating in enumerate(given):
        key = (rating.gender, rating.section)
        if key in seen:
            yield Fault(
                f"/ratings/{place}",
                "rated_twice",
                Sentence(
                    "{gender}, {section} is there already",
                    gender=Sentence(rating.gender),
                    section=Sentence(rating.section),
                ),
            )
        seen.add(key)
        if hole_count == 9 and rating.section != Section.FRONT:
            yield Fault(
                f"/ratings/{place}/section",
                "no_such_section",
                Sentence("a course of nine holes is rated as front"),
            )


def _refuse_taken_name(course: Course, name: str) -> None:
    """Names are the club's own and the maker's: nobody learns what another has entered provisionally."""
    others = Q(provisional=False)
    if course.provisional:
        others |= Q(provisional=True, made_by=course.made_by_id)
    if Course.objects.filter(others, name__iexact=name).exclude(id=course.id).exists():
        raise invalid(
            [Fault("/name", "name_taken", Sentence("there is a course {name} already", name=repr(name)))]
        )


def _refuse_taken_tee(course: Course, tee_set: TeeSet, name: str) -> None:
    if TeeSet.objects.filter(course=course, name__iexact=name).exclude(id=tee_set.id).exists():
        raise invalid(
            [
                Fault(
                    "/name",
                    "name_taken",
                    Sentence("{name} has a tee {name_} already", name=course.name, name_=repr(name)),
                )
            ]
        )


def _delete_unplayed(row: Course | TeeSet, what: str) -> None:
    try:
        row.delete()
    except ProtectedError:
        raise ProblemError(
            "has-rounds",
            Sentence("Rounds were played here: the {what} stays", what=Sentence(what)),
            Refusal.CONFLICT,
        ) from None
