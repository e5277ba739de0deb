"""Whoever read a row may say so when they change it (RFC 9110, 13.1.1): held against every address that is changed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from golfstats.doors.rest.operations import OperationView
from tests.api.calls import CALLS
from tests.api.conftest import Worlds
from tests.api.requests import Answer, Sent, send, undone, valid
from tests.api.routes import operations

ROUTES = operations()
UNTOLD = {
    "PUT membership": "which club is meant first: the last word counts",
    "PUT player-guardian": "what a guardian said, kept with its day and who recorded it",
}
CHANGED = sorted(name for name in ROUTES if name.split()[0] in ("PUT", "PATCH") and name not in UNTOLD)


def changed(worlds: Worlds, name: str, tag: str) -> Answer:
    route, method = ROUTES[name]
    call = CALLS[name]
    sent = valid(worlds.own, route, method, call)
    return send(worlds.own.members[call.role], replace(sent, headers={"If-Match": tag} if tag else {}))


def tag_told(worlds: Worlds, name: str) -> str:
    """Of the read at the same address, or at the one above."""
    route, method = ROUTES[name]
    assert issubclass(route.view, OperationView)
    told_by = route.view.told_by
    assert told_by is not None, f"{name} has no read whose tag it could name"
    read, _ = ROUTES[f"GET {told_by.name}"]
    call = CALLS[name]
    address = valid(worlds.own, route, method, call).address
    own = address if len(read.path) == len(route.path) else address.rpartition("/")[0]
    return send(worlds.own.members[call.role], Sent("GET", own)).headers["ETag"]


@pytest.mark.parametrize("name", CHANGED)
def test_a_change_meant_for_what_was_read_is_made(worlds: Worlds, name: str) -> None:
    with undone():
        answer = changed(worlds, name, tag_told(worlds, name))
        assert answer.status_code in (200, 201), answer.text


@pytest.mark.parametrize("name", CHANGED)
def test_one_meant_for_something_else_is_refused(worlds: Worlds, name: str) -> None:
    present = tag_told(worlds, name)
    with undone():
        refused = changed(worlds, name, '"0123456789"')
        assert refused.status_code == 412, refused.text
        assert refused.json["type"] == "/problems/changed-meanwhile"
        assert present.startswith(refused.headers["ETag"].rstrip('"'))  # a round's own version alone
        assert tag_told(worlds, name) == present


@pytest.mark.parametrize("name", CHANGED)
def test_the_second_of_two_who_read_the_same_is_refused(worlds: Worlds, name: str) -> None:
    with undone():
        read = tag_told(worlds, name)
        assert changed(worlds, name, read).status_code in (200, 201)
        if name != "PUT dismissed-warnings":  # the round has no warnings to dismiss
            assert tag_told(worlds, name) != read
            repeated = 200 if name == "PUT round" else 412  # the very same round again is harmless
            assert changed(worlds, name, read).status_code == repeated
