"""What HTTP promises of every address, whatever serves it: HEAD, OPTIONS, tags, and how often one may ask."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from typing import Any

from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.http.response import HttpResponseBase
from django.utils.http import http_date, parse_etags

from golfstats.doors.rest.http.throttles import rate_headers
from golfstats.doors.rest.http.versions import digest
from golfstats.ground.deprecation import Deprecation

MERGE_PATCH = "application/merge-patch+json"
FOR_PROGRAMS = ("/api/", "/graphql")
Answering = Callable[[HttpRequest], HttpResponse]


class Methods:
    """HEAD is GET without the body (RFC 9110, 9.3.2); OPTIONS tells what there is, and needs no sign-in (9.3.7)."""

    def __init__(self, get_response: Answering) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        if request.method != "HEAD":
            return self.get_response(request)
        request.method = "GET"  # whatever the view does for GET, down to the last header
        response = self.get_response(request)
        request.method = "HEAD"
        return _without_body(response)

    def process_view(self, request: HttpRequest, view: Any, places: Any, names: Any) -> HttpResponse | None:
        del places, names
        described = getattr(view, "cls", None) or getattr(view, "view_class", None)
        if request.method != "OPTIONS" or described is None:
            return None
        headers = {"Allow": ", ".join(_methods(described))}
        if hasattr(described, "patch") and request.path.startswith(FOR_PROGRAMS):
            headers["Accept-Patch"] = f"application/json, {MERGE_PATCH}"
        return HttpResponse(status=204, headers=headers)


class Tags:
    """A tag for each answer to a read, made from its bytes; 304 where the client has these already (RFC 9110, 13).

    A row's own version stays the first part of the tag: ``If-Match`` goes by that part alone.
    """

    def __init__(self, get_response: Answering) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        # The words are English whatever is asked for (so there is no Vary); programs go by codes.
        response.headers.setdefault("Content-Language", "en")
        for name, text in rate_headers(request).items():
            response.headers[name] = text
        if not _may_be_kept(request, response):
            return response
        version = response.headers.get("ETag", "").strip('"')
        of_content = digest(response.content)
        tag = f'"{version}.{of_content}"' if version else f'"{of_content}"'
        response.headers["ETag"] = tag
        return _not_modified(response) if _is_known(request, tag) else response


def _is_known(request: HttpRequest, tag: str) -> bool:
    """Compared weakly: compressing an answer made its tag weak."""
    known = [one.removeprefix("W/") for one in parse_etags(request.headers.get("If-None-Match", ""))]
    return "*" in known or tag in known


def _not_modified(response: HttpResponse) -> HttpResponse:
    left_out = ("content-type", "content-length", "content-language")
    headers = {name: text for name, text in response.items() if name.lower() not in left_out}
    return HttpResponse(status=304, headers=headers)


def _may_be_kept(request: HttpRequest, response: HttpResponse) -> bool:
    return (
        request.method == "GET"
        and response.status_code == 200
        and not response.streaming
        and "no-store" not in response.headers.get("Cache-Control", "")
        and not request.path.startswith("/calendar/")  # has a tag of its own
    )


def _methods(view: type) -> Iterator[str]:
    for name in ("get", "post", "put", "patch", "delete"):
        if hasattr(view, name) and name in getattr(view, "http_method_names", ()):
            yield from ("GET", "HEAD") if name == "get" else (name.upper(),)
    yield "OPTIONS"


def _without_body(response: HttpResponseBase) -> HttpResponseBase:
    """Its length is told only where it is that of the answer to GET."""
    if isinstance(response, StreamingHttpResponse):
        response.streaming_content = []  # the rows behind it are never asked for
        return response
    if isinstance(response, HttpResponse):
        length = len(response.content)
        response.content = b""
        response.headers["Content-Length"] = str(length)
    return response


def farewell(deprecation: Deprecation, site: str) -> dict[str, str]:
    """The headers of an answer that will not be given much longer (RFC 9745, RFC 8594)."""
    since, until = (
        int(datetime(day.year, day.month, day.day, tzinfo=UTC).timestamp())
        for day in (deprecation.since, deprecation.until)
    )
    return {
        "Deprecation": f"@{since}",
        "Sunset": http_date(until),
        "Link": f'<{site}api/v1/reference#{deprecation.instead}>; rel="deprecation"',
    }


def links_of(answer: Any) -> dict[str, str]:
    """Of an answer that comes in pages of its own."""
    pages = {"next": getattr(answer, "next", None), "prev": getattr(answer, "previous", None)}
    links = [f'<{address}>; rel="{name}"' for name, address in pages.items() if isinstance(address, str)]
    return {"Link": ", ".join(links)} if links else {}
