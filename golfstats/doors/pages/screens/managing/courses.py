"""Courses, their tees as a grid of holes with ratings beneath, and days with a playing conditions figure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any
from uuid import UUID

from django import forms as django_forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from courses.layout import bodies
from courses.layout import services as layout
from courses.layout.answers import TeeSet as TeeTold
from courses.layout.answers import courses_in_full, playing_conditions, tee_heads
from courses.layout.models import Course, PartOfDay, PlayingConditions, TeeSet
from courses.layout.operations import COURSE, PLAYING_CONDITIONS, TEE
from golfstats.doors.pages.forms import Choice, Day, Given, Number, Words
from golfstats.doors.pages.screens import grid
from golfstats.doors.pages.screens.managing.base import AskedFirst, Button, ManagerForm, OfManager
from golfstats.ground import inputs
from golfstats.ground.faults import Fault, ProblemError, invalid
from golfstats.ground.operations import Query
from players.club.operations import MergedCourse
from players.club.services import merge_course


class Courses(ManagerForm):
    """Every course, and a form for one more."""

    title = noop("Add a course")
    button = noop("Add the course")
    done = noop("Course added; now its tees")
    template = "courses"
    added: Course | None = None

    def fields(self) -> Mapping[str, django_forms.Field]:
        return {
            "name": Words(gettext("Name")),
            "hole_count": Choice(gettext("Holes"), [("18", "18"), ("9", "9")]),
            "grass": Words(gettext("Grass of the greens"), required=False),
            "altitude": Number(gettext("Metres above the sea"), gettext("Balls fly farther in thinner air")),
        }

    def save(self, given: Given) -> None:
        given["hole_count"] = int(given["hole_count"])
        self.added = layout.add_course(inputs.checked(bodies.NewCourse, given))

    def back(self) -> str:
        if self.added is not None:
            return self.address("course-layout", self.added.id)
        return self.address("courses-page")

    def extra(self) -> dict[str, object]:
        courses = list(COURSE.visible(self.asker).order_by("name", "id"))
        return {"courses": courses_in_full(self.asker, courses, Query())}


class Layout(ManagerForm):
    """A course: its tees side by side, and a form for another."""

    title = noop("Add tees")
    button = noop("Add the tees")
    done = noop("Tees added: enter their holes")
    template = "course_layout"
    course: Course
    added: TeeSet | None = None

    def prepare(self, **places: Any) -> None:
        self.course = COURSE.one(self.asker, places)

    def fields(self) -> Mapping[str, django_forms.Field]:
        return {"name": Words(gettext("Name of the tees"), gettext("As golfers call them: yellow, forward"))}

    def save(self, given: Given) -> None:
        self.added = layout.add_tee_set(self.course, inputs.checked(bodies.TeeName, given).name)

    def back(self) -> str:
        if self.added is not None:
            return self.address("tee-grid", self.course.id, self.added.id)
        return self.address("courses-page")

    def extra(self) -> dict[str, object]:
        (layout,) = courses_in_full(self.asker, [self.course], Query())
        holes = range(1, self.course.hole_count + 1)
        by_tee = [{hole.number: hole for hole in tee.holes} for tee in layout.tees]
        rows = [(number, [of_tee.get(number) for of_tee in by_tee]) for number in holes]
        days = PLAYING_CONDITIONS.visible(self.asker).filter(course=self.course).order_by("-played_on")[:12]
        context = {"course": layout, "rows": rows, "days": playing_conditions(self.asker, list(days))}
        if self.course.provisional:
            club = COURSE.visible(self.asker).filter(provisional=False, hole_count=self.course.hole_count)
            context |= {"made_by": self.course.made_by, "others": club.order_by("name")}
        return context


class DeleteCourse(AskedFirst):
    question = noop("Remove {name}?")
    consequence = noop("Its tees, holes and green work go with it. A course that has rounds stays.")
    button = noop("Remove the course")
    done = noop("Course removed")

    def named(self, **places: Any) -> str:
        return COURSE.one(self.asker, places).name

    def act(self, **places: Any) -> None:
        layout.delete_course(COURSE.one(self.asker, places, to_change=True))

    def back(self, **places: Any) -> str:
        return self.address("courses-page")


class TakeIn(Button):
    done = noop("Now one of the club's courses")

    def act(self, **places: Any) -> None:
        course = COURSE.one(self.asker, places, to_change=True)
        layout.change_course(course, bodies.CourseChanges(provisional=False))

    def back(self, **places: Any) -> str:
        return self.address("course-layout", places["course_id"])


class MergeCourse(Button):
    done = noop("Merged: its rounds are analysed again")

    def act(self, **places: Any) -> None:
        course = COURSE.one(self.asker, places, to_change=True)
        given = inputs.checked(MergedCourse, {"into": self.request.POST.get("into", "")})
        merge_course(course, given.into, None)

    def back(self, **places: Any) -> str:
        return self.address("courses-page")


class DeleteTee(AskedFirst):
    question = noop("Remove the {name} tees?")
    consequence = noop("Their holes and ratings go with them. Tees that have rounds stay.")
    button = noop("Remove the tees")
    done = noop("Tees removed")

    def named(self, **places: Any) -> str:
        return TEE.one(self.asker, places).name

    def act(self, **places: Any) -> None:
        layout.delete_tee_set(TEE.one(self.asker, places, to_change=True))

    def back(self, **places: Any) -> str:
        return self.address("course-layout", places["course_id"])


class TeeGrid(OfManager):
    """Eighteen holes as a grid of fields, ratings beneath; saved together or not at all."""

    def get(self, request: HttpRequest, course_id: UUID, tee_id: UUID) -> HttpResponse:
        tee = TEE.one(self.asker, {"course_id": course_id, "tee_id": tee_id})
        (head,) = tee_heads(self.asker, [tee])
        source = head if head.holes else self._first_with_holes(tee)
        return self._page(tee, grid.values_of(head, source))

    def post(self, request: HttpRequest, course_id: UUID, tee_id: UUID) -> HttpResponse:
        tee = TEE.one(self.asker, {"course_id": course_id, "tee_id": tee_id}, to_change=True)
        values = {name: str(text).strip() for name, text in request.POST.items()}
        if values.get("pasted"):
            return self._page(tee, values | grid.pasted_values(values["pasted"], tee.course.hole_count))
        faults = self._saved(tee, values)
        if faults:
            return self._page(tee, values, faults)
        messages.success(request, gettext("Holes and ratings saved"))
        return redirect(self.address("course-layout", course_id))

    def _saved(self, tee: TeeSet, values: Mapping[str, str]) -> list[Fault]:
        """Saves holes and ratings; gives the faults of both where there are any, and then saves neither."""
        faults: list[Fault] = []
        try:
            holes = inputs.checked(bodies.HolesBody, {"holes": grid.holes_of(values, tee.course.hole_count)})
            ratings = inputs.checked(bodies.RatingsBody, {"ratings": grid.ratings_of(values)})
            layout.set_holes(self.club.distance_unit, tee, holes.holes)
            layout.set_ratings(tee, ratings.ratings)
        except ProblemError as problem:
            faults = list(problem.faults)
        return faults

    def _first_with_holes(self, tee: TeeSet) -> TeeTold | None:
        """Pars and indexes are usually those of the other tees; lengths are not."""
        (course,) = courses_in_full(self.asker, [tee.course], Query())
        return next((one for one in course.tees if one.holes), None)

    def _page(self, tee: TeeSet, values: Mapping[str, str], faults: Sequence[Fault] = ()) -> HttpResponse:
        context = {
            "tee": tee,
            "course": tee.course,
            "unit": self.club.distance_unit,
        }
        context |= grid.shown(tee.course.hole_count, values, faults)
        return self.page("tee_grid", context, status=422 if faults else 200)


class NewPcc(ManagerForm):
    """Playing conditions of a day: the figure comes from whoever issues it."""

    title = noop("Enter a playing conditions calculation")
    done = noop("Saved; the differentials of that day are computed again")
    course: Course

    def prepare(self, **places: Any) -> None:
        self.course = COURSE.one(self.asker, places)

    def fields(self) -> Mapping[str, django_forms.Field]:
        return {
            "played_on": Day(gettext("Day")),
            "part_of_day": Choice(
                gettext("Part of the day"), [(part.value, gettext(part.value)) for part in PartOfDay]
            ),
            "pcc": Number(gettext("Figure"), gettext("−1 to 3"), required=True, whole=True),
            "origin": Words(gettext("Who issued it")),
        }

    def present(self) -> Mapping[str, Any]:
        return {"played_on": self.today.isoformat()}

    def save(self, given: Given) -> None:
        body = inputs.checked(bodies.PlayingConditionsBody, given)
        try:
            layout.save_playing_conditions(self.member, self.course, PlayingConditions(), body)
        except ProblemError as problem:
            if problem.kind != "entered-already":
                raise
            raise invalid([Fault("/played_on", "entered_already", problem.title)]) from None

    def back(self) -> str:
        return self.address("course-layout", self.course.id)


class DeletePcc(Button):
    done = noop("Removed; the differentials of that day are computed again")

    def act(self, **places: Any) -> None:
        layout.delete_playing_conditions(PLAYING_CONDITIONS.one(self.asker, places, to_change=True))

    def back(self, **places: Any) -> str:
        return self.address("course-layout", places["course_id"])
