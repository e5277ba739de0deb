"""The generated Python client calls every operation there is, and its classes hold every answer without loss."""

from __future__ import annotations

import datetime as dt
import enum
import importlib
import inspect
import io
import json
import re
import types
import typing
from pathlib import Path
from typing import Any
from uuid import UUID

import httpx
import pytest

from tests.api.world import World
from tests.clients.every import (
    PASSWORD,
    SUCCEEDS,
    Asked,
    Credentials,
    UndoneService,
    asked,
    described,
    names,
)

pytestmark = pytest.mark.slow
EVERY = sorted(names())
BYTES = {"application/vnd.apache.parquet", "application/zip"}
MOMENT = re.compile(r"\d{4}-\d\d-\d\dT")


class WholeBodies(httpx.WSGITransport):
    """Servers hand a body that comes in pieces on as one, with its length."""

    def handle_request(self, request: httpx.Request) -> httpx.Response:
        request.headers["Content-Length"] = str(len(request.read()))
        return super().handle_request(request)


@pytest.fixture(scope="module")
def package(python_client: Path) -> Any:
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(python_client)
        yield importlib.import_module("golf_client")


def test_the_client_has_the_operations_of_the_document(package: Any) -> None:
    folder = Path(package.__file__).parent / "api"
    made = {one.stem for one in folder.glob("*/*.py")} - {"__init__"}
    assert made == set(EVERY) == set(described())
    assert set(SUCCEEDS) <= set(names().values())


@pytest.mark.parametrize("operation", EVERY)
def test_operation_is_called(package: Any, world: World, signed_in: Credentials, operation: str) -> None:
    wanted = asked(world, operation)
    module = importlib.import_module(f"golf_client.api.{wanted.module}")
    with _client(package, wanted, signed_in) as client:
        answer = module.sync_detailed(client=client, **_arguments(package, module, wanted, signed_in))
    assert answer.status_code == wanted.status, answer.content
    content = described()[operation]["responses"][str(wanted.status)].get("content", {})
    told = answer.headers.get("Content-Type", "").partition(";")[0]
    if not content:
        assert (answer.parsed, answer.content) == (None, b"")
    elif told in BYTES:
        assert answer.parsed.payload.read() == answer.content
    elif told.startswith("text/"):
        assert answer.parsed == answer.content.decode()
    else:
        parsed, whole = answer.parsed, json.loads(answer.content)
        if isinstance(whole, list):
            parsed, whole = parsed[0], whole[0]
        assert type(parsed).__module__.startswith("golf_client.models."), type(parsed)
        assert _plain(parsed.to_dict()) == _plain(whole)


def test_canary_a_class_without_a_field_is_noticed(package: Any, world: World) -> None:
    del world
    club = importlib.import_module("golf_client.models").Me
    whole = {"id": str(UUID(int=1)), "name": "A", "role": "coach", "player": None, "more": 1}
    assert _plain(club.from_dict(whole).to_dict()) != whole


def _client(package: Any, wanted: Asked, signed_in: Credentials) -> httpx.Client:
    settings: dict[str, Any] = {"base_url": "http://testserver"}
    inner = httpx.Client(transport=WholeBodies(app=UndoneService()), **settings)
    if wanted.security == "token":
        inner.headers["Authorization"] = f"Bearer {signed_in.tokens[wanted.who]}"
    elif wanted.security == "password":
        inner.auth = httpx.BasicAuth(signed_in.manager, PASSWORD)
    made: httpx.Client = package.Client(**settings).set_httpx_client(inner)
    return made


def _arguments(package: Any, module: Any, wanted: Asked, signed_in: Credentials) -> dict[str, Any]:
    """What ``sync_detailed`` takes, of the types that it names."""
    hints = typing.get_type_hints(module.sync_detailed)
    named = inspect.signature(module.sync_detailed).parameters
    given = {name: _typed(value, hints[name]) for name, value in wanted.places.items()}
    for name, value in wanted.query.items():
        # A word of Python's own, or one that a header has as well.
        own = next(one for one in (name, f"{name}_", f"{name}_query") if one in named)
        given[own] = _typed(value, hints[own])
    if "club" in named and wanted.security == "token":
        given["club"] = signed_in.slug
    if "if_match" in named:
        given["if_match"] = "*"
    if wanted.body is not None:
        given["body"] = _sent(package, wanted, hints["body"])
    return given


def _sent(package: Any, wanted: Asked, hint: Any) -> Any:
    file = package.types.File
    if isinstance(wanted.body, bytes):
        return file(payload=io.BytesIO(wanted.body))
    kind = next(one for one in _choices(hint) if hasattr(one, "from_dict"))
    made = kind.from_dict(wanted.body)
    if isinstance(getattr(made, "file", None), file):
        made.file.file_name = "rounds.csv"
    return made


def _typed(text: str, hint: Any) -> Any:
    """The value of a parameter that the text means."""
    for kind in _choices(hint):
        if kind in (UUID, int, float) or (isinstance(kind, type) and issubclass(kind, enum.Enum)):
            return kind(text)
        if kind in (dt.date, dt.datetime):
            return kind.fromisoformat(text)
        if typing.get_origin(kind) is list:
            return text.split(",")
    return text


def _choices(hint: Any) -> tuple[Any, ...]:
    return typing.get_args(hint) if isinstance(hint, types.UnionType) else (hint,)


def _plain(value: Any) -> Any:
    """With each moment written one way: clients write +00:00 where the service writes Z."""
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, list):
        return [_plain(one) for one in value]
    if isinstance(value, str) and MOMENT.match(value):
        return dt.datetime.fromisoformat(value).isoformat()
    return value
