"""Pictures of a course, as programs draw them: its greens through the year, what work cost, what holes cost whom."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext

from courses.calendars.models import Event
from courses.greens.condition import coming_days, recovery_by_kind
from courses.greens.operations import GREEN_WORK
from courses.layout.models import Course, TeeSet
from courses.layout.operations import COURSE_READERS, GREEN_STAFF, TEE
from golfstats.ground.faults import not_found
from golfstats.ground.operations import Asker, Query
from golfstats.ground.words import counted, day_words
from golfstats.sentences import Sentence
from players.conditions.answers.by_green import cost_by_green
from players.conditions.answers.effects import cost_on
from players.people.answers import Named
from players.pictures import green_subjects
from players.pictures.answers import Drawn, Shown, drawn
from players.pictures.questions import CoursePictureName, CoursePictureQuery
from players.pictures.shapes import Recovery
from players.plans.costs.course_costs import CostsQuery, costs_of_tees

MOST_WORK = 40


@dataclass(frozen=True, kw_only=True)
class CoursePicture(Drawn):
    """A picture of a course."""

    course: Named
    name: CoursePictureName
    """Which picture."""


def course_pictures(
    asker: Asker, courses: Sequence[Course], query: CoursePictureQuery
) -> list[CoursePicture]:
    answers = []
    for course in courses:
        if query.tee is not None:
            _tee(asker, course, query)  # none that there is not is passed over, whatever the picture shows
        told = drawn(SHOWS[query.picture](asker, course, query), course.name, query.scheme)
        answers.append(CoursePicture(**vars(told), course=Named(course.id, course.name), name=query.picture))
    return answers


def as_vega_lite(asker: Asker, course: Course, query: CoursePictureQuery) -> str:
    """The specification alone."""
    (one,) = course_pictures(asker, [course], query)
    return one.specification


def events_about(asker: Asker, course: Course) -> list[Event]:
    """Those of the season, and to come; of a course that the asker may see."""
    since = asker.today - green_subjects.BEFORE
    return list(course.events.filter(ends_on__gte=since).order_by("starts_on"))


def _season(asker: Asker, course: Course, _: CoursePictureQuery) -> Shown:
    since = asker.today - green_subjects.BEFORE
    work = GREEN_WORK.visible(asker).filter(course=course, starts_on__gte=since)
    rows = list(work.order_by("-starts_on", "-id")[:MOST_WORK])
    shape = green_subjects.season(rows, events_about(asker, course), recovery_by_kind(), asker.today, {})
    return Shown(shape, gettext("By the calendar, from {day}").format(day=day_words(shape.first)))


def _coming(asker: Asker, course: Course, _: CoursePictureQuery) -> Shown:
    (days,) = coming_days([course], asker.today)
    shape = green_subjects.coming(days, events_about(asker, course))
    return Shown(shape, gettext("By the calendar, from {day}").format(day=day_words(asker.today)))


def _recovery(_: Asker, course: Course, query: CoursePictureQuery) -> Shown:
    cost = cost_on(course.id)
    wanted = query.kind or cost.usual_kind
    kind = next((one for one in cost.kinds if one.kind == wanted), None)
    if kind is None:
        empty = Recovery(
            title=gettext("Strokes a round by days since the work"), kind=wanted, windows=[], placebo=[]
        )
        return Shown(empty, gettext("No round on this course tells of such work yet"))
    shape = green_subjects.recovery(kind, green_subjects.placebo_of(cost, kind))
    return Shown(shape, gettext("{rounds} that tell of it").format(rounds=counted(kind.rounds, "round")))


def _by_green(asker: Asker, course: Course, _: CoursePictureQuery) -> Shown:
    asker.needs(*GREEN_STAFF)
    (answer,) = cost_by_green(asker, [course], Query())
    return Shown(
        green_subjects.by_green(answer),
        gettext("Days 0 to {last} after the work").format(last=answer.last_day),
    )


def _hole_costs(asker: Asker, course: Course, query: CoursePictureQuery) -> Shown:
    asker.needs(*COURSE_READERS)
    tee = _tee(asker, course, query)
    (costs,) = costs_of_tees(asker, [tee], CostsQuery(gender=query.gender))
    hole = next((one for one in costs.by_hole if query.hole in (None, one.number)), None)
    if hole is None:
        return Shown(green_subjects.no_things(), gettext("Not worked out yet"))
    words = gettext("{tee} tees, hole {hole}")
    if hole.generic:
        words = gettext("{tee} tees, hole {hole}, not drawn from a map")
    return Shown(green_subjects.things(hole), words.format(tee=tee.name, hole=hole.number))


def _tee(asker: Asker, course: Course, query: CoursePictureQuery) -> TeeSet:
    """The set of tees asked for, else the first."""
    tees = TEE.visible(asker).filter(course=course).order_by("name", "id")
    tee: TeeSet | None = (tees if query.tee is None else tees.filter(id=query.tee)).first()
    if tee is None:
        raise not_found(Sentence("No tee"))
    return tee


SHOWS: Mapping[CoursePictureName, Callable[[Asker, Course, CoursePictureQuery], Shown]] = {
    CoursePictureName.SEASON: _season,
    CoursePictureName.COMING_DAYS: _coming,
    CoursePictureName.RECOVERY: _recovery,
    CoursePictureName.BY_GREEN: _by_green,
    CoursePictureName.HOLE_COSTS: _hole_costs,
}
