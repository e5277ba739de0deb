"""Calendars: secret addresses to subscribe to, the file behind them, and taking over planned work."""

from __future__ import annotations

import hashlib
from datetime import timedelta
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.cache import get_conditional_response
from django.views import View
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, extend_schema
from rest_framework import status
from rest_framework.parsers import BaseParser
from rest_framework.request import Request
from rest_framework.response import Response

from courses import output, permissions, queries
from courses.api import examples
from courses.api.base import CourseView, found
from courses.calendars.kinds import ANYTHING
from courses.calendars.reading import MAX_BYTES, PlannedWork, read_calendar
from courses.calendars.writing import write_calendar
from courses.models import CalendarFeed, GreenWork
from courses.services import calendar_import, feeds, greens
from courses.services.calendar_import import ImportPlan
from golfstats.api import bodies, problems
from golfstats.api.filters import refuse_unknown
from golfstats.api.problems import Fault, ProblemError, invalid
from golfstats.calc.greens.work_types import work_types
from golfstats.clubs.scope import club_scope

CALENDAR = "text/calendar"
PAST_DAYS = 400
"""A calendar shows the work of the last year and all that is planned."""


class CalendarParser(BaseParser):
    """Lets ``text/calendar`` through; the handler reads the raw bytes."""

    media_type = CALENDAR

    def parse(self, stream: Any, media_type: str | None = None, parser_context: Any = None) -> Any:
        return stream.read()


class FeedList(CourseView):
    @extend_schema(
        operation_id="list_calendar_feeds",
        summary="Calendar addresses handed out, without their secrets (greenkeepers and managers)",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Feeds", value={"results": [examples.FEED]})],
    )
    def get(self, request: Request, course_id: UUID) -> Response:
        refuse_unknown(request)
        course = self.course(course_id)
        permissions.require(self.member, permissions.GREEN_STAFF)
        rows = CalendarFeed.objects.filter(course=course).select_related("created_by").order_by("-id")
        return Response({"results": [output.feed_line(row) for row in rows]})

    @extend_schema(
        operation_id="open_calendar_feed",
        summary="A new secret address of the course's calendar, told this once (greenkeepers and managers)",
        request=None,
        responses={201: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample("Opened", value=examples.FEED_ADDRESS, response_only=True, status_codes=["201"])
        ],
    )
    def post(self, request: Request, course_id: UUID) -> Response:
        course = self.course(course_id)
        permissions.require(self.member, permissions.GREEN_STAFF)
        feed, secret = feeds.open_feed(self.member, course)
        address = request.build_absolute_uri(reverse("calendar", args=[self.club.id, secret]))
        return Response(output.feed_line(feed) | {"address": address}, status.HTTP_201_CREATED)


class FeedDetail(CourseView):
    @extend_schema(
        operation_id="revoke_calendar_feed",
        summary="Revoke a calendar address: from now on it answers 404 (greenkeepers and managers)",
        responses={204: None},
        examples=[OpenApiExample("Revoked", value=None, response_only=True)],
    )
    def delete(self, request: Request, course_id: UUID, feed_id: UUID) -> Response:
        feed = found(CalendarFeed.objects.filter(id=feed_id, course_id=course_id), "No calendar")
        permissions.require(self.member, permissions.GREEN_STAFF)
        feeds.revoke_feed(feed)
        return Response(status=status.HTTP_204_NO_CONTENT)


class CalendarFile(View):
    """A course's calendar for whoever knows the address: no sign-in, as calendar programs have none."""

    http_method_names = ["get", "head", "options"]

    def get(self, request: HttpRequest, club_id: UUID, secret: str) -> HttpResponse:
        with club_scope(club_id):
            feed = feeds.feed_of_secret(secret)
            if feed is None:
                return _no_calendar(request)
            since = timezone.now().date() - timedelta(days=PAST_DAYS)
            works = queries.green_work(feed.course_id).filter(ends_on__gte=since).order_by("starts_on", "id")
            content = write_calendar(feed.course, works)
        tag = f'"{hashlib.sha256(content).hexdigest()[:32]}"'
        response = HttpResponse(content, content_type=f"{CALENDAR}; charset=utf-8", headers={"ETag": tag})
        response.headers["Cache-Control"] = "private, max-age=900"
        response.headers["Content-Disposition"] = 'inline; filename="green-work.ics"'
        return get_conditional_response(request, etag=tag, response=response) or response


def _no_calendar(request: HttpRequest) -> HttpResponse:
    problem = problems.not_found("No calendar")
    body = problem.as_dict() | {"instance": request.path.rsplit("/", 1)[0]}
    return JsonResponse(body, status=problem.status, content_type=problems.CONTENT_TYPE)


class GreenWorkImport(CourseView):
    parser_classes = [CalendarParser]

    @extend_schema(
        operation_id="import_green_work",
        summary="Take over planned work from an iCalendar file; with preview=true nothing is saved (staff)",
        description=(
            "Events are matched by UID: new ones are entered, known ones changed. The kind of work comes from "
            "CATEGORIES, then SUMMARY; `map=word:kind` (repeatable, `*` for anything else) says what our list "
            "does not know. Repeating events are refused: enter each date."
        ),
        parameters=[
            OpenApiParameter("preview", OpenApiTypes.BOOL),
            OpenApiParameter("map", OpenApiTypes.STR, many=True, description="word:kind"),
        ],
        request={CALENDAR: OpenApiTypes.STR},
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample(
                "A file",
                value="BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//club//EN\r\nBEGIN:VEVENT\r\nUID:work-1@club.example"
                "\r\nDTSTART;VALUE=DATE:20260824\r\nDTEND;VALUE=DATE:20260826\r\nSUMMARY:Hollow tine greens\r\n"
                "END:VEVENT\r\nEND:VCALENDAR\r\n",
                request_only=True,
                media_type=CALENDAR,
            ),
            OpenApiExample("Preview", value=examples.IMPORT, response_only=True),
        ],
    )
    def post(self, request: Request, course_id: UUID) -> Response:
        course = self.course(course_id)
        permissions.require(self.member, permissions.GREEN_STAFF)
        preview, mapping = _import_query(request)
        if (request.content_type or "").split(";")[0].strip().lower() != CALENDAR:
            raise ProblemError(
                "unsupported-media-type", f"Send {CALENDAR}", status.HTTP_415_UNSUPPORTED_MEDIA_TYPE
            )
        body = bodies.raw_body(request, MAX_BYTES)
        plan = calendar_import.plan_import(course, read_calendar(body, self.club.time_zone, mapping))
        answer = _plan_lines(plan)
        if not preview:
            calendar_import.carry_out(self.member, course, plan)
        return Response({"saved": not preview} | answer)


def _import_query(request: Request) -> tuple[bool, dict[str, str]]:
    known = {"preview", "map"}
    faults = [
        Fault(f"/{name}", "unknown_parameter", "known are: map, preview")
        for name in sorted(set(request.query_params) - known)
    ]
    preview = request.query_params.get("preview", "false").lower()
    if preview not in ("true", "false"):
        faults.append(Fault("/preview", "invalid", "true or false"))
    mapping = {}
    for entry in request.query_params.getlist("map"):
        word, _, kind = entry.rpartition(":")
        if not word.strip() or kind not in work_types():
            detail = (
                f"{entry[:80]!r} is not word:kind; word may be {ANYTHING}; kinds: {', '.join(work_types())}"
            )
            faults.append(Fault("/map", "unknown_kind", detail))
        mapping[word.strip().lower()] = kind
    if faults:
        raise invalid(faults, "The query string is not valid")
    return preview == "true", mapping


def _plan_lines(plan: ImportPlan) -> dict[str, Any]:
    return {
        "new": [
            {
                "uid": one.uid,
                "summary": one.summary,
                "kind": wanted.kind,
                "starts_on": wanted.starts_on,
                "ends_on": wanted.last_day,
                "holes": wanted.holes,
                "status": wanted.status,
            }
            for one, wanted in plan.new
        ],
        "changed": [_change_lines(row, wanted.model_dump(mode="json")) for row, wanted in plan.changed],
        "unchanged": len(plan.unchanged),
        "unknown": [_unknown_line(one) for one in plan.unknown],
    }


def _change_lines(row: GreenWork, wanted: dict[str, Any]) -> dict[str, Any]:
    """What of a known piece of work would be other than it is."""
    before = greens.as_fields(row)
    changed = [name for name, value in wanted.items() if before[name] != value]
    return {
        "uid": row.uid,
        "id": row.id,
        "before": {name: before[name] for name in changed},
        "after": {name: wanted[name] for name in changed},
    }


def _unknown_line(one: PlannedWork) -> dict[str, Any]:
    return {"uid": one.uid, "summary": one.summary, "categories": list(one.categories)}
