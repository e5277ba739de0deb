"""What every page takes, as its reader opens it on the demo: processor time beside a page that asks nothing."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterator
from functools import partial

from django.conf import settings
from django.test import Client
from django.urls import Resolver404, resolve

from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.walls.scope import club_scope
from tests.benchmarks import databases
from tests.benchmarks.measuring import Clock, Measured, pairs

TARGET = 50.0
"""Times the bare page: 100 ms where that takes 2 ms, as on a plain machine."""
LARGEST = 300_000
"""Bytes of a page."""
BARE = "/sign-in"
ROUNDS = 3
APART = ("sign-out", "export", "calendar", "card-file")
"""What is no page."""


def pages() -> Iterator[Measured]:
    """Each page once, by the name of its address, as the first role finds it by links. Slowest first."""
    databases.make_demo(lambda text: sys.stderr.write(f"{text}\n"))
    settings.ALLOWED_HOSTS = ["*"]
    club = databases.club()
    with club_scope(club.id):
        members = {role: Member.objects.filter(role=role).order_by("id").first() for role in Role}
    by_name: dict[str, tuple[Client, str]] = {}
    for role in (Role.COACH, Role.PLAYER, Role.GREENKEEPER, Role.MANAGER):
        member = members[role]
        if member is None:
            continue
        client = Client()
        client.force_login(member.user)
        for name, address in _walk(client, f"/clubs/{club.slug}/"):
            by_name.setdefault(f"{name} {role}" if name == "club-page" else name, (client, address))
    clock, bare = Clock(), partial(_get, Client(), BARE)
    for name, (client, address) in by_name.items():
        size = _get(client, address)
        ours, floor = pairs(partial(_get, client, address), bare, clock, rounds=ROUNDS)
        yield Measured(f"page {name}", ours, floor, TARGET, more={"bytes": size, "held": size <= LARGEST})


def _walk(client: Client, start: str) -> Iterator[tuple[str, str]]:
    """Name and address of every page that links lead to; of several alike the first."""
    seen, ahead = set(), [start]
    while ahead:
        address = ahead.pop(0)
        name = _name_of(address)
        if not name or name in seen or any(word in name for word in APART):
            continue
        seen.add(name)
        answer = client.get(address, follow=True)
        if answer.status_code != 200 or not answer["Content-Type"].startswith("text/html"):
            continue
        yield name, address
        ahead += [
            one.replace("&amp;", "&")
            for one in re.findall(r'href="(/[^"#]*)', answer.content.decode())
            if one.startswith(start)
        ]


def _name_of(address: str) -> str:
    try:
        return resolve(address.partition("?")[0]).url_name or ""
    except Resolver404:
        return ""


def _get(client: Client, address: str) -> int:
    answer = client.get(address, follow=True)
    assert answer.status_code == 200, address
    return len(answer.content)


PAGES: dict[str, Callable[[], Iterator[Measured]]] = {"pages": pages}
