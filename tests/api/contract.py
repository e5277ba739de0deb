"""Holding answers to the API document."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from jsonschema import Draft202012Validator

from tests.api.requests import Answer
from tests.api.routes import Route


@dataclass(frozen=True)
class Contract:
    document: dict[str, Any]

    def operation(self, route: Route, method: str) -> dict[str, Any]:
        found = self.document["paths"][route.openapi_path()][method.lower()]
        assert isinstance(found, dict)
        return found

    def faults(self, route: Route, method: str, answer: Answer) -> list[str]:
        """What an answer is other than the document says; a sentence each."""
        responses = self.operation(route, method)["responses"]
        named = responses.get(str(answer.status_code))
        if named is None and answer.status_code < 400:
            return [f"status {answer.status_code} is not described"]
        response = self._resolved(named or responses["default"])
        content = response.get("content")
        if not content:
            return [f"a body where none is described: {answer.text[:80]}"] if answer.text else []
        media_type = answer.headers["Content-Type"].split(";")[0]
        if media_type not in content:
            return [f"{media_type} is not described"]
        if not media_type.endswith("json"):
            return []
        schema = content[media_type].get("schema", {}) | {"components": self.document["components"]}
        wrong = [error.message for error in Draft202012Validator(schema).iter_errors(answer.json)]
        examples = [
            one["value"] for one in content[media_type].get("examples", {}).values() if "value" in one
        ]
        if answer.status_code < 400 and examples:
            wrong += min((list(differences(one, answer.json)) for one in examples), key=len)
        return wrong

    def _resolved(self, found: dict[str, Any]) -> dict[str, Any]:
        while "$ref" in found:
            name = found["$ref"].rpartition("/")[2]
            found = self.document["components"]["responses"][name]
        return found


def differences(example: Any, answer: Any, place: str = "") -> Iterator[str]:
    """Where an example has other names than a real answer: at the top, and in the first row of a list."""
    if isinstance(example, list) and isinstance(answer, list):
        if example and answer:
            yield from differences(example[0], answer[0], f"{place}/0")
        return
    if not (isinstance(example, dict) and isinstance(answer, dict)):
        return
    for name in sorted(set(example) ^ set(answer)):
        yield f"{place}/{name} is only in the {'example' if name in example else 'answer'}"
    for name in ("results", "items", "round"):
        if name in example and name in answer:
            yield from differences(example[name], answer[name], f"{place}/{name}")
