"""What may be asked and changed of the club itself."""

from __future__ import annotations

from typing import Annotated
from uuid import UUID

from pydantic import BaseModel, ConfigDict, Field

from courses.layout.announcing import COURSE_CHANGED, COURSE_DELETED
from courses.layout.models import Course, TeeSet
from courses.layout.operations import COURSE, COURSE_READERS, COURSE_STAFF, TEE
from golfstats.ground.clubs.models import DateStyle, DistanceUnit, ErasedGolf, FirstWeekday, Role
from golfstats.ground.names import Name
from golfstats.ground.operations import Asker, Change, Operation, Reading
from players.club import answers, services, trust
from players.club.announcing import CLUB_CHANGED
from players.club.settings import LONGEST_KEPT
from players.figures.announcing import ROUND_ANALYSED
from players.handicap.rules import HandicapChoices
from players.plans.announcing import HOLE_COSTS_MADE
from players.plans.costs.course_costs import CostsQuery, TeeCosts, ask_for_costs, costs_of_tees


class ClubSettings(BaseModel):
    model_config = ConfigDict(use_attribute_docstrings=True, extra="forbid", str_strip_whitespace=True)

    name: Name | None = None
    """Of the club."""
    time_zone: str | None = Field(None, description="Of the IANA time zone database.")
    distance_unit: DistanceUnit | None = None
    """In which members give and read distances."""
    date_style: DateStyle | None = None
    """How days are written on pages, in sentences and on paper."""
    first_weekday: FirstWeekday | None = None
    """The day on which a week begins."""
    short_game_yards: Annotated[float, Field(gt=0, le=300)] | None = None
    """Shots from off the green and nearer than this are the short game."""
    approach_band_edges: (
        Annotated[list[Annotated[float, Field(ge=0, le=400)]], Field(max_length=30)] | None
    ) = None
    """Distances in yards at which bands of approaches begin and end."""
    benchmark: Annotated[str, Field(max_length=40)] | None = Field(
        None, description="Key of the benchmark to measure against."
    )
    handicap_rules: HandicapChoices | None = None
    """What the club chooses within the Rules of Handicapping."""
    erased_golf: ErasedGolf | None = Field(
        None, description="What becomes of the rounds of somebody who erases themselves."
    )
    rounds_kept_years: Annotated[int, Field(ge=0, le=LONGEST_KEPT)] | None = None
    """Older rounds are removed every night, except what a handicap of today rests on. 0: kept for ever."""


def _ask_for_costs(asker: Asker, tee_set: TeeSet, query: CostsQuery) -> TeeCosts:
    ask_for_costs(tee_set, query.gender)
    (costs,) = costs_of_tees(asker, [tee_set], query)
    return costs


class MergedCourse(BaseModel):
    """Where the golf of a provisional course goes."""

    model_config = ConfigDict(use_attribute_docstrings=True, extra="forbid")

    into: UUID = Field(description="Id of one of the club's own courses.")
    tee: UUID | None = Field(
        None,
        description="Id of the tees there that the rounds were played from; without it those of the same name, and "
        "tees that are not there yet move there.",
    )


def _merge(_: Asker, course: Course, given: MergedCourse) -> Course:
    return services.merge_course(course, given.into, given.tee)


def _change(asker: Asker, given: ClubSettings) -> answers.Club:
    changes = given.model_dump(mode="json", exclude_unset=True, exclude_none=True)
    return answers.club_of(services.change_settings(asker.club, changes))


OPERATIONS: list[Operation] = [
    Reading(
        name="club",
        id="read_club",
        path="club",
        field="club",
        summary="The club and its settings",
        answer=answers.Club,
        read=answers.club,
    ),
    Reading(
        name="trust",
        id="read_trust",
        path="trust",
        field="trust",
        cost=200,
        summary="How far to trust this: each claim against the worlds in which it was tried",
        description=(
            "Bias, coverage of the 90% intervals, false alarms and the share of refusals of every claim, as they were "
            "found in worlds that the service's mathematics does not assume. Kept with the program, not computed when "
            "asked."
        ),
        answer=trust.Trust,
        read=trust.trust,
    ),
    Change(
        name="club",
        id="change_club",
        path="club",
        verb="PATCH",
        summary="Change the club's settings; what depends on them is computed again (managers)",
        roles=(Role.MANAGER,),
        body=ClubSettings,
        sends=(CLUB_CHANGED,),
        do=_change,
        gives=answers.Club,
    ),
    Change(
        name="course-merged",
        id="merge_course",
        path="courses/<uuid:course_id>/merged",
        field="merge_course",
        verb="POST",
        about=COURSE,
        of=COURSE,
        status=200,
        roles=COURSE_STAFF,
        summary="Merge a provisional course with one of the club's: its rounds and plans go there (managers)",
        description="The rounds are analysed again. The provisional course is removed.",
        body=MergedCourse,
        sends=(COURSE_CHANGED, COURSE_DELETED),
        sends_later=(ROUND_ANALYSED,),
        do=_merge,
    ),
    Reading(
        name="tee-costs",
        id="read_hole_costs",
        path="courses/<uuid:course_id>/tees/<uuid:tee_id>/costs",
        field="hole_costs",
        cost=500,
        summary="What a tee, a pin or a bunker costs whom, a map of difficulty, the members' shots (staff, coaches)",
        about=TEE,
        roles=COURSE_READERS,
        query=CostsQuery,
        answer=TeeCosts,
        read=costs_of_tees,
    ),
    Change(
        name="tee-costs",
        id="ask_for_hole_costs",
        path="courses/<uuid:course_id>/tees/<uuid:tee_id>/costs",
        field="ask_for_hole_costs",
        verb="POST",
        summary="Have the costs of each hole worked out; the worker takes some ten seconds a hole (managers)",
        about=TEE,
        roles=COURSE_STAFF,
        query=CostsQuery,
        sends_later=(HOLE_COSTS_MADE,),
        do=_ask_for_costs,
        gives=TeeCosts,
        status=202,
    ),
]
