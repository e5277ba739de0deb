"""A course's calendar for whoever knows its secret address: calendar programs have no sign-in."""

from __future__ import annotations

import hashlib
from uuid import UUID

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils.cache import get_conditional_response
from django.views import View

from courses.calendars.writing import calendar_behind
from golfstats.doors.rest import problems
from golfstats.ground.faults import not_found
from golfstats.ground.walls.scope import club_scope


class CalendarFile(View):
    http_method_names = ["get", "head", "options"]

    def get(self, request: HttpRequest, club_id: UUID, secret: str) -> HttpResponse:
        with club_scope(club_id):
            content = calendar_behind(secret)
        if content is None:
            return _no_calendar(request)
        tag = f'"{hashlib.sha256(content).hexdigest()[:32]}"'
        response = HttpResponse(content, content_type="text/calendar; charset=utf-8", headers={"ETag": tag})
        response.headers["Cache-Control"] = "private, max-age=900"
        response.headers["Content-Disposition"] = 'inline; filename="green-work.ics"'
        return get_conditional_response(request, etag=tag, response=response) or response


def _no_calendar(request: HttpRequest) -> HttpResponse:
    problem = not_found("No calendar")
    body = problems.body_of(problem) | {"instance": request.path.rsplit("/", 1)[0]}
    return JsonResponse(body, status=problems.status_of(problem), content_type=problems.CONTENT_TYPE)
