"""A real browser (Debian's Chromium), and how people of the tests use it."""

from __future__ import annotations

import re
import shutil

from django.test import Client
from playwright.sync_api import BrowserContext, Page, expect

from golfstats.ground.clubs.models import User

PASSWORD = "a-long-password"
PATIENCE = 90_000
"""Milliseconds: the first page of a cold server on a busy machine takes its time."""
expect.set_options(timeout=PATIENCE)
PHONE = {"width": 390, "height": 844}
OPTIONS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-component-update",
    "--no-first-run",
]
ON_A_PHONE = {"viewport": PHONE, "is_mobile": True, "has_touch": True, "locale": "en-GB"}


def chromium() -> str:
    found = shutil.which("chromium")
    assert found, "these tests need Debian's chromium package"
    return found


def with_password(username: str) -> str:
    """Gives the person a password that the tests know."""
    user = User.objects.get(username=username)
    user.set_password(PASSWORD)
    user.save()
    return username


def sign_in(page: Page, username: str, errors: list[str] | None = None) -> None:
    with_password(username)
    page.set_default_timeout(PATIENCE)
    if errors is not None:
        page.on("console", lambda message: errors.append(message.text) if message.type == "error" else None)
        page.on("pageerror", lambda error: errors.append(str(error)))
    page.goto("/sign-in")
    give_password(page, username)
    page.wait_for_url(re.compile("/clubs/"))


def give_password(page: Page, username: str) -> None:
    page.get_by_label("Name").fill(username)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()


def open_as(context: BrowserContext, username: str) -> tuple[Page, list[str]]:
    """A tab signed in as this person, and the list that its errors go to."""
    context.clear_cookies()
    page, errors = context.new_page(), []
    sign_in(page, username, errors)
    return page, errors


def tell_shot(page: Page, lie: str, distance: str, done: str) -> None:
    """One shot by touch, as a player on the course tells it."""
    page.get_by_role("button", name=lie, exact=True).tap()
    for digit in distance:
        page.locator("#pad").get_by_role("button", name=digit, exact=True).tap()
    page.get_by_role("button", name=done, exact=True).tap()


def tell_score(page: Page, score: str = "5") -> None:
    if not page.locator("#g-score").is_visible():
        page.get_by_text("Only the score of this hole").tap()
    page.get_by_label("Score", exact=True).fill(score)
    page.get_by_role("button", name="Keep the score").tap()


def choose_front_nine(page: Page) -> None:
    page.locator("#head > summary").tap()
    page.get_by_label("Holes", exact=True).select_option("front")
    page.locator("#head > summary").tap()


def client_of(username: str) -> Client:
    client = Client()
    client.force_login(User.objects.get(username=username))
    return client
