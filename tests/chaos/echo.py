"""An application that answers with what has reached it, for tests of what is before it."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from typing import Any

TOLD = (
    "PATH_INFO",
    "SCRIPT_NAME",
    "HTTP_HOST",
    "HTTP_X_FORWARDED_FOR",
    "HTTP_X_FORWARDED_PROTO",
    "HTTP_X_FORWARDED_HOST",
)


def application(environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterable[bytes]:
    environ["wsgi.input"].read()
    body = json.dumps({name: environ.get(name) for name in TOLD}).encode()
    start_response("200 OK", [("Content-Type", "application/json"), ("Content-Length", str(len(body)))])
    return [body]
