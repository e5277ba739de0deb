"""The same errands without a mouse or a touch screen: Tab, Enter, Space and letters alone."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from courses.greens.models import GreenWork
from golfstats.ground.clubs.models import User
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.coaching.models import Goal
from players.plans.models import RoundPlan
from players.rounds.models import Round
from tests import factories
from tests.databases import committed
from tests.web.browsers import PASSWORD, PATIENCE, open_as
from tests.web.conftest import Place

pytestmark = [pytest.mark.browser, committed]

MOST_STEPS = 120
FOCUSED = """() => {
    const at = document.activeElement;
    const told = (at.labels && at.labels[0]) || at;
    const words = at.getAttribute("aria-label") || told.innerText || told.textContent;
    const drawn = [at, at.nextElementSibling].filter(Boolean).some((one) => getComputedStyle(one).outlineStyle !== "none");
    return { words: (words || "").replace(/\\s+/g, " ").trim(), drawn };
}"""


@dataclass
class Keyboard:
    """Goes on with Tab from where the focus is, as somebody does who sees where it is."""

    page: Page

    def to(self, begins: str) -> Keyboard:
        """Until the words of what has the focus begin so; each stop on the way is visible."""
        passed = []
        for _ in range(MOST_STEPS):
            self.page.keyboard.press("Tab")
            focused: dict[str, Any] = self.page.evaluate(FOCUSED)
            passed.append(focused["words"][:40])
            if re.match(rf"{re.escape(begins)}\b", focused["words"]):
                assert focused["drawn"], f"nothing shows that {begins} has the focus"
                return self
        pytest.fail(f"no {begins} within reach of: {passed}")

    def press(self, *keys: str) -> Keyboard:
        for key in keys:
            self.page.keyboard.press(key)
        return self

    def type(self, text: str) -> Keyboard:
        self.page.keyboard.type(text)
        return self


def desk_of(username: str, browser: Browser, live_server: LiveServer) -> Keyboard:
    context = browser.new_context(base_url=live_server.url, locale="en-GB", service_workers="block")
    page, _ = open_as(context, username)
    return Keyboard(page)


def test_a_greenkeeper_flags_coring(place: Place, browser: Browser, live_server: LiveServer) -> None:
    keys = desk_of("greenkeeper", browser, live_server)
    keys.to("Flag green work").press("Enter")
    expect(keys.page.get_by_role("heading", name="Flag green work")).to_be_visible()
    keys.to("Coring, medium tines").press("Space").to("Save").press("Enter")
    expect(keys.page.get_by_role("status")).to_contain_text("Players see it before they tee off")
    with club_scope(place.club.id):
        assert GreenWork.objects.filter(kind="coring_medium").count() == 1


def test_a_player_enters_nine_holes_and_sends_them(
    place: Place, browser: Browser, live_server: LiveServer
) -> None:
    keys = desk_of("ines", browser, live_server)
    keys.to("Enter a round").press("Enter")
    expect(keys.page.locator("#hole-name")).to_contain_text("Hole 1")
    keys.to("Where and when").press("Enter").to("Holes").type("front")
    for hole in range(1, 10):
        if not keys.page.locator("#g-score").is_visible():
            keys.to("Only the score of this hole").press("Enter")
        keys.to("Score").type("5").to("Keep the score").press("Enter")
        expect(keys.page.locator("#total")).to_contain_text(f"{5 * hole} after {hole} hole")
    keys.to("Send the round").press("Enter")
    keys.page.wait_for_url(re.compile(r"/rounds/[0-9a-f-]{36}$"))
    with club_scope(place.club.id):
        (saved,) = Round.objects.filter(player=place.player)
        assert [hole.score for hole in saved.holes.all()] == [5] * 9


def test_a_player_tells_a_hole_shot_by_shot(place: Place, browser: Browser, live_server: LiveServer) -> None:
    keys = desk_of("ines", browser, live_server)
    keys.to("Enter a round").press("Enter")
    expect(keys.page.get_by_text("Shot 1: from where")).to_be_visible()
    for lie, distance, done in (
        ("Tee", "390", "Next shot"),
        ("Green", "18", "Next shot"),
        ("Green", "2", "Holed"),
    ):
        keys.to(lie).press("Space").type(distance).to(done).press("Enter")
    expect(keys.page.locator("#total")).to_contain_text("3 after 1 hole")


def test_a_coach_goes_from_the_week_to_a_goal(
    place: Place, played: Round, browser: Browser, live_server: LiveServer
) -> None:
    keys = desk_of("coach", browser, live_server)
    keys.to(place.player.name).press("Enter")
    expect(keys.page.get_by_role("heading", name=place.player.name)).to_be_visible()
    keys.to("Goals and practice").press("Enter")
    expect(keys.page.get_by_role("heading", name="Practice")).to_be_visible()
    keys.to("Set a goal").press("Enter")
    expect(keys.page.get_by_label("Target")).to_be_visible()
    keys.to("Target").type("30").to("Set the goal").press("Enter")
    expect(keys.page.get_by_role("button", name="Close this goal")).to_be_visible()
    with club_scope(place.club.id):
        assert Goal.objects.filter(player=place.player).count() == 1


def test_a_player_asks_for_tomorrows_plan(place: Place, browser: Browser, live_server: LiveServer) -> None:
    with club_scope(place.club.id):
        factories.make_tee_set(factories.make_course("Sallow Strand", 9), "Yellow")
    keys = desk_of("ines", browser, live_server)
    keys.to("Tomorrow").press("Enter")
    expect(keys.page.get_by_label("Course and tees")).to_be_visible()
    keys.to("Course and tees").type("Sallow").to("Slow").press("Space").to("Make the plan").press("Enter")
    keys.page.wait_for_url(re.compile(r"/plans/[0-9a-f-]{36}$"))
    expect(keys.page.get_by_role("status")).to_contain_text("of 9")
    with club_scope(place.club.id):
        (plan,) = RoundPlan.objects.filter(player=place.player)
        assert plan.tee_set.course.name == "Sallow Strand"


def test_a_manager_founds_a_club_with_a_course_and_invites_somebody(
    db: None, browser: Browser, live_server: LiveServer, settings: Any
) -> None:
    settings.OPEN_FOUNDING = True
    page = browser.new_context(base_url=live_server.url, locale="en-GB", service_workers="block").new_page()
    page.set_default_timeout(PATIENCE)
    page.goto("/found")
    keys = Keyboard(page)
    keys.to("Name of the club").type("Heronsmere").to("Its name in addresses").type("heronsmere")
    keys.to("Time zone").type("Europe/Oslo").to("Name you wish to sign in with").type("petra")
    keys.to("Password").type("a-long-password-of-hers").to("Found the club").press("Enter")
    expect(page.get_by_role("link", name="Add a course")).to_be_visible()
    keys.to("Add a course").press("Enter")
    expect(page.get_by_role("button", name="Add the course")).to_be_visible()
    keys.to("Name").type("Mere").to("Holes").type("9").to("Add the course").press("Enter")
    expect(page.get_by_label("Name of the tees")).to_be_visible()
    keys.to("Name of the tees").type("yellow").to("Add the tees").press("Enter")
    expect(page.get_by_text("Paste lines instead")).to_be_visible()
    lines = "\n".join(f"{n} {320 + n} 4 {n}" for n in range(1, 10))
    keys.to("Paste lines instead").press("Enter").to("A line a hole").type(lines)
    keys.to("Fill the grid from these lines").press("Enter")
    expect(page.get_by_label("Hole 9, length")).to_have_value("329")
    keys.to("men, front nine: course rating").type("34.6").to("men, front nine: slope rating").type("121")
    keys.to("men, front nine: par").type("36").to("Save holes and ratings").press("Enter")
    expect(page.get_by_role("status")).to_contain_text("Holes and ratings saved")
    keys.to("Club").press("Enter")
    expect(page.get_by_role("link", name="Invite people")).to_be_visible()
    keys.to("Invite people").press("Enter")
    expect(page.get_by_role("button", name="Invite", exact=True)).to_be_visible()
    keys.to("Name").type("Olav Brekke").to("Invite").press("Enter")
    expect(page.get_by_role("status")).to_contain_text("/join/")


def test_a_player_has_their_record_written_and_erases_themselves(
    place: Place, browser: Browser, live_server: LiveServer
) -> None:
    with club_scope(place.club.id):
        name = place.player_member.name
    keys = desk_of("ines", browser, live_server)
    keys.to("What is kept of you").press("Enter")
    expect(keys.page.get_by_role("button", name="Write the file")).to_be_visible()
    keys.to("Write the file").press("Enter")
    expect(keys.page.get_by_text("It is being written.")).to_be_visible()
    worker.drain()
    keys.to("Look again").press("Enter")
    expect(keys.page.get_by_role("link", name="Download the file")).to_be_visible()
    with keys.page.expect_download():
        keys.to("Download the file").press("Enter")
    keys.to("Erase yourself").press("Enter")
    expect(keys.page.get_by_label("Your password")).to_be_visible()
    keys.to("Your name").type(name).to("Your password").type(PASSWORD)
    keys.to("Erase me for good").press("Enter")
    expect(keys.page.get_by_role("heading", name=re.compile("You are erased"))).to_be_visible()
    assert not User.objects.filter(username="ines").exists()
