"""What clients rely on, a line for each operation and field: a change of an answer is seen by its name."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from golfstats.doors.graphql.schema import schema
from golfstats.doors.operations import OPERATIONS
from golfstats.doors.rest.reference.document import paths_of

FILE = Path(__file__).with_name("contract.txt")


def contract() -> list[str]:
    paths, components = paths_of(OPERATIONS)
    lines = list(_operations(paths))
    lines += [
        f"{name}.{field}: {_kind(kind)}"
        for name, component in components.items()
        for field, kind in component.get("properties", {}).items()
    ]
    lines += [
        f"{name} = {' | '.join(map(str, component['enum']))}"
        for name, component in components.items()
        if "enum" in component
    ]
    return sorted(lines)


def _operations(paths: dict[str, Any]) -> Iterator[str]:
    for path, operations in paths.items():
        for method, operation in operations.items():
            parameters = ", ".join(
                one["name"] + ("" if one["required"] else "?")
                for one in operation["parameters"]
                if one["in"] == "query"
            )
            answers = ", ".join(
                _kind(content.get("schema", {}))
                for response in operation["responses"].values()
                for content in response.get("content", {}).values()
            )
            yield f"{method.upper()} {path}({parameters}) -> {answers or 'nothing'}"


def _kind(schema: dict[str, Any]) -> str:
    if "$ref" in schema:
        return str(schema["$ref"]).rpartition("/")[2]
    for name in ("anyOf", "allOf"):
        if name in schema:
            return " | ".join(_kind(one) for one in schema[name])
    if "enum" in schema or "const" in schema:
        return " | ".join(map(str, schema.get("enum", [schema.get("const")])))
    if schema.get("type") == "array":
        return f"[{_kind(schema.get('items', {}))}]"
    if "results" in schema.get("properties", {}):
        return f"page of {_kind(schema['properties']['results'])}"
    kinds = schema.get("type", "anything")
    return str(schema.get("format") or (" | ".join(kinds) if isinstance(kinds, list) else kinds))


def test_no_answer_changed_unnoticed() -> None:
    """``UPDATE_CONTRACT=1`` writes the file anew. A line that goes or changes breaks clients: say so in the changelog."""
    now = contract()
    if os.environ.get("UPDATE_CONTRACT") == "1":
        FILE.write_text("\n".join(now) + "\n", encoding="utf-8")
    kept = FILE.read_text(encoding="utf-8").splitlines()
    assert sorted(set(kept) - set(now)) == [], "these are gone or other than they were"
    assert sorted(set(now) - set(kept)) == [], "these are new: run this test with UPDATE_CONTRACT=1"


def test_nothing_is_a_plain_object_or_anything() -> None:
    plain = [
        line for line in contract() if line.endswith((": object", ": anything", "-> object", "-> anything"))
    ]
    assert plain == []


def test_graphql_has_no_untyped_json() -> None:
    assert "JSON" not in schema._schema.type_map
