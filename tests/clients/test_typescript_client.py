"""The types that a well-kept generator makes of the API document let a TypeScript program call every operation."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from golfstats.doors.rest.examples import examples
from golfstats.doors.rest.openapi import document

pytestmark = pytest.mark.slow

PACKAGES = ("openapi-typescript@7.13.0", "openapi-fetch@0.17.0", "typescript@5.9.3")
GENERATED_WITH = ("--default-non-nullable", "false", "--output", "golf.d.ts")
"""As the developers' guide says: else what has a default in a body would have to be sent."""
GUIDE = Path(__file__).parents[2] / "golfstats/doors/pages/templates/web/guide.html"
JSON = "application/json"
STRICT = ("--noEmit", "--strict", "--skipLibCheck", "--module", "esnext", "--moduleResolution", "bundler")


def run(*arguments: str, folder: Path) -> str:
    done = subprocess.run(arguments, cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the generator, the compiler and the generated types are."""
    assert shutil.which("npm"), "this test needs Node.js with npm"
    found = tmp_path_factory.mktemp("typescript")
    (found / "package.json").write_text('{"type": "module", "private": true}')
    (found / "openapi.json").write_text(json.dumps(document()))
    run("npm", "install", "--no-audit", "--no-fund", "--ignore-scripts", *PACKAGES, folder=found)
    run("npx", "openapi-typescript", "openapi.json", *GENERATED_WITH, folder=found)
    return found


def test_a_call_of_every_operation_compiles(folder: Path) -> None:
    calls = list(every_call(document()))
    assert len(calls) > 150
    lines = [
        'import createClient from "openapi-fetch";',
        'import type { paths } from "./golf";',
        'const golf = createClient<paths>({ baseUrl: "https://golf.example" });',
        *calls,
    ]
    (folder / "calls.ts").write_text("\n".join(lines))
    run("npx", "tsc", *STRICT, "calls.ts", folder=folder)


def test_the_guide_says_how_the_types_are_made() -> None:
    assert " ".join(GENERATED_WITH) in GUIDE.read_text(encoding="utf-8")


def test_canary_a_wrong_call_does_not_compile(folder: Path) -> None:
    """Types that allowed everything would pass the test above as well."""
    wrong = [
        'import createClient from "openapi-fetch";',
        'import type { paths } from "./golf";',
        'const golf = createClient<paths>({ baseUrl: "https://golf.example" });',
        'const { data } = await golf.GET("/api/v1/players/{player_id}", { params: { path: { player_id: "x" } } });',
        "const surname: string = data!.surname;",
    ]
    (folder / "wrong.ts").write_text("\n".join(wrong))
    with pytest.raises(AssertionError, match="surname"):
        run("npx", "tsc", *STRICT, "--target", "es2022", "wrong.ts", folder=folder)


def every_call(told: dict[str, Any]) -> Iterator[str]:
    for path, methods in told["paths"].items():
        for method, operation in methods.items():
            if method in {"get", "post", "put", "patch", "delete"}:
                options = _options(told, operation)
                yield f'void golf.{method.upper()}("{path}", {options});'


def _options(told: dict[str, Any], operation: dict[str, Any]) -> str:
    params: dict[str, dict[str, Any]] = {}
    for parameter in (_resolved(told, one) for one in operation.get("parameters", [])):
        if parameter.get("required"):
            params.setdefault(parameter["in"], {})[parameter["name"]] = _value(told, parameter["schema"])
    parts = [f"params: {json.dumps(params)}"] if params else []
    content = operation.get("requestBody", {}).get("content", {})
    if content:
        body = examples().get(operation["operationId"], {}).get("body")
        known = JSON in content and body is not None
        # A form or a text has no example; that its type is there is what is held.
        parts.append(f"body: {json.dumps(body)}" if known else "body: {} as never")
    return "{ " + ", ".join(parts) + " }"


def _value(told: dict[str, Any], schema: dict[str, Any]) -> Any:
    """Something of the schema's type."""
    schema = _resolved(told, schema)
    if "anyOf" in schema:
        return _value(told, schema["anyOf"][0])
    if "enum" in schema:
        return schema["enum"][0]
    return {"integer": 1, "number": 1.5, "boolean": True, "array": []}.get(
        schema.get("type", ""), "2026-06-14"
    )


def _resolved(told: dict[str, Any], found: dict[str, Any]) -> dict[str, Any]:
    while "$ref" in found:
        target: Any = told
        for step in found["$ref"].removeprefix("#/").split("/"):
            target = target[step]
        found = target
    return found
