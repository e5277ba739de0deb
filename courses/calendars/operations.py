"""What may be asked and changed of events and calendars."""

from __future__ import annotations

from typing import Annotated, Any

from django.urls import reverse
from pydantic import AfterValidator, Field

from courses.calendars import answers, importing, services
from courses.calendars.announcing import CALENDAR_EVENT_CHANGED, CALENDAR_EVENT_DELETED
from courses.calendars.models import CalendarFeed, Event
from courses.calendars.reading import ANYTHING, MAX_BYTES, read_calendar
from courses.greens.announcing import GREEN_WORK_ANNOUNCED, GREEN_WORK_CHANGED
from courses.greens.answers import words_for_kinds
from courses.layout.models import Course
from courses.layout.operations import COURSE, GREEN_STAFF, OF_A_COURSE
from courses.layout.permissions import visible_courses
from golfstats.ground.input_words import input_fault
from golfstats.ground.inputs import Day
from golfstats.ground.operations import Asker, Change, Gathering, Operation, Query, Subject
from golfstats.ground.resources import Writes, resource
from golfstats.ground.stretches import Column
from golfstats.sentences import Sentence

EVENT = Subject(
    word="event",
    parameter="event_id",
    above=OF_A_COURSE,
    model=Event,
    visible=lambda asker: Event.objects.filter(course__in=visible_courses(asker.member)).select_related(
        "course"
    ),
    head=answers.Event,
    heads=answers.events,
)
FEED = Subject(
    word="calendar",
    parameter="feed_id",
    above=OF_A_COURSE,
    model=CalendarFeed,
    visible=lambda asker: CalendarFeed.objects.filter(
        course__in=visible_courses(asker.member)
    ).select_related("created_by"),
    head=answers.CalendarFeed,
    heads=lambda _, rows: [answers.feed(row) for row in rows],
)


class EventQuery(Query):
    since: Annotated[Day | None, Column("ends_on__gte")] = Field(None, alias="from")
    """First day."""
    until: Annotated[Day | None, Column("starts_on__lte")] = Field(None, alias="to")
    """Last day."""


def _word_and_kind(entry: str) -> str:
    word, _, kind = entry.rpartition(":")
    if not word.strip() or kind not in words_for_kinds():
        raise input_fault(
            "unknown_kind",
            Sentence(
                "{entry} is not word:kind; word may be {anything}; kinds: {kinds}",
                entry=repr(entry[:80]),
                anything=ANYTHING,
                kinds=", ".join(words_for_kinds()),
            ),
        )
    return entry


class ImportQuery(Query):
    preview: bool = False
    """Look at the file and save nothing."""
    map: list[Annotated[str, AfterValidator(_word_and_kind)]] = Field(
        [], description=f"word:kind, repeatable; the word {ANYTHING} is anything else"
    )

    @property
    def kinds(self) -> dict[str, str]:
        """Kind of work by word, in lower case."""
        pairs = (entry.rpartition(":") for entry in self.map)
        return {word.strip().lower(): kind for word, _, kind in pairs}


def _add_event(_: Asker, course: Course, given: services.EventBody) -> Event:
    return services.save_event(course, Event(), given)


def _change_event(_: Asker, event: Event, given: services.EventBody) -> Event:
    return services.save_event(event.course, event, given)


def _delete_event(_: Asker, event: Event) -> None:
    services.delete_event(event)


def _open_feed(asker: Asker, course: Course) -> answers.OpenedFeed:
    feed, secret = services.open_feed(asker.member, course)
    path = reverse("calendar", args=[asker.club.id, secret])
    return answers.OpenedFeed(**vars(answers.feed(feed)), address=asker.site.rstrip("/") + path)


def _revoke_feed(_: Asker, feed: CalendarFeed) -> None:
    services.revoke_feed(feed)


def _import(asker: Asker, course: Course, file: bytes, query: ImportQuery) -> answers.CalendarImport:
    planned = read_calendar(file, asker.club.time_zone, query.kinds)
    plan = importing.plan_import(course, planned)
    outcome = answers.calendar_import(plan, saved=not query.preview)
    if not query.preview:
        importing.carry_out(asker.member, course, plan)
    return outcome


FEEDS: dict[str, Any] = {
    "name": "calendar-feeds",
    "path": "courses/<uuid:course_id>/calendar-feeds",
    "about": COURSE,
    "roles": GREEN_STAFF,
}

OPERATIONS: list[Operation] = [
    *resource(
        EVENT,
        plural="events",
        path="courses/<uuid:course_id>/events",
        about=COURSE,
        parent="course_id",
        order=("-starts_on", "-id"),
        query=EventQuery,
        roles=GREEN_STAFF,
        present=lambda event: {name: getattr(event, name) for name in services.EventBody.model_fields},
        lists="Competitions and other dates of a course, latest first",
        reads="A date of a course",
        add=Writes(
            "A new event (greenkeepers and managers)",
            _add_event,
            services.EventBody,
            sends=(CALENDAR_EVENT_CHANGED,),
        ),
        change=Writes(
            "Change an event (greenkeepers and managers)",
            _change_event,
            services.EventBody,
            sends=(CALENDAR_EVENT_CHANGED,),
        ),
        delete=Writes(
            "Delete an event (greenkeepers and managers)", _delete_event, sends=(CALENDAR_EVENT_DELETED,)
        ),
    ),
    Gathering(
        **FEEDS,
        id="list_calendar_feeds",
        summary="Calendar addresses handed out, without their secrets (greenkeepers and managers)",
        line=answers.CalendarFeed,
        gather=answers.feeds,
    ),
    Change(
        **FEEDS,
        id="open_calendar_feed",
        field="open_calendar_feed",
        verb="POST",
        summary="A new secret address of the course's calendar, told this once (greenkeepers and managers)",
        gives=answers.OpenedFeed,
        do=_open_feed,
    ),
    Change(
        name="calendar-feed",
        id="revoke_calendar_feed",
        path="courses/<uuid:course_id>/calendar-feeds/<uuid:feed_id>",
        field="revoke_calendar_feed",
        verb="DELETE",
        about=FEED,
        roles=GREEN_STAFF,
        summary="Revoke a calendar address: from now on it answers 404 (greenkeepers and managers)",
        do=_revoke_feed,
    ),
    Change(
        name="green-work-import",
        id="import_green_work",
        path="courses/<uuid:course_id>/green-work/import",
        verb="POST",
        about=COURSE,
        roles=GREEN_STAFF,
        summary="Take over planned work from an iCalendar file; with preview=true nothing is saved (staff)",
        description=(
            "Events are matched by UID: new ones are entered, known ones changed. The kind of work comes from "
            "CATEGORIES, then SUMMARY; `map=word:kind` (repeatable, `*` for anything else) says what our list "
            "does not know. Repeating events are refused: enter each date."
        ),
        query=ImportQuery,
        accepts={"text/calendar": lambda file, _: file},
        limit=MAX_BYTES,
        status=200,
        gives=answers.CalendarImport,
        sends=(GREEN_WORK_ANNOUNCED, GREEN_WORK_CHANGED),
        do=_import,
    ),
]
