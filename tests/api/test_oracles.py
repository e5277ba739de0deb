"""A row of another club looks like one that never was: the same answer, after the same statements.

How long an answer takes differs from run to run; which statements it takes does not, and it is they that would tell
somebody with a clock whether a row is there.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from golfstats.ground.clubs.models import Member
from golfstats.ground.ids import new_id
from tests.api.calls import CALLS, Call
from tests.api.conftest import Worlds
from tests.api.graphql_calls import call_of, root_fields
from tests.api.requests import UUID, Answer, Sent, send, undone, valid, with_foreign_ids
from tests.api.routes import Route, operations

TARGETS = operations()
GRAPHQL = TARGETS.pop("POST graphql")
REST = sorted(name for name, (route, _) in TARGETS.items() if route.is_rest)
ANY_ID = re.compile(r"[0-9a-f]{8}(?:-?[0-9a-f]{4}){3}-?[0-9a-f]{12}")
"""As answers and as statements write one."""
OF_EACH_REQUEST = {"date", "x-request-id", "etag", "last-modified"}
"""Headers that no two requests share, or that follow from the body, which is compared."""


@dataclass(frozen=True)
class Seen:
    """What somebody with a clock and a log could compare; ids and moments are blotted out."""

    status: int
    headers: dict[str, str]
    text: str
    statements: list[str]


def seen(member: Member, sent: Sent) -> Seen:
    with undone(), CaptureQueriesContext(connection) as captured:
        answer = send(member, sent)
    return Seen(
        answer.status_code,
        _headers(answer),
        _blotted(answer.text),
        [_blotted(str(one["sql"])) for one in captured],
    )


def _headers(answer: Answer) -> dict[str, str]:
    return {
        name.lower(): _blotted(value)
        for name, value in answer.headers.items()
        if name.lower() not in OF_EACH_REQUEST
    }


def _blotted(text: str) -> str:
    return re.sub(r"\d+", "#", ANY_ID.sub("an id", text))


def pairs(sent: Sent, worlds: Worlds) -> Iterator[tuple[Sent, Sent]]:
    """Requests that name rows of the victim's, each with the same about rows that never were."""
    for place in ("address", "body"):
        for foreign in with_foreign_ids(sent, worlds.own, worlds.victim, place):
            text = str(getattr(foreign, place))
            known = set(UUID.findall(str(getattr(sent, place))))
            for one in dict.fromkeys(UUID.findall(text)):
                if one not in known:
                    text = text.replace(one, str(new_id()))
            yield foreign, replace(foreign, **{place: text})


def differences(worlds: Worlds, route: Route, method: str, call: Call) -> list[str]:
    member = worlds.own.members[call.role]
    found = []
    for foreign, never in pairs(valid(worlds.own, route, method, call), worlds):
        seen(member, never)  # what a process does once is done
        if seen(member, foreign) != seen(member, never):
            found.append(foreign.words)
    return found


@pytest.mark.parametrize("name", REST)
def test_another_clubs_rows_are_like_none(worlds: Worlds, name: str) -> None:
    assert differences(worlds, *TARGETS[name], CALLS[name]) == []


@pytest.mark.parametrize("field", sorted(root_fields()))
def test_another_clubs_rows_are_like_none_by_graphql(worlds: Worlds, field: str) -> None:
    assert differences(worlds, *GRAPHQL, call_of(field)) == []


def test_a_row_of_ones_own_is_not_like_none(worlds: Worlds) -> None:
    """The blots leave enough to see a difference by."""
    route, method = TARGETS["GET player"]
    sent = valid(worlds.own, route, method, CALLS["GET player"])
    never = replace(sent, address=UUID.sub(str(new_id()), sent.address))
    member = worlds.own.members[CALLS["GET player"].role]
    assert seen(member, sent).status != seen(member, never).status
    assert seen(member, sent).statements != seen(member, never).statements
