"""What people come to do, from beginning to end, in a real browser."""

from __future__ import annotations

import datetime as dt
import json
import re
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
from django.contrib.sessions.models import Session
from playwright.sync_api import Browser, BrowserContext, Playwright, expect
from pytest_django.live_server_helper import LiveServer

from golfstats.ground.clock import today_at
from golfstats.ground.clubs.membership import memberships
from golfstats.ground.clubs.models import User
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.figures.models import RoundFigures
from players.people.models import Player
from players.rounds.models import Round
from tests.databases import committed
from tests.players.coaching.seasons import play_season
from tests.web.browsers import (
    ON_A_PHONE,
    OPTIONS,
    PASSWORD,
    PATIENCE,
    choose_front_nine,
    chromium,
    client_of,
    give_password,
    open_as,
    sign_in,
    tell_score,
    tell_shot,
)
from tests.web.cable import Cable
from tests.web.conftest import Place

pytestmark = [pytest.mark.browser, committed]


def test_nine_holes_with_the_network_cut_the_browser_closed_and_the_session_over(
    place: Place, playwright: Playwright, live_server: LiveServer, tmp_path: Path
) -> None:
    cable = Cable(live_server.url)

    def browser_of_a_phone() -> BrowserContext:
        return playwright.chromium.launch_persistent_context(
            tmp_path, executable_path=chromium(), args=OPTIONS, base_url=cable.url, **ON_A_PHONE
        )

    entry = f"/clubs/{place.club.slug}/rounds/new"
    phone = browser_of_a_phone()
    page = phone.new_page()
    sign_in(page, "ines")
    page.goto(entry)
    choose_front_nine(page)
    page.wait_for_function("caches.match(location.pathname).then(Boolean)")
    tell_shot(page, "Tee", "390", "Next shot")
    tell_shot(page, "Fairway", "140", "Next shot")
    tell_shot(page, "Green", "18", "Next shot")
    tell_shot(page, "Green", "2", "Holed")
    cable.cut()
    page.reload()
    expect(page.locator("#total")).to_contain_text("4 after 1 hole")
    for _ in range(2, 10):
        tell_score(page)
    page.get_by_role("button", name="Send the round").tap()
    expect(page.locator("#said")).to_contain_text("No connection")
    phone.close()
    Session.objects.all().delete()

    phone = browser_of_a_phone()
    page = phone.new_page()
    page.set_default_timeout(PATIENCE)
    page.goto(entry)
    expect(page.locator("#total")).to_contain_text("44 after 9 holes")
    cable.mend()
    page.goto(entry)
    give_password(page, "ines")
    page.wait_for_url(re.compile(r"/rounds/[0-9a-f-]{36}$"))
    with club_scope(place.club.id):
        (saved,) = Round.objects.filter(player=place.player)
        assert saved.holes.count() == 9
    page.goto(entry)
    expect(page.locator("#total")).to_have_text("No hole done yet")
    phone.close()
    cable.cut()


def test_a_page_older_than_its_session_sends_after_signing_in_again(
    place: Place, browser: Browser, live_server: LiveServer
) -> None:
    phone = browser.new_context(**ON_A_PHONE, base_url=live_server.url, service_workers="block")
    page, _ = open_as(phone, "ines")
    page.goto(f"/clubs/{place.club.slug}/rounds/new")
    choose_front_nine(page)
    for _ in range(1, 10):
        tell_score(page)
    Session.objects.all().delete()
    page.get_by_role("button", name="Send the round").tap()
    expect(page.locator("#said")).to_contain_text("You are signed out")
    # Signed in again in another tab: this page still has its old token.
    other = phone.new_page()
    sign_in(other, "ines")
    page.get_by_role("button", name="Send the round").tap()
    page.wait_for_url(re.compile(r"/rounds/[0-9a-f-]{36}$"))
    with club_scope(place.club.id):
        assert Round.objects.filter(player=place.player).count() == 1


def test_a_greenkeeper_flags_coring_and_a_player_sees_it(
    place: Place, browser: Browser, live_server: LiveServer
) -> None:
    phone = browser.new_context(**ON_A_PHONE, base_url=live_server.url, service_workers="block")
    page, errors = open_as(phone, "greenkeeper")
    taps = ["Flag green work", "Coring, medium tines", "Save"]
    page.get_by_role("link", name=taps[0]).tap()
    page.get_by_label(re.compile(f"^{taps[1]}")).check()
    expect(page.get_by_role("button", name=taps[2])).to_be_in_viewport()
    page.get_by_role("button", name=taps[2]).tap()
    expect(page.get_by_role("status")).to_contain_text("Players see it before they tee off")
    assert len(taps) <= 6
    assert errors == []
    player, _ = open_as(phone, "ines")
    expect(player.get_by_text(re.compile("medium tines today"))).to_be_visible()
    player.get_by_role("link", name="Enter a round").first.click()
    expect(player.get_by_text(re.compile("medium tines today"))).to_be_visible()


def test_a_manager_founds_a_club_from_nothing_to_the_first_analysed_round(
    db: None, browser: Browser, live_server: LiveServer, settings: Any
) -> None:
    settings.OPEN_FOUNDING = True
    desk = browser.new_context(base_url=live_server.url, locale="en-GB", service_workers="block")
    page = desk.new_page()
    page.set_default_timeout(PATIENCE)
    page.goto("/found")
    page.get_by_label("Name of the club").fill("Heronsmere")
    page.get_by_label("Its name in addresses").fill("heronsmere")
    page.get_by_label("Time zone").select_option("Europe/Oslo")
    page.get_by_label("Name you wish to sign in with").fill("petra")
    page.get_by_label("Password").fill("a-long-password-of-hers")
    page.get_by_role("button", name="Found the club").click()
    page.get_by_role("link", name="Add a course").click()
    page.get_by_label("Name", exact=True).fill("Mere")
    page.get_by_label("Holes").select_option("9")
    page.get_by_role("button", name="Add the course").click()
    page.get_by_label("Name of the tees").fill("yellow")
    page.get_by_role("button", name="Add the tees").click()
    page.get_by_text("Paste lines instead").click()
    lines = "\n".join(f"{n}\t{320 + n}\t4\t{n}" for n in range(1, 10))
    page.get_by_label(re.compile("^A line a hole")).fill(lines)
    page.get_by_role("button", name="Fill the grid from these lines").click()
    expect(page.get_by_label("Hole 9, length")).to_have_value("329")
    page.get_by_label("men, front nine: course rating", exact=True).fill("34.6")
    page.get_by_label("men, front nine: slope rating", exact=True).fill("121")
    page.get_by_role("button", name="Save holes and ratings").click()
    expect(page.get_by_role("alert")).to_contain_text("par")
    page.get_by_label("men, front nine: par", exact=True).fill("36")
    page.get_by_role("button", name="Save holes and ratings").click()
    expect(page.get_by_role("status")).to_contain_text("Holes and ratings saved")
    page.get_by_role("link", name="Club", exact=True).click()
    page.get_by_role("link", name="Invite people").click()
    page.get_by_label("Name", exact=True).fill("Olav Brekke")
    page.get_by_role("button", name="Invite", exact=True).click()
    said = page.get_by_role("status").inner_text()
    (link,) = re.findall(r"http://\S+/join/\S+", said)

    phone = browser.new_context(**ON_A_PHONE, base_url=live_server.url, service_workers="block")
    player = phone.new_page()
    player.set_default_timeout(PATIENCE)
    player.goto(link)
    player.get_by_label("Name you wish to sign in with").fill("olav")
    player.get_by_label("Password").fill("a-long-password-of-his")
    player.get_by_role("button", name="Make a sign-in and accept").tap()
    player.get_by_role("button", name="Go on").tap()
    player.get_by_role("link", name="Enter a round").first.tap()
    for _ in range(1, 10):
        tell_shot(player, "Tee", "320", "Next shot")
        tell_shot(player, "Fairway", "90", "Next shot")
        tell_shot(player, "Green", "12", "Next shot")
        tell_shot(player, "Green", "1", "Holed")
    player.get_by_role("button", name="Send the round").tap()
    player.wait_for_url(re.compile(r"/rounds/[0-9a-f-]{36}$"))
    worker.drain()
    expect(player.get_by_role("heading", name="Strokes gained")).to_be_visible()
    (petra,) = memberships(User.objects.get(username__startswith="petra").pk)
    with club_scope(petra.club.id):
        assert RoundFigures.objects.get().holes_covered == 9


def test_a_coach_on_monday_finds_who_slips_and_why(
    place: Place, browser: Browser, live_server: LiveServer
) -> None:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 12)
        soon = (today_at(place.club) + dt.timedelta(days=30)).isoformat()
    goal = {"figure": "putts.three", "target": "0.0", "due_on": soon, "rounds": "10"}
    address = f"/clubs/{place.club.slug}/players/{place.player.id}/goals/new"
    assert client_of("coach").post(address, goal).status_code == 302
    worker.drain()
    desk = browser.new_context(base_url=live_server.url, locale="en-GB", service_workers="block")
    page, errors = open_as(desk, "coach")
    expect(page.get_by_role("heading", name="This week")).to_be_visible()
    line = page.locator(".week > li").first
    expect(line).to_contain_text("Ines Aldana")
    line.get_by_role("link", name="Ines Aldana").click()
    page.get_by_role("link", name="Parts", exact=True).click()
    page.get_by_text("The numbers").first.click()
    page.get_by_role("link", name=re.compile("what is behind it")).first.click()
    expect(page.get_by_text("What is behind this figure?")).to_be_visible()
    assert errors == []


def test_a_player_takes_their_golf_along_and_erases_themselves(
    place: Place, browser: Browser, live_server: LiveServer
) -> None:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 2)
        name, golf = place.player_member.name, str(place.player.id)
        mates = Player.objects.exclude(id=place.player.id).count()
    worker.drain()
    phone = browser.new_context(**ON_A_PHONE, base_url=live_server.url, service_workers="block")
    page, errors = open_as(phone, "ines")
    page.get_by_role("link", name="What is kept of you").first.tap()
    page.get_by_role("button", name="Write the file").tap()
    expect(page.get_by_text("It is being written.")).to_be_visible()
    worker.drain()
    page.get_by_role("link", name="Look again").tap()
    with page.expect_download() as download:
        page.get_by_role("link", name="Download the file").tap()
    with ZipFile(download.value.path()) as file:
        rounds = json.loads(file.read("rounds_with_shots.json"))
    assert len(rounds) == 2

    page.get_by_role("link", name="Erase yourself").tap()
    page.get_by_label("Your name").fill(name)
    page.get_by_label("Your password").fill("of-somebody-else")
    page.get_by_role("button", name="Erase me for good").tap()
    expect(page.get_by_role("alert").first).to_be_visible()
    page.get_by_label("Your password").fill(PASSWORD)
    page.get_by_role("button", name="Erase me for good").tap()
    expect(page.get_by_role("heading", name=re.compile("You are erased"))).to_be_visible()
    expect(page.get_by_text("2 rounds went.")).to_be_visible()
    assert [one for one in errors if "422" not in one] == []  # the browser's word for the wrong password
    with club_scope(place.club.id):
        assert not Player.objects.filter(id=golf).exists()
        assert not Round.objects.filter(player=golf).exists()
        assert Player.objects.count() == mates
    page.goto("/sign-in")
    give_password(page, "ines")
    expect(page.get_by_role("alert")).to_be_visible()
    assert not User.objects.filter(username="ines").exists()
