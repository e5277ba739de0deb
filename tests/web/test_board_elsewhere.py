"""A dashboard of somebody else's, on another origin: a coach lets it in, and it draws what GraphQL tells."""

from __future__ import annotations

import html
import re
import threading
import urllib.request
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

import pytest
from django.db import connections
from playwright.sync_api import expect, sync_playwright
from pytest_django.live_server_helper import LiveServer

from players.rounds.models import Round
from tests.databases import committed
from tests.web.browsers import OPTIONS, PATIENCE, chromium, give_password, with_password
from tests.web.conftest import Place

pytestmark = [pytest.mark.browser, committed]


@pytest.fixture
def board(live_server: LiveServer, settings: Any) -> Iterator[str]:
    """Another origin than the service's: another port. Its page is the guide's own."""
    guide = urllib.request.urlopen(f"{live_server.url}/guide").read().decode()
    (piece,) = re.findall(r'<code class="page">(.*?)</code>', guide, re.DOTALL)
    page = html.unescape(piece).encode()

    class Page(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.end_headers()
            self.wfile.write(page)

        def log_message(self, *_: Any) -> None:
            """Nothing to say."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Page)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    origin = f"http://127.0.0.1:{server.server_port}"
    settings.CORS_ALLOWED_ORIGINS = [origin]
    settings.OAUTH_CLIENTS = [f"board={origin}/"]
    yield origin
    server.shutdown()
    server.server_close()


def test_a_coach_lets_a_board_in_and_it_draws_their_rounds(
    place: Place, played: Round, board: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Playwright runs an event loop in this thread; the tests' own queries are synchronous all the same.
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
    with_password("coach")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=OPTIONS)
        page = browser.new_page()
        page.set_default_timeout(PATIENCE)
        page.goto(f"{board}/")
        page.get_by_role("button", name="Sign in").click()
        give_password(page, "coach")
        expect(page.get_by_role("heading", name="Let board in?")).to_be_visible()
        page.get_by_role("button", name="Let it in").click()
        page.wait_for_url(f"{board}/?code=*")
        expect(page.locator("#chart rect")).to_have_count(1)
        drawn = page.locator("#chart rect title").text_content()
        told = page.title()
        browser.close()
        connections.close_all()
    assert drawn == f"{played.played_on} 72"
    assert told.startswith('left "requests";r=')
