"""Reading request bodies: bytes to checked values, every refusal a problem with its place."""

from __future__ import annotations

import io
from collections.abc import Iterable
from wsgiref.types import StartResponse, WSGIApplication, WSGIEnvironment

import orjson
from django.conf import settings
from rest_framework.request import Request

from golfstats.ground import inputs
from golfstats.ground.faults import ProblemError, Refusal
from golfstats.sentences import Sentence


def with_length(answer: WSGIApplication) -> WSGIApplication:
    """Read a body that comes in chunks (RFC 9112, 7.1) whole: Django takes one without a length for empty."""

    def application(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        if environ.get("wsgi.input_terminated") and not environ.get("CONTENT_LENGTH"):
            # One byte more than is taken is refused with the words for a body that says its length.
            body = environ["wsgi.input"].read(settings.DATA_UPLOAD_MAX_MEMORY_SIZE + 1)
            environ |= {"wsgi.input": io.BytesIO(body), "CONTENT_LENGTH": str(len(body))}
        return answer(environ, start_response)

    return application


def raw_body(request: Request, limit: int) -> bytes:
    """The bytes of the body; a 413 problem beyond ``limit``."""
    declared = request.META.get("CONTENT_LENGTH") or "0"
    if declared.isdigit() and int(declared) > limit:
        raise _too_large(limit)
    body = bytes(request._request.body)
    if len(body) > limit:
        raise _too_large(limit)
    return body


def _too_large(limit: int) -> ProblemError:
    title = Sentence("The body is larger than {kilobytes} kB", kilobytes=limit // 1024)
    return ProblemError("too-large", title, Refusal.TOO_LARGE)


def json_body(body: bytes) -> object:
    """The JSON value; a 400 problem that says where it stops being JSON."""
    text = inputs.decoded(body)
    try:
        return orjson.loads(text)
    except orjson.JSONDecodeError as error:
        detail = f"line {error.lineno}, column {error.colno}: {error.msg}"
        raise ProblemError("not-json", "The body is not JSON", detail=detail) from None
