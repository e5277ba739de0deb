"""The API document (OpenAPI 3.1) of declared operations: what every one takes and answers, by name."""

from __future__ import annotations

import dataclasses
import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from enum import Enum
from typing import Any, get_type_hints

from pydantic import BaseModel, TypeAdapter
from pydantic.json_schema import JsonSchemaMode

from golfstats.doors.rest.fields import FIELDS, FIELDS_MEANING, PART, field_names
from golfstats.doors.rest.http.manners import MERGE_PATCH
from golfstats.doors.rest.http.preconditions import takes_if_match
from golfstats.doors.rest.http.sent import JSON
from golfstats.doors.rest.operations import usual_status
from golfstats.ground.answers import class_meaning, field_meanings, value_meanings, with_values
from golfstats.ground.clubs.sign_in import CODE_HEADER
from golfstats.ground.events import EVENTS, Event
from golfstats.ground.operations import Change, Download, Gathering, Listing, Operation, Query, Reading
from golfstats.ground.standing import Standing

REFERENCES = "#/components/schemas/{model}"
Schema = dict[str, Any]
_PLACE = re.compile(r"<(?:(\w+):)?(\w+)>")
_PLACES: Mapping[str, Schema] = {
    "uuid": {"type": "string", "format": "uuid"},
    "int": {"type": "integer"},
    "str": {"type": "string"},
    "path": {"type": "string"},
    "slug": {"type": "string"},
}


_SECURITY: Mapping[Standing, list[dict[str, list[str]]]] = {
    Standing.SIGNING_IN: [{"password": []}, {"session": []}],
    Standing.ANYBODY: [],
}
"""Where it is other than that of the whole document."""


class Described:
    """The schemas of every answer, body and query, made together so that each class is one component."""

    def __init__(self, operations: Iterable[Operation], messages: Iterable[type]) -> None:
        answers, bodies = set(messages), set()
        for operation in operations:
            answers |= {
                one for one in (getattr(operation, "answer", None), getattr(operation, "line", None)) if one
            }
            answers |= set(getattr(operation, "also", {}).values())
            named = (getattr(operation, name, None) for name in ("body", "form"))
            bodies |= {operation.parameters, *(one for one in named if one)}
        wanted: list[tuple[type, JsonSchemaMode, TypeAdapter[Any]]] = [
            *((one, "serialization", TypeAdapter(one)) for one in sorted(answers, key=str)),
            *((one, "validation", TypeAdapter(one)) for one in sorted(bodies, key=str)),
        ]
        self._schemas, rest = TypeAdapter.json_schemas(wanted, ref_template=REFERENCES)
        self.components: dict[str, Schema] = rest.get("$defs", {})
        for name, answer in _data_classes(answers).items():
            _tell(self.components[name], answer)
        for name, choices in choices_within(answers | bodies).items():
            if name in self.components:
                _tell_values(self.components[name], choices)

    def answer(self, answer: type) -> Schema:
        return self._schemas[answer, "serialization"]

    def body(self, body: type[BaseModel]) -> Schema:
        return self._schemas[body, "validation"]

    def part_of(self, body: type[BaseModel]) -> Schema:
        """A component: a body whose fields may all be left out. Written out at each of the media types that a PATCH
        takes, generators would make two classes of one name.
        """
        name = f"ChangesBy{body.__name__}"
        part = dict(self._resolved(self.body(body)))
        part |= {"title": name}
        part.pop("required", None)
        self.components[name] = part
        return {"$ref": REFERENCES.format(model=name)}

    def some_fields_of(self, line: type) -> Schema:
        """A component: a line of which only those fields are told that were asked for."""
        name = f"SomeFieldsOf{line.__name__}"
        part = {**self._resolved(self.answer(line)), "minProperties": 1}
        part.pop("required", None)
        self.components[name] = part
        return {"$ref": REFERENCES.format(model=name)}

    def query(self, query: type[Query]) -> Schema:
        """The parameters' properties, not as a reference."""
        return self._resolved(self._schemas[query, "validation"])

    def _resolved(self, schema: Schema) -> Schema:
        reference = schema.get("$ref", "").rpartition("/")[2]
        return self.components[reference] if reference else schema


def paths_of(operations: Iterable[Operation]) -> tuple[dict[str, Any], dict[str, Schema]]:
    """The paths and the schemas of the operations that REST has."""
    of_rest = [operation for operation in operations if operation.path]
    described = Described(of_rest, (event.message for event in EVENTS.values()))
    paths: dict[str, Any] = {}
    by_path: dict[str, dict[str, Operation]] = defaultdict(dict)
    for operation in of_rest:
        by_path[operation.path][operation.method] = operation
    for operation in of_rest:
        address = "/api/v1/" + _PLACE.sub(r"{\2}", operation.path)
        paths.setdefault(address, {})[operation.method.lower()] = written = _operation(operation, described)
        if isinstance(operation, Change) and takes_if_match(operation, by_path):
            written["parameters"].append(_if_match(operation))
    queries = {operation.parameters.__name__ for operation in of_rest}
    components = {name: schema for name, schema in described.components.items() if name not in queries}
    return paths, components


def _operation(operation: Operation, described: Described) -> dict[str, Any]:
    spec: dict[str, Any] = {
        "operationId": operation.id,
        "summary": operation.summary,
        "parameters": _all_parameters(operation, described),
        "responses": _responses(operation, described),
    }
    description = " ".join(part for part in (operation.description, _messages(operation)) if part)
    if description:
        spec["description"] = description
    if isinstance(operation, Change) and (operation.body is not None or operation.accepts):
        content: dict[str, Any] = {}
        if operation.body is not None:
            whole = operation.present is None
            content[JSON] = {
                "schema": described.body(operation.body) if whole else described.part_of(operation.body)
            }
        if operation.verb == "PATCH":
            content[MERGE_PATCH] = content[JSON]
        content |= {
            media_type: {"schema": _accepted(operation, media_type, described)}
            for media_type in operation.accepts
        }
        spec["requestBody"] = {"required": operation.body_needed, "content": content}
    if operation.deprecation is not None:
        spec["deprecated"] = True
    security = _SECURITY.get(operation.standing)
    if security is not None:
        spec["security"] = security
    return spec


def _messages(operation: Operation) -> str:
    """What programs are told of it."""
    if not isinstance(operation, Change):
        return ""
    words = [
        f"{how} " + ", ".join(f"`{event.happening.value}`" for event in events) + "."
        for how, events in (("Webhooks:", operation.sends), ("Webhooks, later:", operation.sends_later))
        if events
    ]
    return " ".join(words)


def webhooks() -> dict[str, Any]:
    """Each kind of message that programs can ask for, as the path of the receiver."""
    return {event.happening.value: {"post": _message(event)} for event in EVENTS.values()}


def _message(event: Event) -> dict[str, Any]:
    properties: dict[str, Schema] = {
        "type": {"const": event.happening.value, "description": event.meaning},
        "timestamp": {"type": "string", "format": "date-time", "description": "When it happened."},
        "data": {"$ref": REFERENCES.format(model=event.message.__name__)},
    }
    envelope = {
        "type": "object",
        "required": list(properties),
        "additionalProperties": False,
        "properties": properties,
    }
    who = " Members may ask for it for a program of their own." if event.own else ""
    return {
        "summary": event.meaning,
        "description": f"Signed as the Standard Webhooks specification says; the guide has an example.{who}",
        "requestBody": {"required": True, "content": {JSON: {"schema": envelope}}},
        "responses": {"2XX": {"description": "It has arrived; anything else is tried again."}},
    }


def _responses(operation: Operation, described: Described) -> dict[str, Any]:
    if isinstance(operation, Reading):
        content = {JSON: {"schema": described.answer(operation.answer)}}
        content |= {media_type: {"schema": _file(media_type)} for media_type in operation.written}
        return {"200": {"description": "The answer", "content": content}}
    if isinstance(operation, Listing):
        return {"200": _list("A page", operation.line, described, paged=True)}
    if isinstance(operation, Gathering):
        return {"200": _list("The list", operation.line, described, paged=False)}
    if isinstance(operation, Download):
        media_type = operation.media_type.partition(";")[0]
        schema = _file(media_type) if operation.answer is None else described.answer(operation.answer)
        return {"200": {"description": "The file", "content": {media_type: {"schema": schema}}}}
    assert isinstance(operation, Change)  # noqa: S101 - the fifth and last kind
    if operation.answer is None:
        return {str(usual_status(operation)): {"description": "Done"}}
    answers = {usual_status(operation): operation.answer, **operation.also}
    return {str(status): _json("Done", described.answer(answer)) for status, answer in answers.items()}


def _accepted(operation: Change, media_type: str, described: Described) -> Schema:
    if media_type.startswith("multipart/") and operation.form is not None:
        return described.body(operation.form)
    # Generators know no string but one in JSON, unless it is told as bytes.
    return {"type": "string", "format": "binary", "description": "The text or file as it is."}


def _file(media_type: str) -> Schema:
    """What is no JSON: text, or bytes."""
    is_text = media_type.startswith("text/") or media_type.endswith("+xml")
    return {"type": "string"} if is_text else {"type": "string", "format": "binary"}


def _json(description: str, schema: Schema) -> dict[str, Any]:
    return {"description": description, "content": {JSON: {"schema": schema}}}


def _list(description: str, line: type, described: Described, *, paged: bool) -> dict[str, Any]:
    whole = _json(description, _envelope(described.answer(line), paged=paged))
    whole["content"][PART] = {"schema": _envelope(described.some_fields_of(line), paged=paged)}
    return whole


def _envelope(line: Schema, *, paged: bool) -> Schema:
    properties: dict[str, Schema] = {"results": {"type": "array", "items": line}}
    if paged:
        link = {"type": ["string", "null"], "format": "uri", "description": "Address of that page."}
        properties = {"next": link, "previous": link, **properties}
    return {
        "type": "object",
        "required": list(properties),
        "additionalProperties": False,
        "properties": properties,
    }


def _places(path: str) -> list[dict[str, Any]]:
    return [
        {
            "name": name,
            "in": "path",
            "required": True,
            "schema": _PLACES[kind or "str"],
            "description": f"Id of the {name.removesuffix('_id').replace('_', ' ')}.",
        }
        for kind, name in _PLACE.findall(path)
    ]


def _all_parameters(operation: Operation, described: Described) -> list[dict[str, Any]]:
    """Those of the path, then those of the query that are no part of the path."""
    own = {one["name"]: one for one in _parameters(operation, described)}
    places = _places(operation.path)
    for place in places:
        described_as = own.pop(place["name"], {}).get("description")
        place["description"] = described_as or place["description"]
    return [*places, *own.values()]


def _parameters(operation: Operation, described: Described) -> list[dict[str, Any]]:
    parameters = _query_parameters(described.query(operation.parameters))
    if isinstance(operation, Listing):
        cursor = {"type": "string", "description": "From next or previous of this very list."}
        size = {
            "type": "integer",
            "minimum": 1,
            "maximum": 200,
            "default": 50,
            "description": "Lines of a page.",
        }
        parameters += [_parameter("cursor", cursor), _parameter("page_size", size)]
    if isinstance(operation, Listing | Gathering):
        some = {"type": "string", "examples": [field_names(operation.line)[0]], "description": FIELDS_MEANING}
        parameters.append(_parameter(FIELDS, some))
    if operation.is_pending is not None:
        words = (
            "`wait=5`: answer once the worker is done, or after so many seconds (RFC 7240); 10 at most. Few requests "
            "wait at once, shared by the clubs: others are answered as things stand, without `Preference-Applied`."
        )
        wait = {"type": "string", "description": words}
        parameters.append({**_parameter("Prefer", wait), "in": "header"})
    if operation.standing is Standing.SIGNING_IN:
        parameters.append(_second_factor())
    return parameters


def _if_match(operation: Change) -> dict[str, Any]:
    needed = operation.version_needed and operation.creates is None
    tag = {"type": "string", "description": "ETag of the version that the change is meant for."}
    return {**_parameter("If-Match", tag), "in": "header", "required": needed}


def _second_factor() -> dict[str, Any]:
    code = {"type": "string", "description": "Code of the second factor, of those who have set one up."}
    return _parameter(CODE_HEADER, code) | {"in": "header"}


def _query_parameters(schema: Schema) -> list[dict[str, Any]]:
    required = schema.get("required", [])
    return [
        {**_parameter(name, dict(one)), "required": name in required}
        for name, one in schema.get("properties", {}).items()
    ]


def _parameter(name: str, schema: Schema) -> dict[str, Any]:
    description = schema.pop("description", "")
    schema.pop("title", None)
    parameter = {"name": name, "in": "query", "required": False, "schema": schema}
    return parameter | ({"description": description} if description else {})


def _data_classes(answers: Iterable[type]) -> dict[str, type]:
    """Every data class within the answers, by its name."""
    by_name: dict[str, type] = {}
    left = list(answers)
    while left:
        one = left.pop()
        left += getattr(one, "__args__", ())
        if dataclasses.is_dataclass(one) and isinstance(one, type) and one.__name__ not in by_name:
            by_name[one.__name__] = one
            left += get_type_hints(one).values()
    return by_name


def choices_within(types: Iterable[type]) -> dict[str, type[Enum]]:
    """Every closed set of values within answers and bodies, by its name."""
    by_name: dict[str, type[Enum]] = {}
    left, seen = list[Any](types), set[Any]()
    while left:
        one = left.pop()
        if one in seen:
            continue
        seen.add(one)
        left += getattr(one, "__args__", ())
        if not isinstance(one, type):
            continue
        if issubclass(one, Enum):
            by_name[one.__name__] = one
        elif issubclass(one, BaseModel):
            left += [info.annotation for info in one.model_fields.values()]
        elif dataclasses.is_dataclass(one):
            left += get_type_hints(one).values()
    return by_name


def _tell_values(schema: Schema, choices: type[Enum]) -> None:
    schema["description"] = with_values(schema.get("description", ""), value_meanings(choices))


def _tell(schema: Schema, answer: type) -> None:
    """Every field of an answer is there, no other is, and each says what it means."""
    schema.pop("title", None)
    schema["required"] = list(schema["properties"])
    schema["additionalProperties"] = False
    meaning = class_meaning(answer)
    if meaning:
        schema["description"] = meaning
    for name, text in field_meanings(answer).items():
        schema["properties"][name] = {**schema["properties"][name], "description": text}
    for one in schema["properties"].values():
        one.pop("title", None)
        one.pop("default", None)
