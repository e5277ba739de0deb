"""Every page, attacked by members of another club: its address, and each id that a form of it sends."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.db import transaction
from rest_framework.test import APIClient

from golfstats.ground.clubs.models import Member, Role
from players.people.models import Player
from tests.api.attack import contents_of, dangling_keys, leaks
from tests.api.conftest import Worlds
from tests.api.forms import FORM, Form, address, forms_of, submitted
from tests.api.requests import UUID, Sent, send, undone, with_foreign_ids
from tests.api.routes import Route, pages
from tests.api.world import World

PAGES = pages()
LANGUAGE = "/language"
OF_A_CLUB = sorted(name for name, route in PAGES.items() if "slug" in route.parameters)


def foreign_addresses(route: Route, worlds: Worlds) -> Iterator[str]:
    """The victim's page, one's own page under the victim's club, and the victim's rows under one's own."""
    own = address(route, worlds.own)
    yield address(route, worlds.victim)
    yield own.replace(f"/{worlds.own.club.slug}/", f"/{worlds.victim.club.slug}/", 1)
    yield from (
        one.address for one in with_foreign_ids(Sent("GET", own), worlds.own, worlds.victim, "address")
    )


def faults(member: Member, sent: Sent, victim: World, statuses: tuple[int, ...]) -> list[str]:
    with transaction.atomic():
        answer = send(member, sent)
        found = list(leaks(answer, sent, victim))
        if answer.status_code < 400:
            found += dangling_keys()
    if answer.status_code not in statuses:
        found.append(f"answered {answer.status_code}")
    return [f"{member.role}: {sent.words}: {fault}" for fault in found]


@pytest.mark.parametrize("name", OF_A_CLUB)
def test_address_of_another_club(worlds: Worlds, name: str) -> None:
    route = PAGES[name]
    before = contents_of(worlds.victim)
    with undone():
        found = [
            fault
            for one in dict.fromkeys(foreign_addresses(route, worlds))
            for method in route.methods
            for member in worlds.own.members.values()
            for fault in faults(
                member, Sent(method, one, "", FORM), worlds.victim, allowed(member, route, method, worlds)
            )
        ]
        assert contents_of(worlds.victim) == before
    assert found == []


def allowed(member: Member, route: Route, method: str, worlds: Worlds) -> tuple[int, ...]:
    """404; 403 only to whom the page is forbidden at home as well."""
    with undone():
        at_home = send(member, Sent(method, address(route, worlds.own), "", FORM)).status_code
    return (403, 404) if at_home == 403 else (404,)


@pytest.mark.parametrize("name", OF_A_CLUB)
def test_ids_in_forms(worlds: Worlds, name: str) -> None:
    """Each id that a page offers in a form is exchanged for the victim's."""
    route = PAGES[name]
    if "GET" not in route.methods:
        return  # its form is on another page
    before = contents_of(worlds.victim)
    found = []
    with undone():
        for member in worlds.own.members.values():
            here = Sent("GET", address(route, worlds.own))
            for form in forms_of(send(member, here).text):
                if form.action == LANGUAGE:
                    continue  # leads back to the page that it names, and that page is attacked by its address
                for sent in foreign_forms(form, here.address, worlds):
                    found += faults(member, sent, worlds.victim, (200, 400, 403, 404, 422))
        assert contents_of(worlds.victim) == before
    assert found == []


def foreign_forms(form: Form, here: str, worlds: Worlds) -> Iterator[Sent]:
    for name, values in form.fields.items():
        for value in values:
            if UUID.search(value):
                sent = submitted(form, form.action or here, form.first_values() | {name: value})
                place = "body" if form.method == "POST" else "address"
                yield from with_foreign_ids(sent, worlds.own, worlds.victim, place)


def test_ids_in_the_query(worlds: Worlds) -> None:
    """The one page that takes ids in its address without naming them in its path."""
    own = address(PAGES["compare-page"], worlds.own) + f"?player={worlds.own.id(Player)}&player="
    member = worlds.own.members[Role.MANAGER]
    assert send(member, Sent("GET", own + worlds.own.mate_id)).status_code == 200
    assert faults(member, Sent("GET", own + worlds.victim.mate_id), worlds.victim, (404, 422)) == []


@pytest.mark.parametrize("name", OF_A_CLUB)
def test_nothing_without_a_sign_in(worlds: Worlds, name: str) -> None:
    route = PAGES[name]
    for method in route.methods:
        answer = APIClient().generic(method, address(route, worlds.own), "", content_type=FORM)
        assert answer.status_code == 302
        assert answer.headers["Location"].startswith("/sign-in?next=")


@pytest.mark.parametrize("name", sorted(set(PAGES) - set(OF_A_CLUB)))
def test_pages_of_no_club_tell_of_none(worlds: Worlds, name: str) -> None:
    route = PAGES[name]
    if route.parameters:
        assert set(route.parameters) <= {"version", "kind", "token", "uidb64"}  # no row of a club
        return
    with undone():
        for member in worlds.own.members.values():
            sent = Sent("GET", address(route, worlds.own))
            found = set(leaks(send(member, sent), sent, worlds.victim))
            assert found <= ({"broke"} if name == "health" else set())  # no worker runs here, which it tells


def test_canary_forms_are_found(worlds: Worlds) -> None:
    """At least one form offers ids, and exchanging them is what the tests above do."""
    page = '<form method="post" action="/x"><input name="a" value="1"><select name="player">'
    page += (
        f'<option value="{worlds.own.mate_id}">Mate<option value="{worlds.own.id(Player)}"></select></form>'
    )
    (form,) = forms_of(page)
    mate, player = foreign_forms(form, "/here", worlds)
    assert {(sent.method, sent.address) for sent in (mate, player)} == {("POST", "/x")}
    assert worlds.victim.mate_id in mate.body
    assert worlds.victim.id(Player) in player.body
