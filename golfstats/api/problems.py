"""Problem details (RFC 9457): every error of the API in one shape, naming each fault and its place."""

from __future__ import annotations

import logging
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.core.exceptions import PermissionDenied, RequestDataTooBig
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.views import defaults
from rest_framework import exceptions, status
from rest_framework.response import Response
from rest_framework.views import set_rollback

from golfstats.ids import new_id

log = logging.getLogger(__name__)

CONTENT_TYPE = "application/problem+json"


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong. ``pointer`` is a JSON pointer (RFC 6901) into the request body."""

    pointer: str
    code: str
    detail: str
    hole: int | None = None
    shot: int | None = None
    line: int | None = None
    column: int | None = None

    def as_dict(self) -> dict[str, Any]:
        places = {"hole": self.hole, "shot": self.shot, "line": self.line, "column": self.column}
        known = {name: value for name, value in places.items() if value is not None}
        return {"pointer": self.pointer, "code": self.code, "detail": self.detail, **known}


@dataclass(eq=False)
class ProblemError(Exception):
    """Raise to answer with a problem. ``kind`` becomes the type's last part, a stable name for programs."""

    kind: str
    title: str
    status: int = status.HTTP_400_BAD_REQUEST
    detail: str = ""
    faults: Sequence[Fault] = ()
    headers: Mapping[str, str] = field(default_factory=dict)
    extra: Mapping[str, Any] = field(default_factory=dict)

    def as_dict(self) -> dict[str, Any]:
        return problem_dict(self.kind, self.title, self.status, self.detail, self.faults) | dict(self.extra)


def invalid(faults: Iterable[Fault], title: str = "The request is not valid") -> ProblemError:
    """422 with every fault found."""
    found = list(faults)
    return ProblemError(
        kind="invalid-request",
        title=title,
        status=status.HTTP_422_UNPROCESSABLE_ENTITY,
        detail=f"{len(found)} fault{'' if len(found) == 1 else 's'}; see errors.",
        faults=found,
    )


def not_found(what: str = "Nothing") -> ProblemError:
    """404: it does not exist, or not for this person."""
    return ProblemError(kind="not-found", title=f"{what} found here", status=status.HTTP_404_NOT_FOUND)


def problem_dict(
    kind: str, title: str, status_code: int, detail: str, faults: Sequence[Fault]
) -> dict[str, Any]:
    body: dict[str, Any] = {"type": f"/problems/{kind}", "title": title, "status": status_code}
    if detail:
        body["detail"] = detail
    if faults:
        body["errors"] = [fault.as_dict() for fault in faults]
    return body


def exception_handler(exc: Exception, context: Mapping[str, Any]) -> Response | None:
    """Django REST framework's hook: any foreseen exception becomes a problem; others stay a 500."""
    problem = _as_problem(exc)
    if problem is None:
        return None
    set_rollback()
    body = problem.as_dict() | {"instance": context["request"].path}
    # A browser gets the same words as a page of the browsable API.
    renderer = getattr(context["request"], "accepted_renderer", None)
    content_type = CONTENT_TYPE if renderer is None or renderer.format == "json" else None
    return Response(body, status=problem.status, headers=dict(problem.headers), content_type=content_type)


def no_such_address(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Django's ``handler404``: a problem below /api/, a page elsewhere."""
    if not request.path.startswith("/api/"):
        return defaults.page_not_found(request, exception)
    return _answer(request, not_found())


def server_error(request: HttpRequest) -> HttpResponse:
    """Django's ``handler500``: tells a request id and nothing else; the log has the same id by the traceback."""
    if not request.path.startswith("/api/"):
        return defaults.server_error(request)
    request_id = str(new_id())
    # Django calls this while it handles the exception.
    log.error("request %s failed: %s %s", request_id, request.method, request.path, exc_info=True)  # noqa: LOG014
    detail = "The fault is ours. If you tell us of it, name the request id."
    problem = ProblemError(
        "internal-error",
        "Something went wrong here",
        status.HTTP_500_INTERNAL_SERVER_ERROR,
        detail,
        extra={"request_id": request_id},
    )
    return _answer(request, problem)


def _answer(request: HttpRequest, problem: ProblemError) -> HttpResponse:
    """A problem outside Django REST framework."""
    body = problem.as_dict() | {"instance": request.path}
    return JsonResponse(body, status=problem.status, content_type=CONTENT_TYPE)


def _as_problem(exc: Exception) -> ProblemError | None:
    if isinstance(exc, ProblemError):
        return exc
    if isinstance(exc, Http404):
        return not_found()
    if isinstance(exc, PermissionDenied):
        exc = exceptions.PermissionDenied()
    if isinstance(exc, RequestDataTooBig):
        return ProblemError("too-large", "The body is too large", status.HTTP_413_REQUEST_ENTITY_TOO_LARGE)
    if isinstance(exc, exceptions.ValidationError):
        return invalid(_faults_of(exc.detail))
    if isinstance(exc, exceptions.APIException):
        return _of_api_exception(exc)
    return None


def _of_api_exception(exc: exceptions.APIException) -> ProblemError:
    headers: dict[str, str] = {}
    wait = getattr(exc, "wait", None)
    if wait is not None:
        headers["Retry-After"] = str(int(wait) + 1)
    challenge = getattr(exc, "auth_header", None)
    if challenge:
        headers["WWW-Authenticate"] = str(challenge)
    kind = str(exc.default_code).replace("_", "-")
    return ProblemError(
        kind, str(exc.default_detail).rstrip("."), exc.status_code, str(exc.detail), headers=headers
    )


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
