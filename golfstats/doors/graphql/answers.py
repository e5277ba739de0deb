"""GraphQL types from answers, and inputs from bodies: the same classes that REST's document is made of."""

from __future__ import annotations

import dataclasses
import datetime as dt
import enum
import types
import typing
from collections.abc import Iterable, Mapping
from typing import Annotated, Any

import strawberry
from django.db.models import Model
from pydantic import AwareDatetime, BaseModel
from pydantic.fields import FieldInfo

from golfstats.doors.graphql.rows import ClubType
from golfstats.ground.answers import class_meaning, field_meanings, sets_within, value_meanings, with_values

USUAL_LIST = 20


class Types:
    """The types made so far, each once, and how long their lists usually are."""

    def __init__(self) -> None:
        self._made: dict[Any, Any] = {}
        self.lists: dict[str, tuple[int, str]] = {}
        """By ``Type.field``: the usual length, and why it is no connection."""

    def answer(
        self, hint: Any, more: Mapping[str, object] | None = None, model: type[Model] | None = None
    ) -> Any:
        """The type of an answer (or of a field of one). ``more`` are fields with resolvers of their own;
        rows of ``model`` stand behind it.
        """
        if isinstance(hint, type) and dataclasses.is_dataclass(hint):
            return self._object(hint, more or {}, model)
        return _mapped(hint, self.answer, self._enum)

    def body(self, hint: Any, *, partial: bool = False) -> Any:
        """The input type of a body (or of a field of one). Of a partial one any field may be left out."""
        if isinstance(hint, type) and issubclass(hint, BaseModel):
            return self._input(hint, partial=partial)
        return _mapped(hint, self.body, self._enum)

    def _object(self, answer: type, more: Mapping[str, object], model: type[Model] | None) -> Any:
        if answer not in self._made:
            hints, meanings = typing.get_type_hints(answer, include_extras=True), field_meanings(answer)
            annotations, members = {}, dict(more)
            for one in dataclasses.fields(answer):
                if one.name in more:  # a list of names becomes the rows themselves
                    continue
                annotations[one.name] = self.answer(hints[one.name])
                members[one.name] = strawberry.field(
                    description=described(meanings.get(one.name), hints[one.name])
                )
                if _lists_objects(hints[one.name]):
                    place = f"{answer.__name__}.{camel(one.name)}"
                    self.lists[place] = (one.metadata.get("longest", USUAL_LIST), "a part of the answer")
            members["__annotations__"] = annotations
            bases = (ClubType,) if model is not None else ()
            if model is not None:
                members["model"] = model
                annotations["model"] = typing.ClassVar[type[Model]]
            made = type(answer.__name__, bases, members)
            self._made[answer] = strawberry.type(made, description=class_meaning(answer) or None)
        return self._made[answer]

    def _input(self, body: type[BaseModel], *, partial: bool) -> Any:
        if (body, partial) not in self._made:
            annotations, members = {}, {}
            for name, info in body.model_fields.items():
                annotations[name] = self.body(info.annotation)
                needed = info.is_required() and not partial
                if not needed:
                    annotations[name] = annotations[name] | None
                default = {} if needed else {"default": strawberry.UNSET}
                members[name] = strawberry.field(
                    name=info.alias and camel(info.alias), description=described_field(info), **default
                )
            members["__annotations__"] = annotations
            name = body.__name__.removesuffix("Input").removesuffix("Body")
            made = type(name + ("ChangesInput" if partial else "Input"), (), members)
            taken = {other.__name__ for other in self._made.values()}
            assert made.__name__ not in taken, f"two bodies would be {made.__name__}"  # noqa: S101 - else one hides the other
            self._made[body, partial] = strawberry.input(made, description=class_meaning(body) or None)
        return self._made[body, partial]

    def _enum(self, kind: type[enum.Enum]) -> Any:
        if kind not in self._made:
            made = strawberry.enum(kind, description=class_meaning(kind) or None)
            for value in made.__strawberry_definition__.values:  # type: ignore[attr-defined]  # strawberry put it there
                value.description = value_meanings(kind).get(str(value.value))
                value.name = _enum_name(str(value.value)) or value.name
            self._made[kind] = made
        return self._made[kind]


TYPES = Types()
"""Those of the one schema."""


def _mapped(hint: Any, inner: Any, enumeration: Any) -> Any:
    """A field's type with every class within it mapped."""
    origin, arguments = typing.get_origin(hint), typing.get_args(hint)
    if origin is Annotated:
        return inner(arguments[0])
    if origin is typing.Literal:
        return type(arguments[0])
    if origin in (list, tuple):
        return list[inner(arguments[0])]  # type: ignore[misc]  # made while running
    if origin in (typing.Union, types.UnionType):
        return _either([inner(one) for one in arguments])
    if isinstance(hint, type) and issubclass(hint, enum.Enum):
        return enumeration(hint)
    return dt.datetime if hint is AwareDatetime else hint


def _either(mapped: Iterable[Any]) -> Any:
    first, *rest = [one for one in mapped if one is not type(None)]
    for one in rest:
        first = first | one
    return first | None


def described_field(info: FieldInfo) -> str | None:
    """A field of a body or query as described there. Its own mark stands beside its type."""
    return described(
        info.description, Annotated[(info.annotation, *info.metadata)] if info.metadata else info.annotation
    )


def described(text: str | None, hint: Any) -> str | None:
    """With what each value means where it is text of a closed set; a type of their own would change what is sent."""
    for one in sets_within(hint):
        return with_values(text or "", one.meanings)
    return text


def _lists_objects(hint: Any) -> bool:
    """Whether it is a list of answers, or may be one."""
    if typing.get_origin(hint) in (list, tuple):
        return dataclasses.is_dataclass(typing.get_args(hint)[0])
    return isinstance(hint, types.UnionType) and any(_lists_objects(one) for one in typing.get_args(hint))


def _enum_name(word: str) -> str:
    """The very word of REST, with what GraphQL has no room for as an underscore; empty for a number."""
    name = word.replace(" ", "_").replace("-", "_")
    return name if name.isidentifier() else ""


def camel(name: str) -> str:
    head, *rest = name.strip("_").split("_")
    return head + "".join(word.capitalize() for word in rest)
