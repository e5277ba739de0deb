"""``If-Match``: a change meant for a version that is no longer there is refused (RFC 9110, 13.1.1)."""

from __future__ import annotations

from django.utils.http import parse_etags
from rest_framework import status
from rest_framework.request import Request

from golfstats.api.problems import ProblemError


def etag(version: int) -> dict[str, str]:
    """The header that tells a row's version."""
    return {"ETag": f'"{version}"'}


def check_if_match(request: Request, version: int, what: str) -> None:
    """A 412 problem with the present tag if the request names other versions; ``*`` is any."""
    given = request.headers.get("If-Match")
    if given is None or {"*", f'"{version}"'} & set(parse_etags(given)):
        return
    raise ProblemError(
        "changed-meanwhile",
        f"The {what} was changed since you read it",
        status.HTTP_412_PRECONDITION_FAILED,
        headers=etag(version),
    )
