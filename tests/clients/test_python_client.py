"""A client that a well-kept generator makes of the API document is typed, and answers what a coach asks."""

from __future__ import annotations

import importlib
import os
from pathlib import Path
from typing import Any

import httpx
import pytest
from django.core.wsgi import get_wsgi_application

from golfstats.ground.walls.scope import club_scope
from tests.clients.conftest import GUIDE, SETTINGS, run_python
from tests.databases import committed
from tests.players.conftest import Place, client_of, place
from tests.players.simulated_golf import play_rounds

__all__ = ["place"]  # a fixture of theirs that is used here as well

pytestmark = [pytest.mark.slow, committed]
QUESTIONS = Path(__file__).with_name("ten_questions.py")


@pytest.fixture
def folder(python_client: Path) -> Path:
    """Where the generated package ``golf_client`` and the questions are."""
    (python_client / "ten_questions.py").write_text(QUESTIONS.read_text())
    return python_client


def test_the_guide_says_how_the_client_is_made() -> None:
    assert SETTINGS in GUIDE.read_text(encoding="utf-8")


def test_client_and_questions_pass_the_type_checker(folder: Path) -> None:
    run_python(
        "mypy",
        "--config-file",
        os.devnull,
        "--cache-dir",
        os.devnull,
        "ten_questions.py",
        "golf_client",
        folder=folder,
    )


def test_ten_questions_are_answered(folder: Path, place: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    with club_scope(place.club.id):
        play_rounds(place.player_member, place.player, 8)
    monkeypatch.syspath_prepend(folder)
    client = _client(place)
    answers = importlib.import_module("ten_questions").ten_answers(client, place.player.id)
    assert len(answers) == 10
    refused = [one.to_dict() for one in answers if type(one).__name__ == "Problem"]
    assert refused == []
    assert all(one is not None for one in answers)


def _client(place: Place) -> Any:
    """The generated client, talking to the service in this process."""
    package = importlib.import_module("golf_client")
    made = client_of(place.coach).post("/api/v1/tokens", {"name": "notebook"}, format="json")
    assert made.status_code == 201, made.content
    client = package.AuthenticatedClient("http://testserver", made.json()["token"])
    headers = {"Authorization": f"Bearer {made.json()['token']}", "Club": place.club.slug}
    transport = httpx.WSGITransport(app=get_wsgi_application())
    return client.set_httpx_client(
        httpx.Client(base_url="http://testserver", headers=headers, transport=transport)
    )
