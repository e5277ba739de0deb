"""Hooks of gunicorn: its log says which requests reached the application, and whose answers it has got rid of."""

from __future__ import annotations

from typing import Any


def pre_request(worker: Any, request: Any) -> None:
    worker.log.info("arrived %s %s", request.method, request.uri)


def post_request(worker: Any, request: Any, environ: dict[str, Any], response: Any) -> None:
    worker.log.info("answered %s %s", request.method, request.uri)
