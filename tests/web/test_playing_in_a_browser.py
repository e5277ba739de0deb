"""A round posted hole by hole from a phone: shots on the same pad, a lost connection, a session that is over."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.contrib.sessions.models import Session
from playwright.sync_api import BrowserContext, Playwright, Route, expect
from pytest_django.live_server_helper import LiveServer

from golfstats.ground.clock import today_at
from golfstats.ground.walls.scope import club_scope
from players.rounds import in_play
from players.rounds.input import HoleInput, RoundBegun
from players.rounds.models import Round, RoundInPlay
from tests.databases import committed
from tests.web.browsers import (
    ON_A_PHONE,
    OPTIONS,
    PATIENCE,
    PHONE,
    chromium,
    give_password,
    sign_in,
    tell_score,
    tell_shot,
)
from tests.web.cable import Cable
from tests.web.conftest import Place
from tests.web.test_in_a_browser import open_as, phone

__all__ = ["phone"]

pytestmark = [pytest.mark.browser, committed]


def begun(place: Place) -> str:
    """Address of the page of a front nine that counts, begun today."""
    with club_scope(place.club.id):
        about = {
            "course": "Long course",
            "tee": "White",
            "section": "front",
            "played_on": today_at(place.club),
        }
        play = in_play.start(place.player_member, RoundBegun.model_validate(about))
    return f"/clubs/{place.club.slug}/rounds/in-play/{play.id}"


def arrived(place: Place) -> list[tuple[int, int]]:
    """Number and score of what was sent, in order."""
    with club_scope(place.club.id):
        return [(one["hole"]["number"], one["score"]) for one in RoundInPlay.objects.get().played]


def test_shots_go_out_hole_by_hole_and_a_lost_answer_does_no_harm(
    place: Place, phone: BrowserContext
) -> None:
    page, errors = open_as(phone, "ines")
    page.goto(begun(place))
    page.get_by_text("Club, lie, break, penalty").tap()
    page.get_by_label("Club optional").fill("driver")
    tell_shot(page, "Tee", "390", "Next shot")
    tell_shot(page, "Fairway", "140", "Next shot")
    tell_shot(page, "Green", "18", "Next shot")
    tell_shot(page, "Green", "2", "Holed")
    expect(page.locator("#hole-name")).to_contain_text("Hole 2,")
    expect(page.locator("#arrived")).to_have_text("Every hole that is done has arrived.")
    expect(page.locator("#so-far")).to_contain_text("4 strokes after 1 hole, level par")
    with club_scope(place.club.id):
        (first,) = RoundInPlay.objects.get().played
    assert [shot["lie"] for shot in first["hole"]["shots"]] == ["tee", "fairway", "green", "green"]
    assert first["hole"]["shots"][0]["club"] == "driver"

    lost = re.compile("/holes$")

    def lose_the_answer(route: Route) -> None:
        route.fetch()
        route.abort()

    page.route(lost, lose_the_answer)
    tell_score(page)
    expect(page.locator("#arrived")).to_contain_text("1 hole waits")
    assert arrived(place) == [(1, 4), (2, 5)]
    page.unroute(lost)
    tell_score(page, "6")
    expect(page.locator("#arrived")).to_have_text("Every hole that is done has arrived.")
    assert arrived(place) == [(1, 4), (2, 5), (3, 6)]
    # A correction goes on as the next in the sequence.
    page.get_by_role("button", name=re.compile("^Hole 1,")).tap()
    page.get_by_role("button", name=re.compile("^Shot 4:")).tap()
    tell_shot(page, "Green", "3", "Keep this change")
    expect(page.locator("#arrived")).to_have_text("Every hole that is done has arrived.")
    assert len(arrived(place)) == 4
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    assert [one for one in errors if "Failed to load resource" not in one] == []


def test_another_device_and_faults_are_told_apart(place: Place, phone: BrowserContext) -> None:
    page, _ = open_as(phone, "ines")
    page.goto(begun(place))
    with club_scope(place.club.id):
        play = RoundInPlay.objects.get()
        in_play.add_hole(place.coach, play, 1, HoleInput(number=5, score=3))
    tell_score(page)  # is number 1 here as well
    expect(page.locator("#arrived")).to_have_text("Every hole that is done has arrived.")
    assert arrived(place) == [(5, 3), (1, 5)]
    tell_shot(page, "Fairway", "390", "Next shot")
    tell_shot(page, "Green", "18", "Holed")
    expect(page.get_by_role("button", name="Hole 2, has a fault")).to_be_visible()
    # The hole that is being told meanwhile is not left.
    expect(page.locator("#hole-name")).to_contain_text("Hole 3,")
    expect(page.locator("#said")).to_contain_text("Hole 2 was not taken. Shot 1")
    page.get_by_role("button", name="Hole 2, has a fault").tap()
    expect(page.locator("#hole-faults")).to_contain_text("Shot 1")
    page.reload()
    expect(page.get_by_role("button", name="Hole 5, 3 strokes")).to_be_visible()


def test_nine_holes_with_the_network_cut_the_browser_closed_and_the_session_over(
    place: Place, playwright: Playwright, live_server: LiveServer, tmp_path: Path
) -> None:
    cable = Cable(live_server.url)

    def browser_of_a_phone() -> BrowserContext:
        return playwright.chromium.launch_persistent_context(
            tmp_path, executable_path=chromium(), args=OPTIONS, base_url=cable.url, **ON_A_PHONE
        )

    playing = begun(place)
    one_phone = browser_of_a_phone()
    page = one_phone.new_page()
    sign_in(page, "ines")
    page.goto(playing)
    page.wait_for_function("caches.match(location.pathname).then(Boolean)")
    tell_shot(page, "Tee", "390", "Next shot")
    tell_shot(page, "Green", "18", "Holed")
    expect(page.locator("#arrived")).to_have_text("Every hole that is done has arrived.")
    cable.cut()
    page.reload()
    expect(page.locator("#so-far")).to_contain_text("2 strokes after 1 hole")
    for _ in range(2, 10):
        tell_score(page)
    expect(page.locator("#arrived")).to_contain_text("8 holes wait")
    page.get_by_role("button", name="Finish and post the round").tap()
    expect(page.locator("#said")).to_contain_text("No connection")
    one_phone.close()
    Session.objects.all().delete()

    one_phone = browser_of_a_phone()
    page = one_phone.new_page()
    page.set_default_timeout(PATIENCE)
    page.goto(playing)
    expect(page.locator("#so-far")).to_contain_text("42 strokes after 9 holes")
    assert arrived(place) == [(1, 2)]
    cable.mend()
    page.goto(playing)
    give_password(page, "ines")
    page.wait_for_url(re.compile(r"/rounds/[0-9a-f-]{36}$"))
    with club_scope(place.club.id):
        (saved,) = Round.objects.filter(player=place.player)
        assert saved.holes.count() == 9
        assert RoundInPlay.objects.get().round_id == saved.id
    assert page.evaluate(f"caches.match('{playing}').then(Boolean)") is False
    one_phone.close()
    cable.cut()
