"""Writes a TypeScript program that calls operations with openapi-fetch, typed by the API document."""

from __future__ import annotations

import base64
import json
from collections.abc import Iterable
from typing import Any

from tests.clients.every import PASSWORD, Asked, Credentials

JSON = "application/json"
PRELUDE = ['import createClient from "openapi-fetch";', 'import type { paths } from "./golf";']
HELPERS = """\
const asForm = (fields: unknown) => {
  const form = new FormData();
  for (const [name, value] of Object.entries(fields as object))
    form.append(name, name === "file" ? new Blob([String(value)]) : String(value));
  return form;
};
const asItIs = (body: unknown) => body as string;
type Told = { data?: unknown; error?: unknown; response: Response };
const tell = (id: string, { data, error, response }: Told) => {
  const told = data instanceof ArrayBuffer ? { bytes: data.byteLength } : { data };
  console.log(JSON.stringify({ id, status: response.status, error, ...told }));
};"""


def program(wanted: Iterable[Asked], document: dict[str, Any], signed_in: Credentials, site: str) -> str:
    """Calls them one after the other and prints a line for each."""
    lines = [*PRELUDE, f"const golf = createClient<paths>({{ baseUrl: {json.dumps(site)} }});", HELPERS]
    for one in wanted:
        operation = document["paths"][one.path][one.method]
        options = ", ".join(_options(one, _resolved(document, operation), document, signed_in))
        lines.append(f'tell("{one.id}", await golf.{one.method.upper()}("{one.path}", {{ {options} }}));')
    return "\n".join(lines)


def _options(
    one: Asked, operation: dict[str, Any], document: dict[str, Any], signed_in: Credentials
) -> Iterable[str]:
    yield f"params: {json.dumps(_params(one, operation, document, signed_in))}"
    headers = _sign_in(one, signed_in)
    if one.body is not None:
        schema = operation["requestBody"]["content"][one.media_type]["schema"]
        yield f"body: {json.dumps(_body(one, _resolved(document, schema), document))}"
        if one.media_type.startswith("multipart/"):
            yield "bodySerializer: asForm"
        elif one.media_type != JSON:
            headers["Content-Type"] = one.media_type
            yield "bodySerializer: asItIs"
    if headers:
        yield f"headers: {json.dumps(headers)}"
    content = operation["responses"][str(one.status)].get("content", {})
    if content and JSON not in content:
        is_text = all(media_type.startswith("text/") for media_type in content)
        yield f'parseAs: "{"text" if is_text else "arrayBuffer"}"'


def _params(
    one: Asked, operation: dict[str, Any], document: dict[str, Any], signed_in: Credentials
) -> dict[str, Any]:
    params: dict[str, dict[str, Any]] = {"path": one.places} if one.places else {}
    for parameter in (_resolved(document, each) for each in operation.get("parameters", [])):
        name, place = parameter["name"], parameter["in"]
        if place == "query" and name in one.query:
            value = _typed(one.query[name], _resolved(document, parameter["schema"]), document)
            params.setdefault("query", {})[name] = value
        elif name == "If-Match":
            params.setdefault("header", {})[name] = "*"
        elif name == "Club" and place == "header" and one.security == "token":
            params.setdefault("header", {})[name] = signed_in.slug
    return params


def _sign_in(one: Asked, signed_in: Credentials) -> dict[str, str]:
    if one.security == "password":
        both = base64.b64encode(f"{signed_in.manager}:{PASSWORD}".encode()).decode()
        return {"Authorization": f"Basic {both}"}
    return {"Authorization": f"Bearer {signed_in.tokens[one.who]}"} if one.security else {}


def _body(one: Asked, schema: dict[str, Any], document: dict[str, Any]) -> Any:
    if isinstance(one.body, bytes):
        return one.body.decode()
    if one.media_type == JSON:
        return one.body
    fields = {name: value.decode() if isinstance(value, bytes) else value for name, value in one.body.items()}
    kinds = schema["properties"]
    return {name: _typed(value, _resolved(document, kinds[name]), document) for name, value in fields.items()}


def _typed(text: str, schema: dict[str, Any], document: dict[str, Any]) -> Any:
    """The value of the schema's type that the text means."""
    if "anyOf" in schema:
        return _typed(text, _resolved(document, schema["anyOf"][0]), document)
    kinds = {"integer": int, "number": float, "boolean": lambda word: word == "true"}
    kind = schema.get("type", "")
    return text.split(",") if kind == "array" else kinds.get(kind, str)(text)


def _resolved(document: dict[str, Any], found: dict[str, Any]) -> dict[str, Any]:
    while "$ref" in found:
        target: Any = document
        for step in found["$ref"].removeprefix("#/").split("/"):
            target = target[step]
        found = target
    return found
