"""A real browser (Debian's Chromium) on a real server: what only scripts do, and that they may."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator

import pytest
from django.db import connections
from playwright.sync_api import BrowserContext, Page, expect, sync_playwright
from pytest_django.live_server_helper import LiveServer

from courses.layout.models import Course
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.rounds.models import Round
from tests import factories
from tests.databases import committed
from tests.web.browsers import (
    ON_A_PHONE,
    OPTIONS,
    PHONE,
    choose_front_nine,
    chromium,
    open_as,
    tell_score,
    tell_shot,
)
from tests.web.conftest import Place

pytestmark = [pytest.mark.browser, committed]


@pytest.fixture
def phone(monkeypatch: pytest.MonkeyPatch, live_server: LiveServer) -> Iterator[BrowserContext]:
    """A browser of a phone's size. Anything written to its console as an error fails the test."""
    # Playwright runs an event loop in this thread; the tests' own queries are synchronous all the same.
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=OPTIONS)
        context = browser.new_context(**ON_A_PHONE, base_url=live_server.url, service_workers="block")
        yield context
        browser.close()
        # Inside the event loop Django keeps connections of their own, which nobody else would close.
        connections.close_all()


def enter_front_nine(page: Page) -> None:
    """Hole 1 shot by shot, the others by their scores."""
    page.get_by_role("link", name="Enter a round").first.click()
    choose_front_nine(page)
    tell_shot(page, "Tee", "390", "Next shot")
    tell_shot(page, "Fairway", "140", "Next shot")
    tell_shot(page, "Green", "18", "Next shot")
    tell_shot(page, "Green", "2", "Holed")
    for hole in range(2, 10):
        expect(page.locator("#hole-name")).to_contain_text(f"Hole {hole},")
        tell_score(page)


def rounds_of(place: Place) -> list[Round]:
    with club_scope(place.club.id):
        return list(Round.objects.filter(player=place.player))


def test_a_player_enters_a_round_on_a_phone_and_their_coach_reads_it(
    place: Place, phone: BrowserContext
) -> None:
    page, errors = open_as(phone, "ines")
    enter_front_nine(page)
    page.get_by_role("button", name="Send the round").tap()
    page.wait_for_url(re.compile(r"/rounds/[0-9a-f-]{36}$"))
    expect(page.get_by_role("status")).to_contain_text("not analysed this round yet")
    worker.drain()
    # The page looks again by itself until the worker is done.
    expect(page.get_by_role("heading", name="Strokes gained")).to_be_visible()
    page.locator("details.hole summary").first.tap()
    expect(page.get_by_text("expected from 18 ft on the green").first).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    assert errors == []
    coach, errors = open_as(phone, "coach")
    coach.get_by_role("link", name="Ines Aldana").first.click()
    coach.locator("main table a").last.click()
    expect(coach.get_by_text("44 strokes over 9 holes")).to_be_visible()
    assert errors == []


def test_the_ball_of_a_round_is_noted_on_the_pad(place: Place, phone: BrowserContext) -> None:
    """Without it nobody with a phone could ask whether a new ball does better."""
    page, errors = open_as(phone, "ines")
    page.get_by_role("link", name="Enter a round").first.click()
    choose_front_nine(page)
    page.locator("#head").evaluate("head => { head.open = true; }")
    page.get_by_label(re.compile("^Ball")).fill("green box")
    page.get_by_label(re.compile("^Ball")).blur()
    page.reload()  # the draft keeps it
    for hole in range(1, 10):
        expect(page.locator("#hole-name")).to_contain_text(f"Hole {hole},")
        tell_score(page)
    page.get_by_role("button", name="Send the round").tap()
    page.wait_for_url(re.compile(r"/rounds/[0-9a-f-]{36}$"))
    assert [one.ball for one in rounds_of(place)] == ["green box"]
    assert errors == []


def test_a_draft_survives_a_lost_connection_and_is_sent_once(place: Place, phone: BrowserContext) -> None:
    page, _ = open_as(phone, "ines")
    enter_front_nine(page)
    sent: list[str] = []
    lost = re.compile("/api/v1/rounds$")

    def lose_the_answer(route: object) -> None:
        """The request arrives, its answer does not: the worst moment for a phone to lose the net."""
        sent.append(route.request.headers["idempotency-key"])
        route.fetch()
        route.abort()

    page.route(lost, lose_the_answer)
    page.get_by_role("button", name="Send the round").tap()
    expect(page.locator("#said")).to_contain_text("No connection")
    assert len(rounds_of(place)) == 1
    page.reload()
    expect(page.locator("#said")).to_contain_text("No connection")
    page.unroute(lost)
    page.evaluate("window.dispatchEvent(new Event('online'))")
    page.wait_for_url(re.compile(r"/rounds/[0-9a-f-]{36}$"))
    assert len(rounds_of(place)) == 1
    assert len(set(sent)) == 1
    page.goto(f"/clubs/{place.club.slug}/rounds/new")
    expect(page.locator("#holes button").first).to_have_accessible_name("Hole 1, not entered")


def test_faults_are_shown_at_their_holes_and_corrected_by_the_same_pad(
    place: Place, phone: BrowserContext
) -> None:
    page, _ = open_as(phone, "ines")
    enter_front_nine(page)
    page.get_by_role("button", name=re.compile("^Hole 1,")).tap()
    page.get_by_role("button", name=re.compile("^Shot 4:")).tap()
    tell_shot(page, "Tee", "2", "Keep this change")
    page.get_by_role("button", name="Send the round").tap()
    expect(page.get_by_role("button", name="Hole 1, has a fault")).to_be_visible()
    expect(page.locator("#hole-faults")).to_contain_text("Shot 4")
    assert rounds_of(place) == []
    page.get_by_role("button", name=re.compile("^Shot 4:")).tap()
    tell_shot(page, "Green", "3", "Keep this change")
    page.get_by_role("button", name="Send the round").tap()
    page.wait_for_url(re.compile(r"/rounds/[0-9a-f-]{36}$"))


def test_a_saved_round_is_corrected_by_the_same_pad(place: Place, phone: BrowserContext) -> None:
    with club_scope(place.club.id):
        saved = factories.make_round(place.manager, place.player)
        approach = saved.holes.get(number=1).shots.filter(number=2)
        approach.update(club_used="7-iron", short_sided=False)
    page, errors = open_as(phone, "ines")
    page.goto(f"/clubs/{place.club.slug}/rounds/{saved.id}/edit")
    expect(page.locator("#total")).to_contain_text("after 18 holes")
    page.get_by_role("button", name=re.compile("^Shot 3:")).tap()
    tell_shot(page, "Green", "25", "Keep this change")
    page.get_by_role("button", name="Save the correction").tap()
    page.wait_for_url(re.compile(rf"/rounds/{saved.id}$"))
    with club_scope(place.club.id):
        first = Round.objects.get().holes.get(number=1)
        putt = first.shots.get(number=3)
        kept = first.shots.get(number=2)
        version = Round.objects.get().version
    assert (round(putt.distance * 3), version) == (25, 2)
    assert (kept.club_used, kept.short_sided) == ("7-iron", False)
    assert errors == []


def test_a_shot_that_was_forgotten_is_added_to_a_hole_that_is_done(
    place: Place, phone: BrowserContext
) -> None:
    with club_scope(place.club.id):
        saved = factories.make_round(place.manager, place.player)
        before = [(shot.lie, shot.distance) for shot in saved.holes.get(number=1).shots.order_by("number")]
    page, errors = open_as(phone, "ines")
    page.goto(f"/clubs/{place.club.slug}/rounds/{saved.id}/edit")
    page.get_by_role("button", name=re.compile("^Shot 2:")).tap()
    page.get_by_role("button", name="Add a shot before it").tap()
    expect(page.locator("#asking")).to_contain_text("A shot before shot 2")
    tell_shot(page, "Rough", "210", "Keep this change")
    page.get_by_role("button", name="Add a shot", exact=True).tap()
    tell_shot(page, "Green", "1", "Holed")
    page.get_by_role("button", name="Save the correction").tap()
    page.wait_for_url(re.compile(rf"/rounds/{saved.id}$"))
    with club_scope(place.club.id):
        shots = Round.objects.get().holes.get(number=1).shots.order_by("number")
        after = [(shot.lie, shot.distance) for shot in shots]
    assert len(after) == len(before) + 2
    assert (after[0], after[2:-1]) == (before[0], before[1:])
    assert (after[1], after[-1][0]) == (("rough", 210.0), "green")
    assert errors == []


def test_an_ace_takes_two_taps_undo_takes_it_back_and_the_focus_stays(
    place: Place, phone: BrowserContext
) -> None:
    page, _ = open_as(phone, "ines")
    page.get_by_role("link", name="Enter a round").first.click()
    page.get_by_role("button", name="Holed", exact=True).tap()
    expect(page.locator("#hole-name")).to_contain_text("Hole 1,")
    page.get_by_role("button", name="Really holed from there?").tap()
    expect(page.locator("#hole-name")).to_contain_text("Hole 2,")
    expect(page.locator("#hole-name")).to_be_in_viewport()
    expect(page.locator("#total")).to_contain_text("1 after 1 hole, 3 under par")
    page.get_by_role("button", name="Undo").tap()
    expect(page.locator("#hole-name")).to_contain_text("Hole 1,")
    expect(page.locator("#total")).to_have_text("No hole done yet")
    lie = page.get_by_role("button", name="Fairway", exact=True)
    lie.focus()
    page.keyboard.press("Enter")
    expect(lie).to_be_focused()
    for digit in "9999":
        page.locator("#pad").get_by_role("button", name=digit, exact=True).tap()
    page.get_by_role("button", name="Next shot").tap()
    expect(page.locator("#said")).to_contain_text("No shot is farther")


def test_a_par_four_without_clubs_takes_eight_taps(place: Place, phone: BrowserContext) -> None:
    page, _ = open_as(phone, "ines")
    page.get_by_role("link", name="Enter a round").first.click()
    taps = 0
    for distance in ("", "140 yd", "18 ft", "2 ft"):
        if distance:
            page.get_by_role("button", name=distance, exact=True).tap()
            taps += 1
        page.get_by_role("button", name="Holed" if distance == "2 ft" else "Next shot", exact=True).tap()
        taps += 1
    expect(page.locator("#hole-name")).to_contain_text("Hole 2,")
    assert taps <= 8


def test_the_notation_that_touch_builds_has_penalties_and_clubs(place: Place, phone: BrowserContext) -> None:
    page, _ = open_as(phone, "ines")
    page.get_by_role("link", name="Enter a round").first.click()
    page.get_by_text("Club, lie, break, penalty").tap()
    page.get_by_label("Club optional").fill("driver")
    page.get_by_role("button", name="Stroke and distance").tap()
    tell_shot(page, "Tee", "390", "Next shot")
    # After stroke and distance the next shot is offered from the same place.
    expect(page.locator("#distance")).to_have_text("390")
    page.get_by_role("button", name="Next shot").tap()
    tell_shot(page, "Rough", "150", "Picked up")
    choose_front_nine(page)
    for _ in range(2, 10):
        tell_score(page)
    page.get_by_role("button", name="Send the round").tap()
    page.wait_for_url(re.compile(r"/rounds/[0-9a-f-]{36}$"))
    with club_scope(place.club.id):
        first = Round.objects.get().holes.get(number=1)
        shots = list(first.shots.order_by("number").values_list("lie", "club_used", "penalty_kind"))
    assert first.picked_up
    assert shots == [("tee", "driver", "stroke_and_distance"), ("tee", "", ""), ("rough", "", "")]


def test_pictures_are_drawn_in_both_schemes_without_a_script(place: Place, phone: BrowserContext) -> None:
    with club_scope(place.club.id):
        for day in range(1, 9):
            factories.make_round(place.manager, place.player, dt.date(2026, 6, day))
    worker.drain()
    page, errors = open_as(phone, "ines")
    papers = []
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        page.goto(f"/clubs/{place.club.slug}/players/{place.player.id}/index")
        drawn = page.get_by_label(re.compile(r"^Handicap index \(unofficial\)"))
        expect(drawn).to_be_visible()
        papers.append(page.evaluate("getComputedStyle(document.body).backgroundColor"))
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
        page.goto(f"/clubs/{place.club.slug}/players/{place.player.id}/parts")
        expect(page.get_by_text("← loses strokes")).to_be_visible()
    assert papers[0] != papers[1]
    assert errors == []


def test_readings_and_dates_are_read_on_a_phone_without_scrolling_sideways(
    place: Place, phone: BrowserContext
) -> None:
    with club_scope(place.club.id):
        course = Course.objects.get()
    page, errors = open_as(phone, place.greenkeeper.user.username)
    start = f"/clubs/{place.club.slug}/courses/{course.id}"
    page.goto(start)
    page.get_by_role("button", name="9 feet", exact=True).tap()
    expect(page.get_by_role("button", name="Remove the reading of")).to_be_visible()
    page.goto(f"{start}?kind=coring_medium&from=2026-09-01&to=2026-09-14&days=1")
    wide = page.locator(".scroll:visible").evaluate_all(
        "all => all.map(one => one.scrollWidth - one.clientWidth)"
    )
    assert len(wide) == 2
    assert max(wide) <= 0
    cell = page.get_by_role("region", name="Readings").locator("td").nth(1)
    assert "Speed" in cell.evaluate("cell => getComputedStyle(cell, '::before').content")
    assert errors == []


def test_a_coach_asks_graphql_by_hand_and_reads_its_schema(place: Place, phone: BrowserContext) -> None:
    page, errors = open_as(phone, "coach")
    page.goto(f"/clubs/{place.club.slug}/explorer")
    page.get_by_role("button", name="Ask").tap()
    expect(page.locator("#answer")).to_contain_text("First team")
    expect(page.locator("#cost")).to_contain_text("of at most 50000")
    page.get_by_label("Type").select_option("Squad")
    expect(page.locator("#definition")).to_contain_text("type Squad {")
    page.get_by_label("Variables").fill("{")
    page.get_by_role("button", name="Ask").tap()
    expect(page.locator("#answer")).to_contain_text("The variables are not JSON")
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    assert errors == []
