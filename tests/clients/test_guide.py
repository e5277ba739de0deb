"""The developers' guide, as it is served: every piece of code in it is run against a server that listens."""

from __future__ import annotations

import html
import json
import os
import re
import subprocess
import sys
import urllib.request
from pathlib import Path
from typing import Any

from django.test import Client

from golfstats.ground.clubs.models import User
from golfstats.ground.events import EVENTS, Happening
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.webhooks.signature import new_secret, signed_headers
from players.conditions import analysis
from players.rounds.models import Round
from tests.databases import committed
from tests.players.conftest import Place, place
from tests.players.simulated_golf import play_rounds
from tests.web.pages import Page

__all__ = ["place"]  # a fixture of theirs that is used here as well

PASSWORD = "a-long-password"


def pieces(page: str) -> list[str]:
    return [html.unescape(one) for one in re.findall(r'<code class="run">(.*?)</code>', page, re.DOTALL)]


def run_with_a_worker(script: str, folder: Path) -> str:
    """What the script prints, while a worker does what it asks for."""
    environment = {**os.environ, "GOLF_NAME": "manager", "GOLF_PASSWORD": PASSWORD}
    (folder / "guide.py").write_text(script, encoding="utf-8")
    with subprocess.Popen(
        [sys.executable, "guide.py"],
        cwd=folder,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as running:
        while running.poll() is None:
            worker.drain()
        told, errors = running.communicate()
    assert running.returncode == 0, errors
    return told


@committed
def test_the_guide_runs_from_top_to_bottom(live_server: Any, place: Place, tmp_path: Path) -> None:
    with club_scope(place.club.id):
        play_rounds(place.player_member, place.player, 3)
        analysis.analyse_pending()
    manager = User.objects.get(username="manager")
    manager.set_password(PASSWORD)
    manager.save()
    page = urllib.request.urlopen(f"{live_server.url}/guide").read().decode()
    told = run_with_a_worker("\n\n".join(pieces(page)), tmp_path)
    assert "I am manager and manager" in told
    assert "2 players" in told
    assert "hole_length in m" in told
    assert "saved 45 at http" in told
    assert "the analysis is done" in told
    assert re.search(r"cost \d+ of 50000", told)
    assert 'left: "requests"' in told
    with club_scope(place.club.id):
        assert Round.objects.count() == 3  # what it saved it has deleted


def test_every_piece_of_code_is_one_that_is_run_and_shown_plainly(db: None) -> None:
    served = Client().get("/guide")
    page = served.content.decode()
    assert len(pieces(page)) == 18
    assert page.count("<pre ") == 18 + 2, (
        "a generator's settings and a page, which test_python_client.py and test_board_elsewhere.py use"
    )
    read = Page.of(served.content)
    assert read.inline == []
    assert {
        "pages",
        "notebooks",
        "units",
        "retries",
        "offline",
        "changes",
        "cost",
        "webhooks",
        "limits",
        "versions",
    } <= set(re.findall(r'<h2 id="(\w+)">', page))


def test_every_event_is_listed_with_its_schema_and_an_example(db: None) -> None:
    page = Client().get("/guide").content.decode()
    for happening, event in EVENTS.items():
        assert f'<th scope="row"><code>{happening.value}</code></th><td>{html.escape(event.meaning)}' in page
        assert f"<code>{event.message.__name__}</code>" in page
    shown = [
        json.loads(html.unescape(one)) for one in re.findall(r"Message</summary><code>(.*?)</code>", page)
    ]
    assert [one["type"] for one in shown] == Happening.values


def test_messages_are_verified_by_the_guides_own_text(db: None) -> None:
    page = Client().get("/guide").content.decode()
    (verifier,) = [one for one in pieces(page) if "def is_genuine" in one]
    known: dict[str, Any] = {}
    exec("import base64, hashlib, hmac\n" + verifier, known)  # noqa: S102 - the guide's own words
    old, new, now = new_secret(), new_secret(), 1_790_000_000
    headers = signed_headers([new, old], "018f", now, b"{}")
    assert known["is_genuine"](old, headers, b"{}", now)
    assert known["is_genuine"](old, headers, b"{}", now + 0.5), "as a clock tells it"
    assert known["is_genuine"](new, headers, b"{}", now)
    assert not known["is_genuine"](new_secret(), headers, b"{}", now)
