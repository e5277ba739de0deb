"""Answers: frozen data classes, each described once. JSON, API document, GraphQL and pages are made from the class.

What a field means stands in the string beneath it, units included; :func:`field_meanings` reads those.
"""

from __future__ import annotations

import ast
import dataclasses
import inspect
import textwrap
from enum import Enum
from functools import cache
from typing import Any

from golfstats.ground.meanings import shared_meaning


def up_to(longest: int) -> Any:
    """A list in an answer, of usually at most so many: GraphQL charges for what stands in each. 20 where not said."""
    return dataclasses.field(metadata={"longest": longest})


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
    """What each value of a closed set means, by the value: the strings beneath the members."""
    try:
        beneath = _said_beneath(choices)
    except (OSError, TypeError):  # made while running, as the orders of lists are
        return {}
    return {
        str(member.value): beneath[name] for name, member in choices.__members__.items() if name in beneath
    }


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
