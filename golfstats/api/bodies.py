"""Reading request bodies: bytes to checked values, every refusal a problem with its place."""

from __future__ import annotations

import codecs
import datetime as dt
from collections.abc import Iterator
from typing import Annotated, Any, TypeVar

import orjson
from pydantic import BaseModel, Field, ValidationError
from rest_framework import status
from rest_framework.parsers import BaseParser
from rest_framework.request import Request

from golfstats.api.problems import Fault, ProblemError, invalid

ModelT = TypeVar("ModelT", bound=BaseModel)

NUL = "\0"
FIRST_DAY, LAST_DAY = dt.date(1900, 1, 1), dt.date(2199, 12, 31)
Day = Annotated[dt.date, Field(ge=FIRST_DAY, le=LAST_DAY)]
"""A day of golf, past or planned. Near the ends of the calendar the day before or after is none."""


class TextParser(BaseParser):
    """Lets ``text/plain`` in; the handler reads the raw bytes itself."""

    media_type = "text/plain"

    def parse(self, stream: Any, media_type: str | None = None, parser_context: Any = None) -> Any:
        return decoded(stream.read())


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
    title = f"The body is larger than {limit // 1024} kB"
    return ProblemError("too-large", title, status.HTTP_413_REQUEST_ENTITY_TOO_LARGE)


def decoded(body: bytes) -> str:
    """UTF-8 text; a 400 problem that names the first wrong byte."""
    try:
        return body.removeprefix(codecs.BOM_UTF8).decode("utf-8")
    except UnicodeDecodeError as error:
        detail = f"byte {error.start} does not continue UTF-8 text"
        raise ProblemError("not-utf-8", "The body is not UTF-8 text", detail=detail) from None


def json_body(body: bytes) -> Any:
    """The JSON value; a 400 problem that says where it stops being JSON."""
    text = decoded(body)
    try:
        return orjson.loads(text)
    except orjson.JSONDecodeError as error:
        detail = f"line {error.lineno}, column {error.colno}: {error.msg}"
        raise ProblemError("not-json", "The body is not JSON", detail=detail) from None


def _nul_faults(body: Any) -> Iterator[Fault]:
    """Strings and names with the one character that PostgreSQL's text cannot hold."""
    left: list[tuple[tuple[int | str, ...], Any]] = [
        ((), body)
    ]  # no recursion: JSON may be deeper than the stack
    while left:
        path, value = left.pop()
        if isinstance(value, dict):
            left += [((*path, name), inner) for name, inner in reversed(value.items())]
            left += [(path, name) for name in value]
        elif isinstance(value, list):
            left += [((*path, index), inner) for index, inner in reversed(list(enumerate(value)))]
        elif isinstance(value, str) and NUL in value:
            yield Fault(_pointer(path), "not_text", "text has no NUL character")


def checked(model: type[ModelT], value: Any) -> ModelT:
    """The value as a model; a 422 problem that lists every fault with its JSON pointer."""
    nul_faults = list(_nul_faults(value))
    if nul_faults:
        raise invalid(nul_faults)
    try:
        return model.model_validate(value)
    except ValidationError as error:
        raise invalid(faults_of(error, value)) from None


def faults_of(error: ValidationError, value: Any) -> list[Fault]:
    return [_fault(details["loc"], details["type"], details["msg"], value) for details in error.errors()]


def _fault(path: tuple[int | str, ...], code: str, message: str, value: Any) -> Fault:
    hole, shot = _hole_and_shot(path, value)
    return Fault(_pointer(path), code, message, hole=hole, shot=shot)


def _pointer(path: tuple[int | str, ...]) -> str:
    return "".join(f"/{str(step).replace('~', '~0').replace('/', '~1')}" for step in path)


def _hole_and_shot(path: tuple[int | str, ...], value: Any) -> tuple[int | None, int | None]:
    """Which hole and shot of a round a path leads to; nothing where it leads elsewhere."""
    if len(path) < 2 or path[0] != "holes" or not isinstance(path[1], int):
        return None, None
    number = value["holes"][path[1]].get("number") if isinstance(value["holes"][path[1]], dict) else None
    hole = number if isinstance(number, int) else None
    has_shot = len(path) > 3 and path[2] == "shots" and isinstance(path[3], int)
    return hole, int(path[3]) + 1 if has_shot else None
