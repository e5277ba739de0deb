"""Pages may be asked for as often as endpoints: one count for both."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.template import loader

from golfstats.doors.rest.http.throttles import rate, wait, within_rate
from golfstats.doors.rest.problems import FOR_PROGRAMS

COUNTED_ELSEWHERE = (*FOR_PROGRAMS, "/health", "/metrics")


class PageThrottle:
    """Endpoints count for themselves, once it is known whose token it is."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.path.startswith(COUNTED_ELSEWHERE) or within_rate(request):
            return self.get_response(request)
        return too_often(wait(rate()[1]))


def too_often(seconds: float) -> HttpResponse:
    page = loader.render_to_string("429.html", {"seconds": int(seconds) + 1})
    return HttpResponse(page, status=429, headers={"Retry-After": str(int(seconds) + 1)})
