"""From a posted value to a checked one: whatever a model refuses becomes faults, each with its place."""

from __future__ import annotations

import codecs
import datetime as dt
import re
from collections.abc import Iterator
from typing import Annotated, Any, TypeVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from golfstats.ground.faults import Fault, ProblemError, invalid
from golfstats.ground.input_words import A_DAY, A_MOMENT, input_words
from golfstats.sentences import Sentence

ModelT = TypeVar("ModelT", bound=BaseModel)

NUL = "\0"
FIRST_DAY, LAST_DAY = dt.date(1900, 1, 1), dt.date(2199, 12, 31)


def written_as_a_day(value: object) -> object:
    """Seconds since 1970, which the checks would take as well, are no way to name a day."""
    if isinstance(value, int | float) or (
        isinstance(value, str) and not re.fullmatch(r"\d{4}-\d\d-\d\d", value)
    ):
        raise ValueError(Sentence(A_DAY))
    return value


Day = Annotated[dt.date, BeforeValidator(written_as_a_day), Field(ge=FIRST_DAY, le=LAST_DAY)]
"""A day of golf, past or planned. Near the ends of the calendar the day before or after is none."""


RFC_3339 = r"\d{4}-\d\d-\d\d[Tt]\d\d:\d\d:\d\d(\.\d+)?([Zz]|[+-]\d\d:\d\d)"


def written_as_a_moment(value: object) -> object:
    """Without an offset nobody knows which moment is meant; seconds since 1970 are no way to name one either."""
    is_moment = isinstance(value, dt.datetime) and value.tzinfo is not None
    if is_moment or value is None or (isinstance(value, str) and re.fullmatch(RFC_3339, value)):
        return value
    raise ValueError(
        Sentence("a moment is written with its offset: 2026-06-14T09:30:00Z, or +02:00 (as %2B02:00)")
    )


def not_in_seconds(value: object) -> object:
    """For a moment whose offset is asked for by its type."""
    if isinstance(value, int | float) or (
        isinstance(value, str) and re.fullmatch(r"[-+.\d]*", value.strip())
    ):
        raise ValueError(Sentence(A_MOMENT))
    return value


class Body(BaseModel):
    """What a client sends. A name that is not declared is refused."""

    model_config = ConfigDict(
        use_attribute_docstrings=True, extra="forbid", str_strip_whitespace=True, allow_inf_nan=False
    )


def decoded(body: bytes) -> str:
    """UTF-8 text; a refusal that names the first wrong byte."""
    try:
        return body.removeprefix(codecs.BOM_UTF8).decode("utf-8")
    except UnicodeDecodeError as error:
        detail = Sentence("byte {start} does not continue UTF-8 text", start=error.start)
        raise ProblemError("not-utf-8", Sentence("The body is not UTF-8 text"), detail=detail) from None


def _has_nul(body: Any) -> bool:
    """Whether a string or a name has the one character that PostgreSQL's text cannot hold."""
    left = [body]  # no recursion: JSON may be deeper than the stack
    while left:
        value = left.pop()
        if isinstance(value, str):
            if NUL in value:
                return True
        elif isinstance(value, dict):
            left += value
            left += value.values()
        elif isinstance(value, list):
            left += value
    return False


def _nul_faults(body: Any) -> Iterator[Fault]:
    """The places of those: to know each place takes longer than to look, and there is hardly ever one."""
    left: list[tuple[tuple[int | str, ...], Any]] = [((), body)]
    while left:
        path, value = left.pop()
        if isinstance(value, dict):
            left += [((*path, name), inner) for name, inner in reversed(value.items())]
            left += [(path, name) for name in value]
        elif isinstance(value, list):
            left += [((*path, index), inner) for index, inner in reversed(list(enumerate(value)))]
        elif isinstance(value, str) and NUL in value:
            yield Fault(_pointer(path), "not_text", Sentence("text has no NUL character"))


def checked(model: type[ModelT], value: Any) -> ModelT:
    """The value as a model; a refusal that lists every fault with its JSON pointer."""
    if _has_nul(value):
        raise invalid(list(_nul_faults(value)))
    try:
        return model.model_validate(value)
    except ValidationError as error:
        raise invalid(faults_of(error, value)) from None


def faults_of(error: ValidationError, value: Any) -> list[Fault]:
    return [
        _fault(details["loc"], details["type"], input_words(details), value) for details in error.errors()
    ]


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
