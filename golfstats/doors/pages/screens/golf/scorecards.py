"""A course that nobody entered yet: from its scorecard, on one page, for oneself and one's coaches."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext

from courses.layout import bodies, permissions, services
from courses.layout.answers import tees_of_courses
from courses.layout.models import Course
from courses.layout.operations import CARD_MAKERS, COURSE
from courses.plans.services import describe_holes
from golfstats.doors.pages.base import ClubPage
from golfstats.doors.pages.screens import grid
from golfstats.ground import inputs
from golfstats.ground.clubs.models import DistanceUnit
from golfstats.ground.faults import Fault, ProblemError, Refusal, invalid
from golfstats.ground.operations import Query
from golfstats.ground.words import spoken

PRINTED = ("name", "tee", "unit", "altitude")


class ScorecardPage(ClubPage):
    """A course on one form."""

    def card(
        self, values: Mapping[str, str], course: Course | None = None, faults: Sequence[Fault] = ()
    ) -> HttpResponse:
        context: dict[str, object] = {
            "values": values,
            "course": course,
            "units": [(one.value, gettext(one.value)) for one in DistanceUnit],
        }
        context |= grid.shown(18, values, faults)
        return self.page("scorecard", context, status=422 if faults else 200)

    def describe(self, course: Course, values: Mapping[str, str]) -> None:
        """What was said of the holes' shapes, a line each: the number, then the words. The others stay as they are."""
        lines = [_words_of(line) for line in values.get("words", "").splitlines() if line.strip()]
        if lines:
            tee_set = course.tee_sets.get(name=values["tee"])
            describe_holes(self.member, tee_set, [(number, words, None) for number, words in lines])

    def saved(self, course: Course) -> HttpResponse:
        messages.success(self.request, gettext("Course saved"))
        tee = course.tee_sets.order_by("-id").first()
        return redirect(self.address("tomorrow-page") + (f"?tee={tee.id}" if tee else ""))


class EnterScorecard(ScorecardPage):
    """A new course."""

    def get(self, request: HttpRequest) -> HttpResponse:
        self.asker.needs(*CARD_MAKERS)
        return self.card({"unit": self.club.distance_unit})

    def post(self, request: HttpRequest) -> HttpResponse:
        self.asker.needs(*CARD_MAKERS)
        values = _values(request)
        try:
            course = services.enter_scorecard(self.member, _card(values))
            self.describe(course, values)
        except ProblemError as problem:
            return self.card(values, faults=problem.faults)
        return self.saved(course)


class CorrectScorecard(ScorecardPage):
    """A provisional course of one's own."""

    def get(self, request: HttpRequest, course_id: UUID) -> HttpResponse:
        course = self._own(course_id)
        ((tee, *_),) = tees_of_courses(self.asker, [course], Query())
        printed = {"name": course.name, "tee": tee.name, "unit": tee.unit.value}
        if course.altitude is not None:
            printed["altitude"] = f"{course.altitude:g}"
        return self.card(printed | grid.values_of(tee, tee), course)

    def post(self, request: HttpRequest, course_id: UUID) -> HttpResponse:
        course, values = self._own(course_id), _values(request)
        try:
            services.put_scorecard(course, _card(values), self.club.distance_unit)
            self.describe(course, values)
        except ProblemError as problem:
            return self.card(values, course, problem.faults)
        return self.saved(course)

    def _own(self, course_id: UUID) -> Course:
        course = COURSE.one(self.asker, {"course_id": course_id})
        permissions.needs_own_provisional(self.member, course)
        return course


class DeleteScorecard(ClubPage):
    def post(self, request: HttpRequest, course_id: UUID) -> HttpResponse:
        course = COURSE.one(self.asker, {"course_id": course_id}, to_change=True)
        permissions.needs_own_provisional(self.member, course)
        try:
            services.delete_course(course)
        except ProblemError as problem:
            if problem.because is not Refusal.CONFLICT:
                raise
            messages.error(request, spoken(problem.title))
        else:
            messages.success(request, gettext("Course removed"))
        return redirect(self.address("tomorrow-page"))


def _words_of(line: str) -> tuple[int, str]:
    number, _, words = line.strip().partition(" ")
    digits = number.rstrip(".:")
    if not re.fullmatch("[0-9]{1,2}", digits):
        raise invalid(
            [
                Fault(
                    "/words",
                    "no_number",
                    gettext("“{line}” does not begin with a hole's number").format(line=line.strip()),
                )
            ]
        )
    return int(digits), words


def _values(request: HttpRequest) -> dict[str, str]:
    return {name: str(text).strip() for name, text in request.POST.items()}


def _card(values: Mapping[str, str]) -> bodies.Scorecard:
    holes = grid.holes_of(values, 18)
    played = holes if any(len(hole) > 1 for hole in holes[9:]) else holes[:9]
    printed = {name: values[name] for name in PRINTED if values.get(name)}
    return inputs.checked(bodies.Scorecard, printed | {"holes": played, "ratings": grid.ratings_of(values)})
