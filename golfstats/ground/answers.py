"""Answers: frozen data classes, each described once. JSON, API document, GraphQL and pages are made from the class.

What a field means stands in the string beneath it, units included; :func:`field_meanings` reads those. What is
text, but only of a closed set, is marked with :class:`OneOf`.
"""

from __future__ import annotations

import ast
import dataclasses
import inspect
import textwrap
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cache
from typing import Any, get_args

import orjson
from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from golfstats.ground.meanings import shared_meaning


def up_to(longest: int) -> Any:
    """A list in an answer, of usually at most so many: GraphQL charges for what stands in each. 20 where not said."""
    return dataclasses.field(metadata={"longest": longest})


def as_json(answer: Any) -> bytes:
    """An answer as programs get it. orjson writes dates, UUIDs and data classes itself; not-a-number becomes null."""
    return orjson.dumps(answer, default=str, option=orjson.OPT_SERIALIZE_NUMPY | orjson.OPT_NON_STR_KEYS)


@cache
def field_meanings(answer: type) -> dict[str, str]:
    """What each field of an answer means, by its name: the strings beneath the fields, those of bases included."""
    meanings: dict[str, str] = {}
    for base in reversed(answer.__mro__):
        if dataclasses.is_dataclass(base):
            meanings |= _said_beneath(base)
    for field in dataclasses.fields(answer):
        shared = shared_meaning(field.name, str(field.type))
        if shared and field.name not in meanings:
            meanings[field.name] = shared
    return meanings


@cache
def value_meanings(choices: type[Enum]) -> dict[str, str]:
    """What each value of a closed set means, by the value (of trade words, the word): the strings beneath the
    members, or what the set says itself because it was made while running, as the orders of lists are.
    """
    itself: Callable[[], dict[str, str]] | None = getattr(choices, "meanings", None)
    if itself is not None:
        return itself()
    beneath = _said_beneath(choices)
    return {
        str(getattr(member, "word", member.value)): beneath[name]
        for name, member in choices.__members__.items()
        if name in beneath
    }


def with_values(text: str, meanings: Mapping[str, str]) -> str:
    """A description that ends with what each value of a closed set means."""
    lines = [f"- `{value}`: {meaning}" for value, meaning in meanings.items()]
    return "\n".join([text or "One of these:", "", *lines]) if lines else text


@dataclass(frozen=True)
class OneOf:
    """Marks text that is a word of a closed set: ``Annotated[str, OneOf(Lie)]``. One component of the API document."""

    choices: type[Enum]
    name: str = ""
    """Of a part of the set."""
    only: Collection[str] = ()
    """The part's words."""

    @property
    def meanings(self) -> Mapping[str, str]:
        meanings = value_meanings(self.choices)
        return {word: meanings[word] for word in self.only or meanings}

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.literal_schema(list(self.meanings), ref=self.name or self.choices.__name__)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        reference = handler(schema)
        described = handler.resolve_ref_schema(reference)
        described["description"] = with_values(class_meaning(self.choices), self.meanings)
        return reference


def sets_within(hint: Any) -> Iterator[OneOf]:
    """The closed sets that a type is marked with, its own mark or one within it."""
    yield from (mark for mark in getattr(hint, "__metadata__", ()) if isinstance(mark, OneOf))
    for inner in get_args(hint):
        yield from sets_within(inner)


def class_meaning(answer: type) -> str:
    """The first paragraph of the class's docstring; nothing where Python wrote one itself."""
    text = inspect.cleandoc(answer.__doc__ or "")
    return "" if text.startswith(f"{answer.__name__}(") else _one_line(text)


def _said_beneath(described: type) -> dict[str, str]:
    """The strings beneath the fields or members of a class itself, by their names."""
    (body,) = ast.parse(textwrap.dedent(inspect.getsource(described))).body
    assert isinstance(body, ast.ClassDef)  # noqa: S101 - the source of a class is a class
    meanings: dict[str, str] = {}
    for named, below in zip(body.body, body.body[1:], strict=False):
        match named, below:
            case (
                ast.AnnAssign(target=ast.Name(id=name)) | ast.Assign(targets=[ast.Name(id=name)]),
                ast.Expr(value=ast.Constant(value=str(text))),
            ):
                meanings[name] = _one_line(inspect.cleandoc(text))
    return meanings


def _one_line(text: str) -> str:
    return " ".join(text.partition("\n\n")[0].split())
