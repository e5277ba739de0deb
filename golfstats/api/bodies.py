"""Reading request bodies: bytes to checked values, every refusal a problem with its place."""

from __future__ import annotations

import codecs
from collections.abc import Iterator
from typing import Any, TypeVar

import orjson
from pydantic import BaseModel, ValidationError
from rest_framework import status
from rest_framework.parsers import BaseParser
from rest_framework.request import Request

from golfstats.api.problems import Fault, ProblemError, invalid

ModelT = TypeVar("ModelT", bound=BaseModel)

NUL = "\0"


class TextParser(BaseParser):
    """Lets ``text/plain`` in; the handler reads the raw bytes itself."""

    media_type = "text/plain"

    def parse(self, stream: Any, media_type: str | None = None, parser_context: Any = None) -> Any:  # noqa: ARG002
        return decoded(stream.read())


def raw_body(request: Request, limit: int) -> bytes:
    """The bytes of the body; a 413 problem beyond ``limit``."""
    declared = request.META.get("CONTENT_LENGTH") or "0"
    if declared.isdigit() and int(declared) > limit:
        raise _too_large(limit)
    body = bytes(request._request.body)  # noqa: SLF001 - DRF has no public way to the raw bytes
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


def text_body(body: bytes) -> str:
    """UTF-8 text to be stored; a 400 problem if it has the one character that PostgreSQL's text cannot hold."""
    text = decoded(body)
    if NUL in text:
        detail = f"character {text.index(NUL)} is a NUL"
        raise ProblemError("not-text", "The body is not text", detail=detail)
    return text


def json_body(body: bytes) -> Any:
    """The JSON value; a 400 problem that says where it stops being JSON."""
    text = decoded(body)
    try:
        value = orjson.loads(text)
    except orjson.JSONDecodeError as error:
        detail = f"line {error.lineno}, column {error.colno}: {error.msg}"
        raise ProblemError("not-json", "The body is not JSON", detail=detail) from None
    if "\\u0000" in text:
        faults = list(_nul_faults(value, ()))
        if faults:
            raise invalid(faults)
    return value


def _nul_faults(value: Any, path: tuple[int | str, ...]) -> Iterator[Fault]:
    """Strings and names with a NUL in them."""
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from _nul_faults(name, path)
            yield from _nul_faults(inner, (*path, name))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from _nul_faults(inner, (*path, index))
    elif isinstance(value, str) and NUL in value:
        yield Fault(_pointer(path), "not_text", "text has no NUL character")


def checked(model: type[ModelT], value: Any) -> ModelT:
    """The value as a model; a 422 problem that lists every fault with its JSON pointer."""
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
