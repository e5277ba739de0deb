"""Every operation of the API document with a valid request for it, as a generated client is to send it."""

from __future__ import annotations

import gzip
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any
from wsgiref.types import StartResponse, WSGIEnvironment

from django.core.signals import request_started
from django.core.wsgi import get_wsgi_application
from django.db import close_old_connections

from courses.layout.models import Course, TeeSet
from golfstats.doors.rest.reference.openapi import document
from golfstats.ground.clubs import accounts
from golfstats.ground.clubs.models import Role, Scope
from players.files.operations import fields_of
from tests import factories
from tests.api.calls import CALLS, FORM, Call, expected_status, fixed
from tests.api.requests import undone, value_of
from tests.api.routes import Route, operations
from tests.api.world import World

METHODS = {"get", "post", "put", "patch", "delete"}
PASSWORD = "many words nobody guesses"
GZIP = b"\x1f\x8b"
NEWCOMER = "newcomer"
"""Who has an account, and belongs to no club yet."""

SUCCEEDS: dict[str, Call] = {
    "POST account-email": Call(
        body=fixed({"present": PASSWORD, "email": "someone@club.example"}), status=204
    ),
    "POST account-password": Call(
        body=fixed({"present": PASSWORD, "new": "other words nobody guesses"}), status=204
    ),
    "POST accept-invitation": Call(body=lambda world: {"invitation": world.invitation}, status=201),
    "DELETE course": Call(places=lambda world: {"course_id": world.spare_ids[0]}, status=204),
    "DELETE tee": Call(
        places=lambda world: {"course_id": world.spare_ids[0], "tee_id": world.spare_ids[1]}, status=204
    ),
    "POST course-merged": Call(
        body=lambda world: {"into": world.id(Course), "tee": world.id(TeeSet)},
        places=lambda world: {"course_id": world.spare_ids[0]},
        status=200,
    ),
}
"""In place of those requests of the table that are valid and refused, for what the world is like."""


@dataclass(frozen=True)
class Asked:
    """A request, in the words of the document."""

    id: str
    module: str
    """Where the Python client has it."""
    method: str
    path: str
    """With the names of its parts in braces."""
    places: dict[str, str]
    query: dict[str, str]
    body: Any
    """What JSON holds, the fields of a form, or the bytes of whatever else."""
    media_type: str
    status: int
    security: str
    """``token``, ``password`` or nothing."""
    who: str


@dataclass
class Credentials:
    """Tokens of those who ask, by role; made once for a world."""

    slug: str
    manager: str
    tokens: dict[str, str] = field(default_factory=dict)


def described() -> dict[str, dict[str, Any]]:
    """By its id: method, path and the rest of every operation of the document."""
    return {
        operation["operationId"]: {"method": method, "path": path, **operation}
        for path, methods in document()["paths"].items()
        for method, operation in methods.items()
        if method in METHODS
    }


def names() -> dict[str, str]:
    """By the id of an operation of the document its name in the table of valid requests."""
    by_place = {
        (route.openapi_path(), method.lower()): name for name, (route, method) in operations().items()
    }
    return {id_: by_place[told["path"], told["method"]] for id_, told in described().items()}


def asked(world: World, operation_id: str) -> Asked:
    """Its valid request, about this world's rows."""
    name = names()[operation_id]
    told = described()[operation_id]
    route, method = operations()[name]
    call = SUCCEEDS.get(name, CALLS[name])
    security = told.get("security", [{"token": []}])
    return Asked(
        operation_id,
        f"{re.sub('[^a-z]', '_', told['tags'][0])}.{operation_id}",
        method.lower(),
        told["path"],
        _places(route, world, call),
        call.query(world),
        _body(call, world),
        call.content_type.partition(";")[0],
        call.status or expected_status(name),
        next(iter(security[0])) if security else "",
        NEWCOMER if operation_id == "accept_invitation" else str(call.role),
    )


def _places(route: Route, world: World, call: Call) -> dict[str, str]:
    return {one: value_of(route, world, one) for one in route.parameters} | call.places(world)


def _body(call: Call, world: World) -> Any:
    if call.body is None:
        return None
    body = call.body(world)
    if call.content_type == FORM:
        return fields_of(body.encode(), FORM)
    return body.encode() if isinstance(body, str) else body


def credentials(world: World) -> Credentials:
    """Everybody's tokens, and a password for the manager."""
    manager = world.members[Role.MANAGER].user
    manager.set_password(PASSWORD)
    manager.save()
    made = Credentials(world.club.slug, manager.username)
    people = {str(role): member.user for role, member in world.members.items()}
    for who, user in (people | {NEWCOMER: factories.make_user(f"newcomer-{world.club.slug}")}).items():
        _, made.tokens[who] = accounts.make_token(user, "client", Scope.EVERYTHING, 1)
    return made


class UndoneService:
    """The service, on this thread's connection, which outlives requests; what one does is undone when it is answered."""

    def __init__(self) -> None:
        self._service = get_wsgi_application()
        self.answers: list[bytes] = []

    def __call__(self, about: WSGIEnvironment, start: StartResponse) -> Iterator[bytes]:
        request_started.disconnect(close_old_connections)
        with undone():
            answer = self._service(about, start)
            whole = b"".join(answer)
        request_started.connect(close_old_connections)
        self.answers.append(gzip.decompress(whole) if whole.startswith(GZIP) else whole)
        yield whole
