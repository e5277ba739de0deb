"""The chart library that the vl-convert wheel carries, served as one file that browsers keep."""

from __future__ import annotations

import gzip
import hashlib
from functools import cache

import vl_convert
from django.http import Http404, HttpRequest, HttpResponse

YEAR_SECONDS = 365 * 24 * 3600


@cache
def _library() -> bytes:
    bundle: str = vl_convert.javascript_bundle()  # type: ignore[call-arg]  # the stub forgets the defaults
    return bundle.encode()


@cache
def _compressed() -> bytes:
    return gzip.compress(_library(), mtime=0)


@cache
def library_version() -> str:
    """Changes when the file does, so that it may be kept for ever under its address."""
    return hashlib.sha256(_library()).hexdigest()[:16]


def chart_library(request: HttpRequest, version: str) -> HttpResponse:
    if version != library_version():
        raise Http404
    zipped = "gzip" in request.headers.get("Accept-Encoding", "")
    response = HttpResponse(_compressed() if zipped else _library(), content_type="text/javascript")
    if zipped:
        response["Content-Encoding"] = "gzip"
    response["Vary"] = "Accept-Encoding"
    response["Cache-Control"] = f"public, max-age={YEAR_SECONDS}, immutable"
    return response
