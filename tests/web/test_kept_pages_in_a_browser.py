"""The page on which golf is entered is kept for when there is no connection, and for nobody but whose it is."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from django.contrib.sessions.models import Session
from playwright.sync_api import Page, Playwright, Route, expect
from pytest_django.live_server_helper import LiveServer

from golfstats.ground.clubs.services import remove_member
from golfstats.ground.walls.scope import club_scope
from tests.databases import committed
from tests.web.browsers import ON_A_PHONE, OPTIONS, chromium, give_password, sign_in, with_password
from tests.web.conftest import Place

pytestmark = [pytest.mark.browser, committed]


@pytest.fixture
def page(place: Place, playwright: Playwright, live_server: LiveServer, tmp_path: Path) -> Iterator[Page]:
    """Signed in as the coach, with the page to enter a round kept."""
    phone = playwright.chromium.launch_persistent_context(
        tmp_path, executable_path=chromium(), args=OPTIONS, base_url=live_server.url, **ON_A_PHONE
    )
    page = phone.new_page()
    sign_in(page, "coach")
    page.goto(entry(place))
    page.wait_for_function("caches.match(location.pathname).then(Boolean)")
    page.reload()  # the worker answers from now on
    assert is_kept(page, place)
    yield page
    phone.close()


def entry(place: Place) -> str:
    return f"/clubs/{place.club.slug}/rounds/new"


def is_kept(page: Page, place: Place) -> bool:
    return bool(page.evaluate(f"caches.match('{entry(place)}').then(Boolean)"))


def test_it_goes_with_the_membership(place: Place, page: Page) -> None:
    with club_scope(place.club.id):
        remove_member(place.coach)
    page.goto(entry(place))
    expect(page.get_by_text("Ines Aldana")).to_have_count(0)
    assert not is_kept(page, place)


def test_it_goes_with_a_session_that_ended_elsewhere(place: Place, page: Page) -> None:
    Session.objects.all().delete()
    page.goto(entry(place))
    expect(page.get_by_label("Password")).to_be_visible()
    assert not is_kept(page, place)


def test_it_is_not_kept_by_an_answer_from_before(place: Place, page: Page) -> None:
    """The page is fetched a second time to be kept: an answer that was on its way must not bring it back."""
    answer = page.request.get(entry(place))
    assert "Ines Aldana" in answer.text()
    on_its_way: list[Route] = []

    def hold(route: Route) -> None:
        route.continue_() if on_its_way else on_its_way.append(route)

    page.context.route(f"**{entry(place)}", hold)
    page.evaluate(f"navigator.serviceWorker.controller.postMessage('{entry(place)}')")
    Session.objects.all().delete()
    page.goto(entry(place))
    expect(page.get_by_label("Password")).to_be_visible()

    [route] = on_its_way
    with page.context.expect_event("requestfinished"):
        route.fulfill(response=answer)
    page.context.service_workers[0].evaluate("turn")
    assert not is_kept(page, place)


def test_it_goes_before_another_signs_in(place: Place, page: Page) -> None:
    Session.objects.all().delete()
    page.goto("/sign-in")
    assert is_kept(page, place)
    give_password(page, with_password("greenkeeper"))
    page.wait_for_url("**/clubs/**")
    assert not is_kept(page, place)
