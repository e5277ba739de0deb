"""A real browser (Debian's Chromium) on a real server: what only scripts do, and that they may."""

from __future__ import annotations

import datetime as dt
import re
import shutil
from collections.abc import Iterator

import pytest
from django.db import connections
from playwright.sync_api import BrowserContext, Page, expect, sync_playwright
from pytest_django.live_server_helper import LiveServer

from golfstats.clubs.models import User
from golfstats.clubs.scope import club_scope
from golfstats.outbox import worker
from players.models import Round
from tests import factories
from tests.databases import committed
from tests.web.conftest import Place

pytestmark = [pytest.mark.browser, committed]

PASSWORD = "a-long-password"
PHONE = {"width": 390, "height": 844}
OPTIONS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-component-update",
    "--no-first-run",
]


@pytest.fixture
def phone(monkeypatch: pytest.MonkeyPatch, live_server: LiveServer) -> Iterator[BrowserContext]:
    """A browser of a phone's size. Anything written to its console as an error fails the test."""
    # Playwright runs an event loop in this thread; the tests' own queries are synchronous all the same.
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
    chromium = shutil.which("chromium")
    assert chromium, "these tests need Debian's chromium package"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=OPTIONS)
        context = browser.new_context(
            viewport=PHONE, is_mobile=True, has_touch=True, base_url=live_server.url, locale="en-GB"
        )
        yield context
        browser.close()
        # Inside the event loop Django keeps connections of their own, which nobody else would close.
        connections.close_all()


def open_as(context: BrowserContext, username: str) -> tuple[Page, list[str]]:
    """A tab signed in as this person, and the list that its errors go to."""
    user = User.objects.get(username=username)
    user.set_password(PASSWORD)
    user.save()
    context.clear_cookies()
    page = context.new_page()
    errors: list[str] = []
    page.on("console", lambda message: errors.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.goto("/sign-in")
    page.get_by_label("Name").fill(username)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(re.compile("/clubs/"))
    return page, errors


def tell_shot(page: Page, lie: str, distance: str, done: str) -> None:
    """One shot by touch, as a player on the course tells it."""
    page.get_by_role("button", name=lie, exact=True).tap()
    for digit in distance:
        page.locator("#pad").get_by_role("button", name=digit, exact=True).tap()
    page.get_by_role("button", name=done, exact=True).tap()


def enter_front_nine(page: Page) -> None:
    """Hole 1 shot by shot, the others by their scores."""
    page.get_by_role("link", name="Enter a round").first.click()
    page.get_by_label("Holes", exact=True).select_option("front")
    tell_shot(page, "Tee", "390", "Next shot")
    tell_shot(page, "Fairway", "140", "Next shot")
    tell_shot(page, "Green", "18", "Next shot")
    tell_shot(page, "Green", "2", "Holed")
    for hole in range(2, 10):
        expect(page.locator("#hole-name")).to_contain_text(f"Hole {hole},")
        if not page.locator("#g-score").is_visible():
            page.get_by_text("Only the score of this hole").tap()
        page.get_by_label("Score", exact=True).fill("5")
        page.get_by_role("button", name="Keep the score").tap()


def rounds_of(place: Place) -> list[Round]:
    with club_scope(place.club.id):
        return list(Round.objects.filter(player=place.player))


def test_a_player_enters_a_round_on_a_phone_and_his_coach_reads_it(
    place: Place, phone: BrowserContext
) -> None:
    page, errors = open_as(phone, "ines")
    enter_front_nine(page)
    page.get_by_role("button", name="Send the round").tap()
    page.wait_for_url(re.compile(r"/rounds/[0-9a-f-]{36}$"))
    expect(page.get_by_role("status")).to_contain_text("not analysed this round yet")
    worker.drain()
    # The page looks again by itself until the worker is done.
    expect(page.get_by_role("heading", name="Strokes gained")).to_be_visible(timeout=15_000)
    page.locator("details.hole summary").first.tap()
    expect(page.get_by_text("expected from 18 ft on the green").first).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    assert errors == []
    coach, errors = open_as(phone, "coach")
    coach.get_by_role("link", name="Ines Aldana").click()
    coach.locator("main table a").last.click()
    expect(coach.get_by_text("44 strokes over 9 holes")).to_be_visible()
    assert errors == []


def test_a_draft_survives_a_lost_connection_and_is_sent_once(place: Place, phone: BrowserContext) -> None:
    page, _ = open_as(phone, "ines")
    enter_front_nine(page)
    sent: list[str] = []
    lost = re.compile("/api/v1/rounds$")

    def lose_the_answer(route: object) -> None:
        """The request arrives, its answer does not: the worst moment for a phone to lose the net."""
        sent.append(route.request.headers["idempotency-key"])  # type: ignore[attr-defined]
        route.fetch()  # type: ignore[attr-defined]
        route.abort()  # type: ignore[attr-defined]

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


def test_faults_are_shown_at_their_holes(place: Place, phone: BrowserContext) -> None:
    page, _ = open_as(phone, "ines")
    enter_front_nine(page)
    page.get_by_role("button", name=re.compile("^Hole 1,")).tap()
    page.get_by_role("button", name="Take back").tap()
    tell_shot(page, "Green", "900", "Holed")
    page.get_by_role("button", name="Send the round").tap()
    expect(page.get_by_role("button", name="Hole 1, has a fault")).to_be_visible()
    expect(page.locator("#hole-faults")).to_contain_text("Shot 4: longer than any green")
    assert rounds_of(place) == []
    page.get_by_role("button", name="Take back").tap()
    tell_shot(page, "Green", "3", "Holed")
    page.get_by_role("button", name="Send the round").tap()
    page.wait_for_url(re.compile(r"/rounds/[0-9a-f-]{36}$"))


def test_the_notation_that_touch_builds_has_penalties_and_clubs(place: Place, phone: BrowserContext) -> None:
    page, _ = open_as(phone, "ines")
    page.get_by_role("link", name="Enter a round").first.click()
    page.get_by_text("Club, penalty").tap()
    page.get_by_label("Club").fill("driver")
    page.get_by_role("button", name="Stroke and distance").tap()
    tell_shot(page, "Tee", "390", "Next shot")
    # After stroke and distance the next shot is offered from the same place.
    expect(page.locator("#distance")).to_have_text("390")
    page.get_by_role("button", name="Next shot").tap()
    tell_shot(page, "Rough", "150", "Picked up")
    for hole in range(2, 10):
        if not page.locator("#g-score").is_visible():
            page.get_by_text("Only the score of this hole").tap()
        page.get_by_label("Score", exact=True).fill("5")
        page.get_by_role("button", name="Keep the score").tap()
        del hole
    page.get_by_role("button", name="Send the round").tap()
    page.wait_for_url(re.compile(r"/rounds/[0-9a-f-]{36}$"))
    with club_scope(place.club.id):
        first = Round.objects.get().holes.get(number=1)
        shots = list(first.shots.order_by("number").values_list("lie", "club_used", "penalty_kind"))
    assert first.picked_up
    assert shots == [("tee", "driver", "stroke_and_distance"), ("tee", "", ""), ("rough", "", "")]


def test_charts_are_drawn_under_the_security_policy(place: Place, phone: BrowserContext) -> None:
    with club_scope(place.club.id):
        for day in range(1, 9):
            factories.make_round(place.manager, place.player, dt.date(2026, 6, day))
    worker.drain()
    page, errors = open_as(phone, "ines")
    drawn = page.get_by_role("img", name=re.compile(r"^Handicap index \(unofficial\)"))
    expect(drawn.locator("canvas")).to_be_visible(timeout=20_000)
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    assert errors == []
