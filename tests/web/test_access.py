"""Everybody can use the pages: axe finds nothing serious, in both schemes and at three widths, and nothing is loaded from elsewhere."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import axe_playwright_python
import pytest
from playwright.sync_api import Browser
from pytest_django.live_server_helper import LiveServer

from courses.greens import services as greens
from courses.greens.services import GreenWorkBody
from courses.layout.models import Course, TeeSet
from golfstats.ground.clock import today_at
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.rounds.models import Round
from tests import factories
from tests.databases import committed
from tests.web.browsers import open_as
from tests.web.conftest import Place

pytestmark = [pytest.mark.browser, committed]

AXE = Path(axe_playwright_python.__file__).with_name("axe.min.js").read_text(encoding="utf-8")
LOOKS = ((390, "light"), (390, "dark"), (820, "light"), (1280, "light"), (1280, "dark"))
LARGEST = 300_000
CHAPTERS = (
    "",
    *("/parts", "/long-game", "/approach", "/short-game", "/putting", "/misses", "/greens", "/trends"),
    *("/priorities", "/goals", "/trials", "/rounds", "/index", "/shots?figure=gained.putting"),
)
PAGES = {
    "ines": (
        *("", "rounds/new", "{player}", "greens", "/account", "/account/second-factor"),
        *("record", "record/bring", "record/erase", "record/webhooks", "{player}/readers", "{player}/bag"),
        *("tomorrow", "rounds/in-play", "{round}", "{round}/edit", "{round}/delete", "trust"),
        *("courses/from-a-scorecard", "/account/password"),
    ),
    "coach": (
        "",
        "players",
        "squads/{squad_id}",
        *("{player}" + chapter for chapter in CHAPTERS),
        *("{player}/goals/new", "{player}/notes/new", "{course}/tees/{tee}/costs", "explorer"),
    ),
    "greenkeeper": (
        *("{course}", "{course}/green-work/new", "{course}/green-work/{work}", "{course}/readings/new"),
        *("{course}/events/new", "{course}/calendar", "/guide", "/problems", "/problems/invalid-request"),
        "/api/v1/reference",
    ),
    "manager": (
        *("club", "club/settings", "courses", "{course}/layout", "{course}/tees/{tee}", "members", "squads"),
        *("imports", "webhooks", "members/players/new", "members/players/{player_id}/committee"),
        *("{course}/playing-conditions", "squads/{squad_id}/change", "/found", "/password/forgotten"),
        *("members/under-age", "members/players/{player_id}/guardian", "members/players/{player_id}/erase"),
    ),
}


def some_golf(place: Place) -> dict[str, str]:
    """Rounds, and coring today; what the addresses are filled with."""
    with club_scope(place.club.id):
        course = Course.objects.get()
        for day in range(1, 9):
            factories.make_round(place.manager, place.player, dt.date(2026, 6, day))
        body = GreenWorkBody(kind="coring_medium", starts_on=today_at(place.club))
        work = greens.add_work(place.greenkeeper, course, body)
        tee, played = TeeSet.objects.get(), Round.objects.order_by("played_on")[0]
    worker.drain()
    return {
        "player": f"players/{place.player.id}",
        "player_id": str(place.player.id),
        "course": f"courses/{course.id}",
        "tee": str(tee.id),
        "squad_id": str(place.squad.id),
        "work": str(work.id),
        "round": f"rounds/{played.id}",
    }


@pytest.mark.parametrize("who", PAGES)
def test_nothing_serious_is_in_the_way_of_anybody(
    place: Place, browser: Browser, live_server: LiveServer, settings: Any, who: str
) -> None:
    settings.OPEN_FOUNDING = True
    places = some_golf(place)
    context = browser.new_context(base_url=live_server.url, locale="en-GB", service_workers="block")
    page, errors = open_as(context, who)
    loaded: list[str] = []
    page.on("request", lambda request: loaded.append(request.url))
    weights: list[int] = []
    page.on("response", lambda response: weights.append(int(response.headers.get("content-length", 0))))
    found = []
    for address in PAGES[who]:
        filled = address.format(**places)
        weights.clear()
        page.goto(filled if filled.startswith("/") else f"/clubs/{place.club.slug}/{filled}")
        assert sum(weights) <= LARGEST, address
        for width, scheme in LOOKS:
            page.set_viewport_size({"width": width, "height": 900})
            page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
            assert page.evaluate("document.documentElement.scrollWidth") <= width, (address, width)
            page.evaluate(AXE)
            result = page.evaluate("axe.run({resultTypes: ['violations']})")
            assert result["passes"], "axe looked at nothing"
            found += [
                (address, width, scheme, one["id"], one["nodes"][0]["html"])
                for one in result["violations"]
                if one["impact"] in {"serious", "critical"}
            ]
    assert found == []
    assert errors == []
    assert {urlsplit(address).netloc for address in loaded} == {urlsplit(live_server.url).netloc}


def test_paper_says_nothing_that_only_a_screen_can_do(
    place: Place, browser: Browser, live_server: LiveServer
) -> None:
    places = some_golf(place)
    page, _ = open_as(browser.new_context(base_url=live_server.url, service_workers="block"), "coach")
    for address, words in (
        ("squads/{squad_id}", "A month on paper"),
        ("{player}", "A month on paper"),
        ("{round}", "Open a hole for its shots."),
    ):
        page.goto(f"/clubs/{place.club.slug}/{address.format(**places)}")
        page.emulate_media(media="screen")
        assert page.get_by_text(words).is_visible()
        page.emulate_media(media="print")
        assert not page.get_by_text(words).is_visible(), address


def test_no_button_is_cut_off_on_a_phone_where_words_are_long(
    place: Place, browser: Browser, live_server: LiveServer
) -> None:
    page, _ = open_as(browser.new_context(base_url=live_server.url, service_workers="block"), "manager")
    page.context.set_extra_http_headers({"Accept-Language": "de"})
    page.set_viewport_size({"width": 390, "height": 900})
    page.goto(f"/clubs/{place.club.slug}/members")
    assert page.get_by_role("button", name="Zur Spielerin, zum Spieler machen").count()
    assert (
        page.evaluate(
            "[...document.querySelectorAll('.scroll')].filter(e => e.scrollWidth > e.clientWidth).length"
        )
        == 0
    )
