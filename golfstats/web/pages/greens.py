"""The greens: their state and the coming days for everybody; for staff entering work, readings and events."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from courses import permissions, queries
from courses.inputs import EventBody, GreenReadingBody, GreenWorkBody
from courses.models import CalendarFeed, Course, CourseNote, Event, GreenReading, GreenWork, WorkStatus
from courses.output import reading_line
from courses.services import days, feeds, greens, readings
from golfstats.api import bodies
from golfstats.api.problems import Fault, invalid
from golfstats.calc.greens.disturbance import Work
from golfstats.calc.greens.work_types import work_types
from golfstats.web.base import ClubPage
from golfstats.web.form_page import FormPage
from golfstats.web.forms import Field
from golfstats.web.shown import ShownFigure, shown
from players.api.greens_cost import PlanQuery
from players.conditions import queries as conditions
from players.conditions.effect import stored_effect

KINDS = [(kind, one.words) for kind, one in work_types().items()]
STATUSES = [
    (status.value, status.value)
    for status in (WorkStatus.CONFIRMED, WorkStatus.TENTATIVE, WorkStatus.CANCELLED)
]
CAUTION = (
    "Chemicals: the product's label and your local codes come before anything noted here. Keep people off "
    "treated greens for as long as the label says, and wear what it asks for."
)
SHOWN = 12


class GreensPage(ClubPage):
    def get(self, request: HttpRequest) -> HttpResponse:
        courses = list(queries.courses().order_by("name", "id"))
        if len(courses) == 1:
            return redirect(self.address("course-page", courses[0].id))
        states = [(course, queries.condition_on(course, self.today)) for course in courses]
        return self.page("greens", {"states": states})


class _OfCourse(ClubPage):
    def course(self, course_id: UUID) -> Course:
        found = queries.courses().filter(id=course_id).first()
        if found is None:
            raise Http404
        return found

    @property
    def staff(self) -> bool:
        return self.member.role in permissions.GREEN_STAFF


@dataclass(frozen=True)
class Cost:
    """What green work cost so far, for staff."""

    rounds: int
    strokes: ShownFigure
    recovery: ShownFigure
    usual_recovery_days: float


@dataclass(frozen=True)
class WorkLine:
    work: GreenWork
    words: str
    cost: Cost | None
    """Nothing for work still to come, and for who is not staff."""


class CoursePage(_OfCourse):
    def get(self, request: HttpRequest, course_id: UUID) -> HttpResponse:
        course = self.course(course_id)
        work = list(queries.green_work(course.id).order_by("-starts_on", "-id")[:SHOWN])
        coming = queries.coming_days(course, self.today)
        context = {
            "course": course,
            "staff": self.staff,
            "coming": coming,
            "now": coming[0],
            "work": self._lines(work),
            "readings": [
                reading_line(row)
                for row in queries.green_readings(course.id).order_by("-measured_at")[:SHOWN]
            ],
            "events": queries.events(course.id).filter(ends_on__gte=self.today).order_by("starts_on"),
            "note": CourseNote.objects.filter(course=course, day__lte=self.today).order_by("-day").first(),
            "around": shown(
                conditions.around_the_green(course), unit=self.club.distance_unit, of="shot", signed=True
            ),
            "effect": self._effect(),
            "caution": CAUTION,
        }
        if self.staff:
            context |= {"plan": self._plan(request, course), "kinds": KINDS}
        return self.page("course", context)

    def _lines(self, rows: Sequence[GreenWork]) -> list[WorkLine]:
        begun = [
            row
            for row in rows
            if self.staff and row.starts_on <= self.today and row.status != WorkStatus.CANCELLED
        ]
        costs = {
            row.id: self._cost(cost)
            for row, cost in zip(begun, conditions.work_costs(begun, self.today), strict=True)
        }
        return [WorkLine(row, work_types()[row.kind].words, costs.get(row.id)) for row in rows]

    def _cost(self, cost: conditions.WorkCost) -> Cost:
        unit = self.club.distance_unit
        return Cost(
            cost.rounds,
            shown(cost.strokes, unit=unit, of="round"),
            shown(cost.recovery_days, unit=unit, of="round"),
            cost.usual_recovery_days,
        )

    def _effect(self) -> ShownFigure:
        return shown(stored_effect().greens.strokes_per_round(1.0), unit=self.club.distance_unit, of="round")

    def _plan(self, request: HttpRequest, course: Course) -> dict[str, Any]:
        """The planner's answer where it was asked; otherwise what its form starts with."""
        asked = {name: request.GET[name] for name in ("kind", "from", "to", "days") if request.GET.get(name)}
        start = self.today + timedelta(days=1)
        blank = {"kind": "coring_medium", "from": start.isoformat(), "days": "1"}
        blank["to"] = (start + timedelta(days=13)).isoformat()
        if not asked:
            return {"values": blank, "dates": None}
        query = bodies.checked(PlanQuery, asked)
        starts = [query.first + timedelta(days=ahead) for ahead in range((query.last - query.first).days + 1)]
        work = Work(query.kind, query.first.toordinal(), query.first.toordinal() + query.days - 1)
        planned = conditions.plan_dates(course, work, starts, self.today)
        lines = [(date.fromordinal(one.start), date.fromordinal(one.back), one) for one in planned]
        return {"values": blank | asked, "dates": lines, "words": work_types()[query.kind].words}


class _StaffForm(FormPage):
    course: Course

    def prepare(self, **places: Any) -> None:
        found = queries.courses().filter(id=places["course_id"]).first()
        if found is None:
            raise Http404
        permissions.require(self.member, permissions.GREEN_STAFF)
        self.course = found

    def back(self) -> str:
        return self.address("course-page", self.course.id)


WORK_FIELDS = (
    Field("kind", "Work", "select", options=KINDS, required=True),
    Field("starts_on", "First day", "date", required=True),
    Field("ends_on", "Last day", "date", "Left out: the same day"),
    Field("holes", "Greens", "numbers", "Numbers with spaces between; left out: all greens"),
    Field("tine_diameter_mm", "Tine diameter, mm", "number", step="any"),
    Field("spacing_along_mm", "Spacing along, mm", "number", step="any"),
    Field("spacing_across_mm", "Spacing across, mm", "number", step="any"),
    Field(
        "severity",
        "Disturbance just after",
        "number",
        "0 (none) to 1 (just cored), if you know better than the usual for this work",
        step="any",
    ),
    Field("temporary_greens", "Temporary greens are in play", "checkbox"),
    Field("status", "State", "select", options=STATUSES),
    Field("note", "Note", "textarea"),
)


class NewWork(_StaffForm):
    title = "Enter green work"
    done = "Green work saved"
    caution = CAUTION

    def fields(self) -> Sequence[Field]:
        return WORK_FIELDS

    def present(self) -> Mapping[str, Any]:
        return {"starts_on": self.today.isoformat(), "status": WorkStatus.CONFIRMED.value}

    def save(self, given: dict[str, Any]) -> None:
        greens.add_work(self.member, self.course, bodies.checked(GreenWorkBody, given))


class EditWork(_StaffForm):
    title = "Correct green work"
    done = "Green work corrected; notes and adjusted figures of the rounds in question follow"
    caution = CAUTION
    row: GreenWork

    def prepare(self, **places: Any) -> None:
        super().prepare(**places)
        self.row = work_row(self.course, places["work_id"])

    def fields(self) -> Sequence[Field]:
        return WORK_FIELDS

    def present(self) -> Mapping[str, Any]:
        return greens.as_fields(self.row)

    def save(self, given: dict[str, Any]) -> None:
        greens.change_work(self.member, self.row, bodies.checked(GreenWorkBody, given))


def work_row(course: Course, work_id: UUID) -> GreenWork:
    found = queries.green_work(course.id).select_for_update(of=("self",)).filter(id=work_id).first()
    if found is None:
        raise Http404
    return found


class DeleteWork(_OfCourse):
    """Asks first; the history of the work stays."""

    def _row(self, course_id: UUID, work_id: UUID) -> GreenWork:
        course = self.course(course_id)
        permissions.require(self.member, permissions.GREEN_STAFF)
        return work_row(course, work_id)

    def get(self, request: HttpRequest, course_id: UUID, work_id: UUID) -> HttpResponse:
        row = self._row(course_id, work_id)
        context = {
            "question": f"Take back {work_types()[row.kind].words} of {row.starts_on}?",
            "consequence": "Notes and adjusted figures of the rounds after it are written again. "
            "The history keeps what was entered.",
            "button": "Take it back",
            "back": self.address("course-page", course_id),
        }
        return self.page("confirm", context)

    def post(self, request: HttpRequest, course_id: UUID, work_id: UUID) -> HttpResponse:
        greens.delete_work(self.member, self._row(course_id, work_id))
        messages.success(request, "Green work taken back")
        return redirect(self.address("course-page", course_id))


class CalendarAddress(_OfCourse):
    """An address that a phone's calendar subscribes to. It is secret, and told this once."""

    def get(self, request: HttpRequest, course_id: UUID) -> HttpResponse:
        course = self._staff_course(course_id)
        rows = CalendarFeed.objects.filter(course=course, revoked_at=None).select_related("created_by")
        return self.page("calendar", {"course": course, "feeds": rows.order_by("-id")})

    def post(self, request: HttpRequest, course_id: UUID) -> HttpResponse:
        course = self._staff_course(course_id)
        _, secret = feeds.open_feed(self.member, course)
        address = request.build_absolute_uri(reverse("calendar", args=[self.club.id, secret]))
        response = self.page("calendar", {"course": course, "opened": address})
        response["Cache-Control"] = "no-store"
        return response

    def _staff_course(self, course_id: UUID) -> Course:
        course = self.course(course_id)
        permissions.require(self.member, permissions.GREEN_STAFF)
        return course


class RevokeCalendar(_OfCourse):
    def post(self, request: HttpRequest, course_id: UUID, feed_id: UUID) -> HttpResponse:
        self.course(course_id)
        permissions.require(self.member, permissions.GREEN_STAFF)
        feed = CalendarFeed.objects.filter(id=feed_id, course_id=course_id).first()
        if feed is None:
            raise Http404
        feeds.revoke_feed(feed)
        messages.success(request, "That address no longer answers")
        return redirect(self.address("calendar-page", course_id))


class NewReading(_StaffForm):
    title = "Enter a green reading"
    done = "Reading saved"

    def fields(self) -> Sequence[Field]:
        rolls = "Stimpmeter, feet: three balls with spaces between, or their mean"
        return (
            Field("measured_at", "Day and time", "datetime-local", required=True),
            Field("hole", "Green", "number", "Left out: the practice green", step="1"),
            Field("roll_one_way_ft", "Rolled one way", "numbers", rolls),
            Field("roll_other_way_ft", "Rolled back", "numbers", rolls),
            Field("firmness_g", "Firmness, g", "number", step="any"),
            Field("moisture_pct", "Moisture, %", "number", step="any"),
            Field("mowing_height_mm", "Mowing height, mm", "number", step="any"),
            Field("bobble_score", "Smoothness by eye", "number", "1 (rough) to 5 (smooth)", step="1"),
            Field("note", "Note", "textarea"),
        )

    def present(self) -> Mapping[str, Any]:
        now = datetime.now(ZoneInfo(self.club.time_zone))
        return {"measured_at": now.strftime("%Y-%m-%dT%H:%M")}

    def save(self, given: dict[str, Any]) -> None:
        if "measured_at" in given:
            given["measured_at"] = self._with_zone(given["measured_at"])
        readings.save_reading(
            self.member, self.course, GreenReading(), bodies.checked(GreenReadingBody, given)
        )

    def _with_zone(self, text: str) -> str:
        """The form gives the club's local time without saying so."""
        try:
            moment = datetime.fromisoformat(text)
        except ValueError:
            raise invalid([Fault("/measured_at", "not_a_time", "a day and a time")]) from None
        return (moment if moment.tzinfo else moment.replace(tzinfo=ZoneInfo(self.club.time_zone))).isoformat()


class NewEvent(_StaffForm):
    title = "Enter an event"
    done = "Event saved"

    def fields(self) -> Sequence[Field]:
        return (
            Field("name", "Name", required=True),
            Field("starts_on", "First day", "date", required=True),
            Field("ends_on", "Last day", "date", "Left out: the same day"),
            Field("competition", "A competition", "checkbox"),
        )

    def present(self) -> Mapping[str, Any]:
        return {"competition": True}

    def save(self, given: dict[str, Any]) -> None:
        days.save_event(self.course, Event(), bodies.checked(EventBody, given))
