"""The greens: their state, the coming days and the season for everybody; what work cost and the planner for staff."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from courses.calendars import services as days
from courses.calendars.models import Event
from courses.calendars.operations import FEED
from courses.greens.answers import GreenReading, green_readings, known_kinds, latest_note
from courses.greens.condition import CourseDay, coming_days, recovery_by_kind
from courses.greens.models import GreenWork, WorkStatus
from courses.layout.models import Course, TeeSet
from courses.layout.operations import COURSE, COURSE_READERS, GREEN_STAFF
from golfstats.doors.pages.base import ClubPage
from golfstats.doors.pages.pictures import intervals, season
from golfstats.doors.pages.screens.greens.today import greens_today, today_words
from golfstats.doors.pages.screens.greens.work import CAUTION, OfCourse, kind_choices, speeds_about
from golfstats.doors.pages.shown import ShownFigure, told
from golfstats.ground import inputs
from golfstats.ground.clock import week_began
from golfstats.ground.operations import Query
from golfstats.ground.words import dated
from players.conditions.answers.by_green import CostByGreen, cost_by_green
from players.conditions.answers.effects import CostOnCourse, EffectOfKind, PlaceboDate, cost_on
from players.conditions.answers.greens import (
    GreensBack,
    around_the_green,
    green_work_costs,
)
from players.conditions.answers.work_dates import GreenWorkPlan, PlannedDay, PlanQuery, plans
from players.golf.words import range_words
from players.pictures import green_subjects
from players.pictures.of_courses import MOST_WORK, events_about

SHOWN = 12


class GreensPage(ClubPage):
    def get(self, request: HttpRequest) -> HttpResponse:
        courses = list(COURSE.visible(self.asker).filter(provisional=False).order_by("name", "id"))
        if len(courses) == 1:
            return redirect(self.address("course-page", courses[0].id))
        return self.page("greens", {"states": greens_today(courses, self.today)})


@dataclass(frozen=True)
class Cost:
    """What green work cost so far, for staff."""

    rounds: int
    strokes: ShownFigure
    recovery: ShownFigure
    usual_recovery_days: float
    back: GreensBack


@dataclass(frozen=True)
class WorkLine:
    work: GreenWork
    words: str
    cost: Cost | None
    """Nothing for work still to come, and for who is not staff."""


@dataclass(frozen=True)
class CostOfKind:
    """What one kind of work costs here, drawn and in words."""

    words: str
    rounds: int
    windows: list[tuple[str, ShownFigure]]
    picture: SafeString
    placebo: bool
    """Whether the picture shows dates without work: they are asked of the usual work alone."""
    perhaps: str


@dataclass(frozen=True)
class GreenRow:
    """One green in the table of what work costs by green."""

    number: int
    strokes: ShownFigure
    beyond: ShownFigure
    perhaps: str


@dataclass(frozen=True)
class GreensShown:
    """What work costs by green: the answer, a picture where anything is known, the numbers."""

    words: str
    last_day: int
    picture: SafeString
    rows: list[GreenRow]


class CoursePage(OfCourse):
    def get(self, request: HttpRequest, course_id: UUID) -> HttpResponse:
        course = self.course(course_id)
        # Who may see a course may see all of these: to look for the course in each of them again takes longest.
        work = list(course.green_work.order_by("-starts_on", "-id")[:MOST_WORK])
        recovery = recovery_by_kind()
        (coming,) = coming_days([course], self.today, recovery=recovery)
        readings = course.green_readings.select_related("entered_by").order_by("-measured_at")[:SHOWN]
        shown_readings = green_readings(self.asker, list(readings))
        events = events_about(self.asker, course)
        cost = cost_on(course.id)
        context = {
            "course": course,
            "staff": self.staff,
            "today_words": today_words(coming[0]),
            "back_on": _back_on(coming),
            "coming": coming,
            "coming_picture": season.coming(
                green_subjects.coming(coming, events), {week_began(self.club, one.day) for one in coming}
            ),
            "season": self._season(work, events, recovery),
            "work": self._lines(work[:SHOWN]),
            "readings": shown_readings,
            "speeds": speeds_about(_last_speed(shown_readings)),
            "numbers": range(1, course.hole_count + 1),
            "events": [one for one in events if one.ends_on >= self.today],
            "note": latest_note(self.asker, course, self.today),
            "around": told(around_the_green(self.asker, [course], Query())[0].strokes_gained, signed=True),
            "cost_words": cost.words,
            "cost_last_day": cost.last_day,
            "kinds_cost": _costs(cost),
            "caution": gettext(CAUTION),
            "costs_of": _tees_with_holes(course) if self.member.role in COURSE_READERS else [],
        }
        if self.staff:
            (by_green,) = cost_by_green(self.asker, [course], Query())
            context |= {
                "plan": self._plan(request, course),
                "kinds": kind_choices(),
                "by_green": _greens_shown(by_green),
            }
        return self.page("course", context)

    def _season(
        self, work: Sequence[GreenWork], events: Sequence[Event], recovery: dict[str, float]
    ) -> SafeString:
        shown = [row for row in work if row.starts_on >= self.today - green_subjects.BEFORE]
        addresses = {row.id: self.address("edit-work", row.course_id, row.id) for row in shown if self.staff}
        return season.season(green_subjects.season(shown, events, recovery, self.today, addresses))

    def _lines(self, rows: Sequence[GreenWork]) -> list[WorkLine]:
        begun = [
            row
            for row in rows
            if self.staff and row.starts_on <= self.today and row.status != WorkStatus.CANCELLED
        ]
        costs = {
            one.work.id: Cost(
                one.rounds, told(one.strokes), told(one.recovery_days), one.usual_recovery_days, one.back
            )
            for one in green_work_costs(self.asker, begun, Query())
        }
        return [WorkLine(row, gettext(known_kinds()[row.kind].words), costs.get(row.id)) for row in rows]

    def _plan(self, request: HttpRequest, course: Course) -> dict[str, object]:
        """The planner's answer where it was asked; otherwise what its form starts with."""
        asked = {name: request.GET[name] for name in ("kind", "from", "to", "days") if request.GET.get(name)}
        start = self.today + timedelta(days=1)
        blank = {"kind": "coring_medium", "from": start.isoformat(), "days": "1"}
        blank["to"] = (start + timedelta(days=13)).isoformat()
        if not asked:
            return {"values": blank, "dates": None}
        (plan,) = plans(self.asker, [course], inputs.checked(PlanQuery, asked))
        return {"values": blank | asked, "dates": ranked(plan), "words": plan.words, "why": why(plan)}


def _tees_with_holes(course: Course) -> list[TeeSet]:
    return list(course.tee_sets.exclude(holes=None).distinct().order_by("name", "id"))


def ranked(plan: GreenWorkPlan) -> list[PlannedDay]:
    """The date that hurts least first: events met, then rounds weighed by disturbance, then the day."""
    return sorted(plan.dates, key=lambda one: (len(one.events), one.disturbed_rounds or 0.0, one.starts_on))


def why(plan: GreenWorkPlan) -> str:
    """The first of the ranked dates, and what speaks for it."""
    if not plan.dates:
        return ""
    best = ranked(plan)[0]
    met = (
        gettext("meets {events} all the same").format(events=", ".join(best.events))
        if best.events
        else gettext("meets no event")
    )
    start = dated(best.starts_on, "l j F")
    if best.expected_rounds is None:
        return gettext("{start}: it {met}. Too little golf is on record to count rounds.").format(
            start=start, met=met
        )
    others = [one.disturbed_rounds for one in plan.dates if one.disturbed_rounds is not None]
    worst = max(others, default=0.0)
    saved = worst - (best.disturbed_rounds or 0.0)
    more = (
        gettext(", {saved} fewer at full disturbance than on the worst date").format(saved=f"{saved:.0f}")
        if saved >= 1
        else ""
    )
    return gettext(
        "{start}: about {expected_rounds} rounds until the greens are back{more}, and it {met}."
    ).format(start=start, expected_rounds=f"{best.expected_rounds:.0f}", more=more, met=met)


def _costs(cost: CostOnCourse) -> list[CostOfKind]:
    # Those that are claimed first, then by how many rounds speak for them.
    kinds = sorted(cost.kinds, key=lambda kind: (not kind.claimed, not kind.known, -kind.rounds))
    return [_cost_of(kind, green_subjects.placebo_of(cost, kind)) for kind in kinds]


def _cost_of(kind: EffectOfKind, placebo: Sequence[PlaceboDate]) -> CostOfKind:
    return CostOfKind(
        words=kind.words,
        rounds=kind.rounds,
        windows=[
            (
                gettext("{first_day} to {last_day}").format(first_day=one.first_day, last_day=one.last_day),
                told(one.strokes, signed=True),
            )
            for one in kind.windows
        ],
        picture=season.recovery(green_subjects.recovery(kind, placebo)),
        placebo=bool(placebo),
        perhaps=range_words(kind.perhaps, decimals=1),
    )


def _greens_shown(costs: CostByGreen) -> GreensShown:
    known = [one for one in costs.results if one.strokes.value is not None]
    return GreensShown(
        words=costs.words,
        last_day=costs.last_day,
        picture=intervals.drawn(green_subjects.by_green(replace(costs, results=known or costs.results))),
        rows=[
            GreenRow(
                one.green,
                told(one.strokes),
                told(one.beyond_the_others, signed=True),
                range_words(one.perhaps, decimals=2),
            )
            for one in costs.results
        ],
    )


def _back_on(coming: Sequence[CourseDay]) -> date | None:
    """The first day on which nothing is felt; nothing where nothing is felt today."""
    if not coming[0].felt:
        return None
    return next((one.day for one in coming if one.mean < 0.005), None)


def _last_speed(readings: Sequence[GreenReading]) -> float | None:
    return next((one.speed_ft for one in readings if one.speed_ft and not one.doubtful), None)


class CalendarAddress(OfCourse):
    """An address that a phone's calendar subscribes to. It is secret, and told this once."""

    def get(self, request: HttpRequest, course_id: UUID) -> HttpResponse:
        course = self._staff_course(course_id)
        feeds = FEED.visible(self.asker).filter(course=course, revoked_at=None).order_by("-id")
        return self.page("calendar", {"course": course, "feeds": feeds})

    def post(self, request: HttpRequest, course_id: UUID) -> HttpResponse:
        course = self._staff_course(course_id)
        _, secret = days.open_feed(self.member, course)
        address = request.build_absolute_uri(reverse("calendar", args=[self.club.id, secret]))
        response = self.page("calendar", {"course": course, "opened": address})
        response["Cache-Control"] = "no-store"
        return response

    def _staff_course(self, course_id: UUID) -> Course:
        course = self.course(course_id)
        self.asker.needs(*GREEN_STAFF)
        return course


class RevokeCalendar(OfCourse):
    def post(self, request: HttpRequest, course_id: UUID, feed_id: UUID) -> HttpResponse:
        feed = FEED.one(self.asker, {"course_id": course_id, "feed_id": feed_id})
        self.asker.needs(*GREEN_STAFF)
        days.revoke_feed(feed)
        messages.success(request, gettext("That address no longer answers"))
        return redirect(self.address("calendar-page", course_id))
