"""Sending the requests of ``tests.api.calls``, as they are or with other clubs' ids in them."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import Any
from urllib.parse import urlencode

import pyarrow.parquet as pq
from django.db import connection, transaction
from rest_framework.test import APIClient

from golfstats.ground.clubs.models import Member
from tests.api.calls import Call
from tests.api.routes import ROWS_OF_PARAMETERS, WORDS, Route
from tests.api.world import World

UUID = re.compile(r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}")


@dataclass(frozen=True)
class Sent:
    """A request ready to be sent."""

    method: str
    address: str
    body: str = ""
    content_type: str = "application/json"
    headers: dict[str, str] = field(default_factory=dict)

    @property
    def words(self) -> str:
        return f"{self.method} {self.address} {self.body}"


def valid(world: World, route: Route, method: str, call: Call) -> Sent:
    """The request of the table, about this club's rows."""
    body = "" if call.body is None else _text(call.body(world))
    return Sent(
        method, _address(route, world, call.query(world), call.places(world)), body, call.content_type
    )


def _text(body: Any) -> str:
    return body if isinstance(body, str) else json.dumps(body)


def _address(route: Route, world: World, query: dict[str, str], places: dict[str, str]) -> str:
    address = route.address({name: value_of(route, world, name) for name in route.parameters} | places)
    return f"{address}?{urlencode(query)}" if query else address


def value_of(route: Route, world: World, parameter: str) -> str:
    if parameter == "secret":
        return world.secret
    if parameter == "slug":
        return world.club.slug
    if parameter in WORDS:
        return WORDS[parameter]
    model = route.row_of(parameter)
    return str(world.club.id) if model is type(world.club) else world.id(model)


def with_foreign_ids(sent: Sent, own: World, victim: World, place: str) -> list[Sent]:
    """One request for each own id in ``place`` ("address" or "body"), with the victim's in its stead.

    Where there are several, one more with all of them exchanged.
    """
    text = str(getattr(sent, place))
    ids = [one for one in dict.fromkeys(UUID.findall(text)) if _counterpart(one, own, victim)]
    changed = [text.replace(one, str(_counterpart(one, own, victim))) for one in ids]
    if len(ids) > 1:
        everything = text
        for one in ids:
            everything = everything.replace(one, str(_counterpart(one, own, victim)))
        changed.append(everything)
    return [replace(sent, **{place: one}) for one in changed]


def _counterpart(own_id: str, own: World, victim: World) -> str | None:
    if own_id == str(own.club.id):
        return str(victim.club.id)
    if own_id == own.mate_id:
        return victim.mate_id
    more = {own.own_webhook: victim.own_webhook, own.own_delivery: victim.own_delivery}
    if own_id in more:
        return more[own_id]
    model = own.model_of(own_id)
    return None if model is None else victim.id(model)


def with_foreign_filters(sent: Sent, parameters: list[dict[str, Any]], victim: World) -> list[Sent]:
    """One request for each query parameter of the API document that holds an id."""
    found = []
    for parameter in parameters:
        if parameter.get("in") != "query" or f"{parameter['name']}=" in sent.address:
            continue
        if parameter["schema"].get("format") == "uuid" or parameter["name"] in ROWS_OF_PARAMETERS:
            row = victim.id(ROWS_OF_PARAMETERS[parameter["name"]])
            joint = "&" if "?" in sent.address else "?"
            found.append(replace(sent, address=f"{sent.address}{joint}{parameter['name']}={row}"))
    return found


@dataclass(frozen=True)
class Answer:
    status_code: int
    headers: Mapping[str, str]
    text: str

    @property
    def json(self) -> Any:
        return json.loads(self.text)


def send(member: Member, sent: Sent) -> Answer:
    """The answer to this member, who names his own club unless the request says otherwise."""
    if sent.address.startswith("/api/") or sent.address == "/graphql":
        _client.force_authenticate(member.user)
    else:
        _client.force_login(member.user)
    headers = {"Club": member.club.slug, "If-Match": "*"} | sent.headers
    answer = _client.generic(
        sent.method, sent.address, sent.body, content_type=sent.content_type, headers=headers
    )
    return Answer(answer.status_code, answer.headers, _readable(answer))


def _readable(answer: Any) -> str:
    """The body as text; a packed table, in which nobody could see what it tells, as the JSON of its lines."""
    body = answer.getvalue()
    if answer.headers.get("Content-Type") == "application/vnd.apache.parquet":
        return json.dumps(pq.read_table(io.BytesIO(body)).to_pylist(), default=str)
    return str(body.decode(errors="replace"))


# One for all: a new one looks for the static files of every app first.
_client = APIClient()


@contextmanager
def undone() -> Iterator[None]:
    """Whatever is done inside is undone at its end."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


def check_keys_now() -> None:
    """Keys between tables are checked when a transaction commits, and none here ever does."""
    with connection.cursor() as cursor:
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        cursor.execute("SET CONSTRAINTS ALL DEFERRED")
