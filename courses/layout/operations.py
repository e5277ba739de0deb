"""What may be asked and changed of courses, their tees and playing conditions."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Any

from pydantic import Field

from courses.layout import answers, bodies, permissions, services
from courses.layout.announcing import (
    COURSE_CHANGED,
    COURSE_DELETED,
    PLAYING_CONDITIONS_CHANGED,
    PLAYING_CONDITIONS_DELETED,
    TEE_CHANGED,
    TEE_DELETED,
)
from courses.layout.models import Course, PlayingConditions, TeeSet
from golfstats.ground.clubs.models import Role
from golfstats.ground.inputs import Day
from golfstats.ground.operations import Asker, Change, Gathering, Operation, Query, Reading, Subject
from golfstats.ground.resources import Writes, reading_of, resource
from golfstats.ground.stretches import Column

CARD_MAKERS = (Role.PLAYER, Role.COACH, Role.MANAGER)
"""Enter provisional courses from scorecards."""
COURSE_STAFF = (Role.MANAGER,)
"""Change courses, tees, holes, ratings and playing conditions."""
COURSE_READERS = (*COURSE_STAFF, Role.GREENKEEPER, Role.COACH)
"""Who reads how holes play; players do not, because it would go with them into a round that counts."""
GREEN_STAFF = (Role.GREENKEEPER, Role.MANAGER)
"""Write green work, green readings and events, and hand out calendar addresses."""
OF_A_COURSE = {"course_id": "course_id"}

COURSE = Subject(
    word="course",
    parameter="course_id",
    root="course",
    model=Course,
    visible=lambda asker: permissions.visible_courses(asker.member),
    head=answers.Course,
    heads=answers.course_heads,
)
COURSE_ALONE = replace(COURSE, root="")
"""Of answers too costly to be given for many at once: GraphQL then asks at its root."""
TEE = Subject(
    word="tee",
    parameter="tee_id",
    above=OF_A_COURSE,
    model=TeeSet,
    visible=lambda asker: permissions.visible_tee_sets(asker.member),
    head=answers.TeeSet,
    heads=answers.tee_heads,
)
PLAYING_CONDITIONS = Subject(
    word="playing conditions day",
    parameter="day_id",
    above=OF_A_COURSE,
    model=PlayingConditions,
    visible=lambda asker: permissions.visible_playing_conditions(asker.member).select_related(
        "entered_by", "course"
    ),
    head=answers.PlayingConditions,
    heads=answers.playing_conditions,
)


class CourseQuery(Query):
    name: Annotated[str | None, Column("name__icontains")] = Field(None, description="A part of the name.")
    provisional: Annotated[bool | None, Column("provisional")] = Field(
        None, description="Those entered from scorecards by players and coaches, or only the club's own."
    )


class DaysQuery(Query):
    """Days that something of a single day may have."""

    since: Annotated[Day | None, Column("played_on__gte")] = Field(None, alias="from")
    """First day."""
    until: Annotated[Day | None, Column("played_on__lte")] = Field(None, alias="to")
    """Last day."""


def _add_course(_: Asker, new: bodies.NewCourse) -> Course:
    return services.add_course(new)


def _change_course(_: Asker, course: Course, changes: bodies.CourseChanges) -> Course:
    return services.change_course(course, changes)


def _delete_course(asker: Asker, course: Course) -> None:
    permissions.needs_own_provisional(asker.member, course)
    services.delete_course(course)


def _enter_scorecard(asker: Asker, card: bodies.Scorecard) -> Course:
    return services.enter_scorecard(asker.member, card)


def _replace_scorecard(asker: Asker, course: Course, card: bodies.Scorecard) -> Course:
    permissions.needs_own_provisional(asker.member, course)
    return services.put_scorecard(course, card, asker.distance_unit)


def _add_tee(_: Asker, course: Course, new: bodies.TeeName) -> TeeSet:
    return services.add_tee_set(course, new.name)


def _rename_tee(_: Asker, tee: TeeSet, new: bodies.TeeName) -> TeeSet:
    return services.rename_tee_set(tee, new.name)


def _delete_tee(_: Asker, tee: TeeSet) -> None:
    services.delete_tee_set(tee)


def _set_holes(asker: Asker, tee: TeeSet, given: bodies.HolesBody) -> TeeSet:
    services.set_holes(asker.distance_unit, tee, given.holes)
    return tee


def _set_ratings(_: Asker, tee: TeeSet, given: bodies.RatingsBody) -> TeeSet:
    services.set_ratings(tee, given.ratings)
    return tee


def _enter_day(asker: Asker, course: Course, given: bodies.PlayingConditionsBody) -> PlayingConditions:
    return services.save_playing_conditions(asker.member, course, PlayingConditions(), given)


def _correct_day(
    asker: Asker, day: PlayingConditions, given: bodies.PlayingConditionsBody
) -> PlayingConditions:
    return services.save_playing_conditions(asker.member, day.course, day, given)


def _delete_day(_: Asker, day: PlayingConditions) -> None:
    services.delete_playing_conditions(day)


COURSES = "courses"
TEES = "courses/<uuid:course_id>/tees"
OF_TEE: dict[str, Any] = {"about": TEE, "of": TEE, "roles": COURSE_STAFF}

OPERATIONS: list[Operation] = [
    *resource(
        COURSE,
        plural="courses",
        path=COURSES,
        order=("name", "id"),
        query=CourseQuery,
        roles=COURSE_STAFF,
        lists="The courses that you may see, by name",
        add=Writes("A new course (managers)", _add_course, bodies.NewCourse, sends=(COURSE_CHANGED,)),
        change=Writes(
            "Change a course's name, grass, season or altitude; take a provisional one into the club's (managers)",
            _change_course,
            bodies.CourseChanges,
            sends=(COURSE_CHANGED,),
        ),
    ),
    Change(
        name="course",
        id="delete_course",
        path="courses/<uuid:course_id>",
        field="delete_course",
        verb="DELETE",
        about=COURSE,
        roles=CARD_MAKERS,
        summary="Delete a course on which no round was played (managers; whoever entered a provisional one)",
        sends=(COURSE_DELETED,),
        do=_delete_course,
    ),
    Change(
        name="scorecards",
        id="enter_scorecard",
        path="scorecards",
        field="enter_scorecard",
        verb="POST",
        of=COURSE,
        roles=CARD_MAKERS,
        summary="Enter a course from its scorecard: a provisional course for yourself and your coaches",
        description=(
            "It serves you and your coaches at once, for rounds and for plans. Nobody else but managers sees it, who "
            "may take it into the club's courses (`provisional: false`) or merge it with one of them."
        ),
        body=bodies.Scorecard,
        sends=(COURSE_CHANGED, TEE_CHANGED),
        do=_enter_scorecard,
    ),
    Change(
        name="course-scorecard",
        id="put_scorecard",
        path="courses/<uuid:course_id>/scorecard",
        field="put_scorecard",
        verb="PUT",
        about=COURSE,
        of=COURSE,
        roles=CARD_MAKERS,
        summary="Put a scorecard in the place of what is there: name, and the tees of that name",
        description="Of a provisional course by whoever entered it; of any course by managers.",
        body=bodies.Scorecard,
        sends=(COURSE_CHANGED, TEE_CHANGED),
        do=_replace_scorecard,
    ),
    Reading(
        name="course",
        id="read_course",
        path="courses/<uuid:course_id>",
        about=COURSE,
        summary="A course with its tees, holes and ratings",
        answer=answers.CourseInFull,
        read=answers.courses_in_full,
    ),
    Gathering(
        name="course-tees",
        id="list_tees",
        path="",
        field="tees",
        about=COURSE,
        summary="The course's tees, with holes and ratings, by name",
        line=answers.TeeSet,
        gather=answers.tees_of_courses,
        longest=10,
    ),
    Change(
        name="tees",
        id="add_tee",
        path=TEES,
        field="add_tee",
        verb="POST",
        about=COURSE,
        of=TEE,
        roles=COURSE_STAFF,
        summary="A new tee set; its holes and ratings follow (managers)",
        body=bodies.TeeName,
        sends=(TEE_CHANGED,),
        do=_add_tee,
    ),
    reading_of(
        TEE,
        name="tee",
        id="read_tee",
        path=f"{TEES}/<uuid:tee_id>",
        field="tee",
        summary="A tee set with holes and ratings",
    ),
    Change(
        name="tee",
        id="rename_tee",
        path=f"{TEES}/<uuid:tee_id>",
        field="rename_tee",
        verb="PATCH",
        summary="Rename a tee set (managers)",
        body=bodies.TeeName,
        sends=(TEE_CHANGED,),
        do=_rename_tee,
        **OF_TEE,
    ),
    Change(
        name="tee",
        id="delete_tee",
        path=f"{TEES}/<uuid:tee_id>",
        field="delete_tee",
        verb="DELETE",
        about=TEE,
        roles=COURSE_STAFF,
        summary="Delete a tee set from which no round was played (managers)",
        sends=(TEE_DELETED,),
        do=_delete_tee,
    ),
    Change(
        name="tee-holes",
        id="set_holes",
        path=f"{TEES}/<uuid:tee_id>/holes",
        field="set_holes",
        verb="PUT",
        summary="All holes of a tee set at once; rounds played there are analysed again (managers)",
        body=bodies.HolesBody,
        sends=(TEE_CHANGED,),
        do=_set_holes,
        **OF_TEE,
    ),
    Change(
        name="tee-ratings",
        id="set_ratings",
        path=f"{TEES}/<uuid:tee_id>/ratings",
        field="set_ratings",
        verb="PUT",
        summary="All ratings of a tee set at once; handicap records are computed again (managers)",
        body=bodies.RatingsBody,
        sends=(TEE_CHANGED,),
        do=_set_ratings,
        **OF_TEE,
    ),
    *resource(
        PLAYING_CONDITIONS,
        plural="playing conditions",
        path="courses/<uuid:course_id>/playing-conditions",
        about=COURSE,
        parent="course_id",
        order=("-played_on", "-id"),
        query=DaysQuery,
        roles=COURSE_STAFF,
        present=lambda day: {name: getattr(day, name) for name in bodies.PlayingConditionsBody.model_fields},
        lists="Playing conditions calculations of a course, latest first",
        reads="A day's playing conditions calculation",
        add=Writes(
            "Enter a day's playing conditions calculation; its differentials are computed again (managers)",
            _enter_day,
            bodies.PlayingConditionsBody,
            "The constants of the calculation are not published: the figure comes from whoever issues it.",
            sends=(PLAYING_CONDITIONS_CHANGED,),
        ),
        change=Writes(
            "Correct a day's figure (managers)",
            _correct_day,
            bodies.PlayingConditionsBody,
            sends=(PLAYING_CONDITIONS_CHANGED,),
        ),
        delete=Writes(
            "Take a day's figure back (managers)", _delete_day, sends=(PLAYING_CONDITIONS_DELETED,)
        ),
    ),
]
