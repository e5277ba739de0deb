"""Holding answers to the API document."""

from __future__ import annotations

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
        return [error.message for error in Draft202012Validator(schema).iter_errors(answer.json)]

    def _resolved(self, found: dict[str, Any]) -> dict[str, Any]:
        while "$ref" in found:
            name = found["$ref"].rpartition("/")[2]
            found = self.document["components"]["responses"][name]
        return found
