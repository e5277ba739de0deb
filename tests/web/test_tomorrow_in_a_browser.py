"""A player makes tomorrow's plan on a phone and prints the card, in a real browser."""

from __future__ import annotations

import io
import os
import re
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, expect
from pypdf import PdfReader

from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from tests import factories
from tests.databases import committed
from tests.web.conftest import Place
from tests.web.test_in_a_browser import PHONE, open_as, phone
from tests.web.test_tomorrow import plan_as_made

__all__ = ["phone"]

pytestmark = [pytest.mark.browser, committed]

PATIENCE = 90_000
"""Milliseconds: a machine that is busy with other tests is no fault of the page."""
DESK = {"width": 1280, "height": 900}


def look(page: Page, name: str) -> None:
    """Keep a picture of the page for who asks for them: ``SCREENSHOTS=<folder>``."""
    folder = os.environ.get("SCREENSHOTS")
    if folder:
        page.screenshot(path=Path(folder) / f"{name}.png", full_page=True)


def fits(page: Page) -> bool:
    """Whether nothing has to be pushed aside to be read."""
    wide = page.viewport_size
    assert wide is not None
    return bool(page.evaluate("document.documentElement.scrollWidth") <= wide["width"])


def test_a_player_makes_tomorrows_plan_and_prints_the_card(place: Place, phone: BrowserContext) -> None:
    with club_scope(place.club.id):
        tees = factories.make_tee_set(factories.make_course("Sallow Strand", 9), "Yellow")
        tees.holes.update(length=100, par_men=3, par_women=3)  # short holes are planned quickly
    phone.set_default_timeout(PATIENCE)
    page, errors = open_as(phone, "ines")
    page.get_by_role("link", name="Tomorrow").first.tap()
    page.get_by_label("Course and tees").select_option(label="Sallow Strand, Yellow")
    # The greens as found: two taps.
    page.get_by_role("radio", name="Slow", exact=True).tap()
    page.get_by_role("radio", name="Bumpy", exact=True).tap()
    look(page, "ask")
    assert fits(page)
    page.get_by_role("button", name="Make the plan").tap()
    page.wait_for_url(re.compile(r"/plans/[0-9a-f-]{36}$"))
    expect(page.get_by_role("status")).to_contain_text("0 of 9")
    look(page, "waiting")
    worker.drain()
    # The page finds out by itself that the worker is done.
    expect(page.get_by_text(re.compile("Expect about")).first).to_be_visible(timeout=PATIENCE)
    expect(page.get_by_text("greens: slow, bumpy")).to_be_visible()
    assert fits(page)
    # By keyboard alone: a hole opens and shows its picture and what the clubs cost.
    second = page.locator("#hole-2 > summary")
    second.focus()
    if page.locator("#hole-2").get_attribute("open") is None:
        page.keyboard.press("Enter")
    expect(page.locator("#hole-2").get_by_role("img", name=re.compile("The hole from above"))).to_be_visible()
    expect(page.locator("#hole-2").get_by_text("Rests on a generic hole")).to_be_visible()
    page.get_by_role("link", name="Print the card").tap()
    expect(page.get_by_role("img", name=re.compile("^The plan on paper"))).to_be_visible()
    look(page, "card")
    assert fits(page)
    # What leaves the printer is the card and nothing else, in the size that the rule allows.
    printed = PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True, print_background=True)))
    # Chromium may end with an empty sheet; what counts is what is printed on.
    sheets = [one for one in printed.pages if one.extract_text().strip()]
    sizes = [(float(one.mediabox.width) / 72, float(one.mediabox.height) / 72) for one in sheets]
    assert len(sizes) == 2, sizes
    for wide, tall in sizes:
        assert wide == pytest.approx(4.25, abs=0.02)
        assert tall == pytest.approx(7.0, abs=0.02)
    assert "Sign out" not in printed.pages[0].extract_text()
    file = page.request.get(page.get_by_role("link", name="Card as PDF").get_attribute("href") or "")
    assert file.body().startswith(b"%PDF-")
    assert errors == []
    assert phone.pages[0].viewport_size == PHONE


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_plan_reads_on_phone_and_desk(place: Place, phone: BrowserContext, scheme: str) -> None:
    plan = plan_as_made(place)
    phone.set_default_timeout(PATIENCE)
    page, errors = open_as(phone, "ines")
    page.emulate_media(color_scheme=scheme)
    for size in (PHONE, DESK):
        page.set_viewport_size(size)
        for name, path in (
            ("plan", f"plans/{plan.id}"),
            ("played", f"plans/{plan.id}/played"),
            ("bag", f"players/{place.player.id}/bag"),
            ("tomorrow", "tomorrow"),
        ):
            page.goto(f"/clubs/{place.club.slug}/{path}")
            look(page, f"{name}-{size['width']}-{scheme}")
            assert fits(page), (name, size)
    assert errors == []
