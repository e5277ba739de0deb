from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.db import connections
from django.test import Client
from playwright.sync_api import Browser, Playwright, sync_playwright

from golfstats.ground.clubs.models import Member
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.rounds.models import Round
from tests import factories
from tests.players.conftest import Place, place, scope
from tests.web.browsers import OPTIONS, chromium

__all__ = ["Place", "place", "played", "scope"]


def signed_in(member: Member) -> Client:
    """A browser without scripts, signed in as this member."""
    client = Client()
    client.force_login(member.user)
    return client


@pytest.fixture
def played(place: Place) -> Round:
    """A round of the first player, analysed."""
    with club_scope(place.club.id):
        round_ = factories.make_round(place.manager, place.player)
    worker.drain()
    return round_


@pytest.fixture
def playwright(monkeypatch: pytest.MonkeyPatch) -> Iterator[Playwright]:
    # Playwright runs an event loop in this thread; the tests' own queries are synchronous all the same.
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
    with sync_playwright() as found:
        yield found
        connections.close_all()


@pytest.fixture
def browser(playwright: Playwright) -> Iterator[Browser]:
    found = playwright.chromium.launch(executable_path=chromium(), args=OPTIONS)
    yield found
    found.close()
