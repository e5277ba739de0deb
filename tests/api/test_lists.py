"""What every list takes: an order of one's own, and some fields only. Held against each of them, by its declaration."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from typing import Any
from urllib.parse import parse_qsl, urlencode, urlsplit

import pytest
from django.db import transaction
from pytest_django import DjangoDbBlocker

from golfstats.doors.operations import OPERATIONS
from golfstats.doors.rest.fields import PART, field_names
from golfstats.ground.clubs.models import Role
from golfstats.ground.operations import Gathering, Listing
from golfstats.ground.stretches import Stretch
from golfstats.ground.walls.scope import club_scope
from tests.api.calls import CALLS
from tests.api.graphql_calls import call_of
from tests.api.requests import Answer, Sent, send, valid
from tests.api.routes import operations
from tests.api.world import World, make_world

ROUTES = operations()
LISTS = {one.name: one for one in OPERATIONS if isinstance(one, Listing) and one.path}
GATHERINGS = {one.name: one for one in OPERATIONS if isinstance(one, Gathering) and one.path}
ORDERS = [
    (name, column)
    for name, one in sorted(LISTS.items())
    for column in (one.order[0].removeprefix("-"), *one.sorts)
]


SHORT = {
    *("bag-words", "course-notes", "invitations", "own-webhook-deliveries", "own-webhooks"),
    *("under-age-players", "webhooks"),
}
"""Of which the world below has one line or none."""


@pytest.fixture(scope="module")
def world(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[World]:
    """A club with several rows of nearly everything."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield make_world("lists", "Lists", days=3)
        transaction.set_rollback(True)


def asked(world: World, name: str, **more: str) -> Answer:
    route, method = ROUTES[f"GET {name}"]
    call = CALLS[f"GET {name}"]
    sent = valid(world, route, method, call)
    parts = urlsplit(sent.address)
    query = urlencode({**dict(parse_qsl(parts.query)), **more})
    return send(world.members[call.role], replace(sent, address=f"{parts.path}?{query}"))


def ids_by_pages_of_one(world: World, name: str, **query: str) -> list[Any]:
    """Through every page by its link, then back to the first."""
    member = world.members[CALLS[f"GET {name}"].role]
    page = asked(world, name, page_size="1", **query).json
    forwards, last = [page], page
    while last["next"]:
        last = send(member, Sent("GET", last["next"].removeprefix("http://testserver"))).json
        forwards.append(last)
    back = [last]
    while back[-1]["previous"]:
        address = back[-1]["previous"].removeprefix("http://testserver")
        back.append(send(member, Sent("GET", address)).json)
    assert [one["results"] for one in back[::-1]] == [one["results"] for one in forwards]
    return [json.dumps(line) for one in forwards for line in one["results"]]


@pytest.mark.parametrize(("name", "column"), ORDERS)
def test_a_list_comes_in_the_order_asked_for(world: World, name: str, column: str) -> None:
    whole = asked(world, name, sort=column).json["results"]
    told = [json.dumps(line) for line in whole]
    assert len(told) > 1 or name in SHORT
    assert ids_by_pages_of_one(world, name, sort=column) == told
    assert ids_by_pages_of_one(world, name, sort=f"-{column}") == told[::-1]
    values = [line[column] for line in whole if column in line]
    if values and column not in ("name", "word"):  # those by the alphabet of the database
        assert values == sorted(values)


@pytest.mark.parametrize("name", sorted(name for name, one in LISTS.items() if one.kept))
def test_a_kept_statement_finds_what_the_list_asked_for_anew_does(world: World, name: str) -> None:
    """An order that is named is no part of what is kept, even where it is the usual one."""
    anew = asked(world, name, sort=LISTS[name].order[0]).json["results"]
    assert len(anew) > 1
    assert ids_by_pages_of_one(world, name) == [json.dumps(line) for line in anew]


@pytest.mark.parametrize("role", list(Role))
def test_a_kept_statement_shows_each_role_its_own_rounds(world: World, role: Role) -> None:
    """Of two clubs in turn, so that what was written for the first is asked for the second."""
    other = make_world(f"kept-{role.value}", f"Kept {role.value}", days=2)
    for club in (world, other, world):
        kept, anew = (
            send(club.members[role], Sent("GET", f"/api/v1/rounds?page_size=200{more}")).json["results"]
            for more in ("", "&sort=-played_on")
        )
        assert kept == anew
        assert bool(kept) == (role is not Role.GREENKEEPER)


def test_what_one_club_began_to_write_another_may_ask_for_first(world: World) -> None:
    """As two threads may: the text is written when it is first asked for, in whichever club's scope."""
    other = make_world("kept-first", "Kept first", days=1)
    rounds = LISTS["rounds"]
    member = world.members[Role.MANAGER]
    stretch = Stretch(("played_on", "id"), descending=True, beyond=None, most=5)
    with club_scope(world.club.id):
        kept = rounds._kept._written(rounds.of.plain, member.role, None, stretch)
    with club_scope(other.club.id):
        values = kept.statement.values(member=member.id, club=other.club.id, parent=None)
    assert other.club.id in values
    assert world.club.id not in values


@pytest.mark.parametrize("name", sorted(LISTS))
def test_another_order_is_refused_by_the_name_of_the_parameter(world: World, name: str) -> None:
    answer = asked(world, name, sort="shoe_size")
    assert (answer.status_code, answer.json["type"]) == (422, "/problems/invalid-request")
    assert [fault["pointer"] for fault in answer.json["errors"]] == ["/sort"]
    page = asked(world, name, sort=LISTS[name].order[0], page_size="1").json
    if page["next"]:  # a cursor is of its order
        address = page["next"].replace("sort=", "sort=-").replace("--", "")
        member = world.members[CALLS[f"GET {name}"].role]
        refused = send(member, Sent("GET", address.removeprefix("http://testserver")))
        assert [fault["pointer"] for fault in refused.json["errors"]] == ["/cursor"]


@pytest.mark.parametrize("name", sorted({**LISTS, **GATHERINGS}))
def test_a_list_tells_the_fields_asked_for(world: World, name: str) -> None:
    line = {**LISTS, **GATHERINGS}[name].line
    wanted = field_names(line)[::2]
    whole, part = asked(world, name), asked(world, name, fields=",".join(wanted))
    assert whole.status_code == part.status_code == 200, part.text
    assert whole.headers["Content-Type"] == "application/json"
    assert part.headers["Content-Type"] == PART
    expected = [{one: told[one] for one in wanted} for told in whole.json["results"]]
    assert part.json["results"] == expected
    for unknown in ("shoe_size", "", f"{wanted[0]},,", f"{wanted[0]} "):
        refused = asked(world, name, fields=unknown)
        assert refused.status_code == 422, unknown
        (fault,) = refused.json["errors"]
        assert (fault["pointer"], fault["code"]) == ("/fields", "unknown_field")
        assert wanted[0] in fault["detail"]


def test_graphql_takes_the_same_order(world: World) -> None:
    call = call_of("rounds")
    member = world.members[call.role]
    days = {}
    for sort in ("played_on", "_played_on"):
        document = f"{{ rounds(sort: {sort}) {{ edges {{ node {{ id playedOn }} }} }} }}"
        sent = Sent("POST", "/graphql", json.dumps({"query": document}))
        edges = send(member, sent).json["data"]["rounds"]["edges"]
        days[sort] = [edge["node"] for edge in edges]
    assert days["played_on"] == days["_played_on"][::-1]
    assert days["played_on"] == sorted(days["played_on"], key=lambda node: (node["playedOn"], node["id"]))
    assert len(days["played_on"]) > 1
