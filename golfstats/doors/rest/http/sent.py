"""What was sent with a request, as the operation takes it."""

from __future__ import annotations

from typing import Any

from rest_framework.parsers import BaseParser
from rest_framework.request import Request

from golfstats.doors.rest.http import bodies
from golfstats.doors.rest.http.manners import MERGE_PATCH
from golfstats.ground import inputs
from golfstats.ground.faults import ProblemError, Refusal
from golfstats.ground.operations import Change

JSON = "application/json"


class WhateverSent(BaseParser):
    """Leaves every body to the operation, which reads the raw bytes itself."""

    media_type = "*/*"

    def parse(self, stream: Any, media_type: str | None = None, parser_context: Any = None) -> Any:
        return {}


def sent_body(request: Request, operation: Change, rows: list[Any]) -> Any:
    """The body as what the operation takes."""
    raw = bodies.raw_body(request, operation.limit)
    content_type = request.content_type or JSON
    if not raw and not operation.body_needed:
        # Nothing sent has no type, though some programs call even that a form.
        raw, content_type = b"{}", JSON
    media_type = content_type.partition(";")[0].strip().lower()
    if media_type in operation.accepts:
        return operation.accepts[media_type](raw, content_type)
    if media_type == MERGE_PATCH and operation.verb == "PATCH":
        media_type = JSON
    if media_type != JSON or operation.body is None:
        words = " or ".join([*([] if operation.body is None else [JSON]), *operation.accepts])
        raise ProblemError("unsupported-media-type", f"Send {words}", Refusal.UNSUPPORTED)
    given = bodies.json_body(raw)
    if operation.present is not None and isinstance(given, dict):
        given = {**operation.present(rows[0]), **given}
    return inputs.checked(operation.body, given)
