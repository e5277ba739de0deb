"""Problem details (RFC 9457): every error of the API in one shape, naming each fault and its place."""

from __future__ import annotations

import logging
import sys
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from django.conf import settings
from django.core.exceptions import PermissionDenied, RequestDataTooBig
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.template import loader
from django.utils import translation
from django.utils.encoding import escape_uri_path
from django.views import defaults
from rest_framework import exceptions, status
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import set_rollback

from golfstats.doors.rest.renderers import JSONRenderer
from golfstats.ground.faults import Fault, ProblemError, Refusal, invalid, not_found
from golfstats.ground.logs import request_id
from golfstats.ground.postgres.trouble import RETRY_AFTER_SECONDS, is_outage
from golfstats.ground.words import in_english, spoken
from golfstats.sentences import Sentence

log = logging.getLogger(__name__)

CONTENT_TYPE = "application/problem+json"
FOR_PROGRAMS = ("/api/", "/graphql")
"""Addresses whose errors are problem details; elsewhere they are pages."""


STATUS: Mapping[Refusal, int] = {
    Refusal.UNCLEAR: status.HTTP_400_BAD_REQUEST,
    Refusal.NOT_SIGNED_IN: status.HTTP_401_UNAUTHORIZED,
    Refusal.NOT_ALLOWED: status.HTTP_403_FORBIDDEN,
    Refusal.NOT_FOUND: status.HTTP_404_NOT_FOUND,
    Refusal.GONE: status.HTTP_410_GONE,
    Refusal.CONFLICT: status.HTTP_409_CONFLICT,
    Refusal.CHANGED: status.HTTP_412_PRECONDITION_FAILED,
    Refusal.UNCONDITIONAL: status.HTTP_428_PRECONDITION_REQUIRED,
    Refusal.TOO_LARGE: status.HTTP_413_REQUEST_ENTITY_TOO_LARGE,
    Refusal.UNSUPPORTED: status.HTTP_415_UNSUPPORTED_MEDIA_TYPE,
    Refusal.INVALID: status.HTTP_422_UNPROCESSABLE_ENTITY,
    Refusal.TOO_OFTEN: status.HTTP_429_TOO_MANY_REQUESTS,
    Refusal.UNAVAILABLE: status.HTTP_503_SERVICE_UNAVAILABLE,
    Refusal.OURS: status.HTTP_500_INTERNAL_SERVER_ERROR,
}


def status_of(problem: ProblemError) -> int:
    """The HTTP status that says this refusal."""
    return STATUS[problem.because]


def body_of(problem: ProblemError) -> dict[str, object]:
    """The members of problem details, without the instance."""
    body: dict[str, object] = {
        "type": f"/problems/{problem.kind}",
        "title": spoken(problem.title),
        "status": status_of(problem),
        "request_id": request_id.get(),
    }
    if problem.detail:
        body["detail"] = spoken(problem.detail)
    if problem.faults:
        body["errors"] = [{**fault.as_dict(), "detail": spoken(fault.detail)} for fault in problem.faults]
    return body | dict(problem.extra)


def exception_handler(exc: Exception, context: Mapping[str, Any]) -> Response | None:
    """Django REST framework's hook: any foreseen exception becomes a problem; others stay a 500."""
    request = context["request"]
    problem = _as_problem(exc)
    with _language_of(request) as spoken_in:
        if problem is not None:
            body, status_code = body_of(problem), status_of(problem)
            headers = spoken_in | dict(problem.headers)
        elif isinstance(exc, exceptions.APIException):
            body, status_code, of_library = _of_api_exception(exc)
            headers = spoken_in | of_library
        else:
            return None
    set_rollback()
    # A browser gets the same words as a page of the browsable API.
    renderer = getattr(request, "accepted_renderer", None)
    if renderer is not None and renderer.format not in {"json", "api"}:
        # Neither a table nor a picture can say what is wrong.
        request.accepted_renderer = renderer = JSONRenderer()
        request.accepted_media_type = renderer.media_type
    content_type = CONTENT_TYPE if renderer is None or renderer.format == "json" else None
    body |= {"instance": escape_uri_path(request.path)}
    return Response(body, status=status_code, headers=headers, content_type=content_type)


@contextmanager
def _language_of(request: Request | HttpRequest) -> Iterator[dict[str, str]]:
    """Within this, English is spoken to programs, and to scripts of our pages the language of their page.

    They alone are signed in by a session, and name that language as the one they accept. Gives the headers that say so.
    """
    # Not asked of the request: that would try to sign in again, and may be what was just refused.
    if "Authorization" in request.headers or settings.SESSION_COOKIE_NAME not in request.COOKIES:
        yield {}
        return
    language = translation.get_language_from_request(request)
    with translation.override(language):
        yield {"Content-Language": language, "Vary": "Accept-Language, Cookie"}


def no_such_address(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Django's ``handler404``: a problem below /api/, a page elsewhere."""
    if not request.path.startswith(FOR_PROGRAMS):
        return defaults.page_not_found(request, exception)
    return _answer(request, not_found())


def server_error(request: HttpRequest) -> HttpResponse:
    """Django's ``handler500``: tells a request id and nothing else; the log has the same id by the traceback.

    A database that is down, or that others keep busy with the same rows, is a 503: nothing is wrong with the request.
    """
    error = sys.exc_info()[1]  # Django calls this while it handles the exception
    if is_outage(error):
        return unavailable(request)
    if not request.path.startswith(FOR_PROGRAMS):
        return defaults.server_error(request)
    log.error("request %s failed: %s %s", request_id.get(), request.method, request.path, exc_info=error)
    detail = Sentence("The fault is ours. If you tell us of it, name the request id.")
    problem = ProblemError("internal-error", Sentence("Something went wrong here"), Refusal.OURS, detail)
    return _answer(request, problem)


def unavailable(request: HttpRequest) -> HttpResponse:
    """503, in the words of whichever door was asked, with the seconds after which to ask again."""
    wait = {"Retry-After": str(RETRY_AFTER_SECONDS)}
    if not request.path.startswith(FOR_PROGRAMS):
        # A template that needs nothing: no session, no club, no context.
        page = loader.render_to_string("503.html")
        return HttpResponse(page, status=status.HTTP_503_SERVICE_UNAVAILABLE, headers=wait)
    detail = Sentence("Nothing was saved. Ask again in a moment.")
    problem = ProblemError(
        "unavailable",
        Sentence("A part of the service is down"),
        Refusal.UNAVAILABLE,
        detail,
        headers=wait,
    )
    return _answer(request, problem)


def _answer(request: HttpRequest, problem: ProblemError) -> HttpResponse:
    """A problem outside Django REST framework."""
    with _language_of(request) as headers:
        body = body_of(problem) | {"instance": escape_uri_path(request.path)}
    return JsonResponse(
        body, status=status_of(problem), content_type=CONTENT_TYPE, headers=headers | dict(problem.headers)
    )


def _as_problem(exc: Exception) -> ProblemError | None:
    if isinstance(exc, ProblemError):
        return exc
    if isinstance(exc, Http404):
        return not_found()
    if isinstance(exc, PermissionDenied):
        title = Sentence("You do not have permission to do this")
        return ProblemError("permission-denied", title, Refusal.NOT_ALLOWED)
    if isinstance(exc, RequestDataTooBig):
        return ProblemError("too-large", Sentence("The body is too large"), Refusal.TOO_LARGE)
    if isinstance(exc, exceptions.ValidationError):
        return invalid(_faults_of(exc.detail))
    return None


def _of_api_exception(exc: exceptions.APIException) -> tuple[dict[str, object], int, dict[str, str]]:
    """Body, status and headers for what Django REST framework itself refuses."""
    headers: dict[str, str] = {}
    wait = getattr(exc, "wait", None)
    if wait is not None:
        headers["Retry-After"] = str(int(wait) + 1)
    challenge = getattr(exc, "auth_header", None)
    if challenge:
        headers["WWW-Authenticate"] = str(challenge)
    kind = str(exc.default_code).replace("_", "-")
    # Some titles of the library's have a gap for what was asked.
    title = str(exc.detail if "{" in str(exc.default_detail) else exc.default_detail)
    body = {
        "type": f"/problems/{kind}",
        "title": title.rstrip("."),
        "status": exc.status_code,
        "request_id": request_id.get(),
        # The library has put it into English already when it is raised.
        "detail": str(exc.detail) if in_english() else title,
    }
    return body, exc.status_code, headers


def _faults_of(detail: Any, pointer: str = "") -> Iterable[Fault]:
    """Flatten a validation error of Django REST framework into faults with pointers."""
    if isinstance(detail, Mapping):
        for name, inner in detail.items():
            yield from _faults_of(inner, f"{pointer}/{name}")
    elif isinstance(detail, list):
        for index, inner in enumerate(detail):
            nested = isinstance(inner, Mapping | list)
            yield from _faults_of(inner, f"{pointer}/{index}" if nested else pointer)
    else:
        yield Fault(pointer, getattr(detail, "code", "invalid"), str(detail))
