"""The API document as a page to read: made once a process, without a script."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import orjson
from django.template.loader import render_to_string
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from golfstats.doors.rest.reference.openapi import document

Schema = Mapping[str, Any]
CONSTRAINTS = ("format", "minimum", "maximum", "minLength", "maxLength", "maxItems", "default")


@dataclass(frozen=True)
class ShownField:
    """A parameter, or a field of a body or an answer."""

    name: str
    kind: SafeString
    where: str
    """Where a parameter stands; empty for a field."""
    needed: bool
    words: SafeString


@dataclass(frozen=True)
class ShownContent:
    """One media type of a body or an answer."""

    title: str
    kind: SafeString
    example: str


@dataclass(frozen=True)
class ShownOperation:
    """One operation at one address."""

    id: str
    method: str
    path: str
    summary: str
    words: SafeString
    deprecated: bool
    parameters: list[ShownField]
    bodies: list[ShownContent]
    answers: list[ShownContent]


@dataclass(frozen=True)
class ShownGroup:
    """The operations of a room."""

    name: str
    words: SafeString
    operations: list[ShownOperation]

    @property
    def title(self) -> str:
        return self.name.replace("-", " ").capitalize()


@dataclass(frozen=True)
class ShownSchema:
    """A component that operations refer to by name."""

    name: str
    words: SafeString
    kind: SafeString
    """Of a component without fields: a word of a closed set, say."""
    fields: list[ShownField]


@cache
def described() -> SafeString:
    """The whole reference as a piece of a page."""
    whole = document()
    groups = _groups(whole["tags"], whole["paths"], whole["components"]["parameters"])
    groups.append(
        ShownGroup(
            "messages", SafeString("What programs are told, by webhooks."), _operations(whole["webhooks"], {})
        )
    )
    return render_to_string(
        "web/_reference.html",
        {
            "groups": groups,
            "schemas": [_schema(name, one) for name, one in sorted(whole["components"]["schemas"].items())],
        },
    )


def _groups(
    tags: Sequence[Schema], paths: Mapping[str, Any], shared: Mapping[str, Schema]
) -> list[ShownGroup]:
    operations = _operations(paths, shared)
    of = {one["operationId"]: one["tags"][0] for methods in paths.values() for one in methods.values()}
    return [
        ShownGroup(
            tag["name"], coded(tag["description"]), [one for one in operations if of[one.id] == tag["name"]]
        )
        for tag in tags
    ]


def _operations(paths: Mapping[str, Any], shared: Mapping[str, Schema]) -> list[ShownOperation]:
    return [
        ShownOperation(
            id=operation.get("operationId", f"webhook-{path}"),
            method=method.upper(),
            path=path,
            summary=operation["summary"],
            words=coded(operation.get("description", "")),
            deprecated=operation.get("deprecated", False),
            parameters=[_parameter(one, shared) for one in operation.get("parameters", ())],
            bodies=_contents("Body", operation.get("requestBody", {})),
            answers=[
                shown
                for status, answer in operation["responses"].items()
                if status != "default"
                for shown in _contents(status, answer)
                or [ShownContent(f"{status}: {answer['description']}", SafeString(""), "")]
            ],
        )
        for path, methods in paths.items()
        for method, operation in methods.items()
    ]


def _parameter(parameter: Schema, shared: Mapping[str, Schema]) -> ShownField:
    one = shared[parameter["$ref"].rpartition("/")[2]] if "$ref" in parameter else parameter
    needed = bool(one.get("required"))
    return ShownField(
        one["name"], kind_of(one["schema"]), one["in"], needed, coded(one.get("description", ""))
    )


def _contents(title: str, body: Schema) -> list[ShownContent]:
    return [
        ShownContent(f"{title}, {media_type}", kind_of(one["schema"]), _example(one))
        for media_type, one in body.get("content", {}).items()
    ]


def _example(content: Schema) -> str:
    if "example" not in content:
        return ""
    return orjson.dumps(content["example"], option=orjson.OPT_INDENT_2).decode()


def _schema(name: str, schema: Schema) -> ShownSchema:
    fields = [
        ShownField(
            field, kind_of(one), "", field in schema.get("required", ()), coded(one.get("description", ""))
        )
        for field, one in schema.get("properties", {}).items()
    ]
    return ShownSchema(
        name, schema.get("description", ""), SafeString("") if fields else kind_of(schema), fields
    )


def coded(words: str) -> SafeString:
    """Words in which what stands between backticks is code."""
    kinds = ("{}", "<code>{}</code>")
    parts = (format_html(kinds[place % 2], part) for place, part in enumerate(words.split("`")))
    return SafeString("".join(parts))


def kind_of(schema: Schema) -> SafeString:
    """What a value is, in words, with links to the components that it is made of."""
    if "$ref" in schema:
        name = schema["$ref"].rpartition("/")[2]
        return format_html('<a href="#schema-{}">{}</a>', name, name)
    for several, joint in (("anyOf", " or "), ("oneOf", " or "), ("allOf", " and ")):
        if several in schema:
            return format_html_join(joint, "{}", ((kind_of(one),) for one in schema[several]))
    words = [schema["const"]] if "const" in schema else schema.get("enum")
    if words:
        return format_html_join(" or ", "<code>{}</code>", ((one,) for one in words))
    if schema.get("type") == "array":
        return format_html("list of {}", kind_of(schema.get("items", {})))
    return _plain(schema)


def _plain(schema: Schema) -> SafeString:
    kind = schema.get("type", "anything")
    words = " or ".join(kind) if isinstance(kind, list) else kind
    limits = [f"{name} {schema[name]}" for name in CONSTRAINTS if schema.get(name) is not None]
    within = schema.get("additionalProperties")
    if words == "object" and isinstance(within, Mapping):
        return format_html("object with values of {}", kind_of(within))
    if schema.get("properties"):
        inside = ((name, kind_of(one)) for name, one in schema["properties"].items())
        return format_html("object of {}", format_html_join(", ", "<code>{}</code>: {}", inside))
    return format_html("{}", ", ".join([words, *limits]))
