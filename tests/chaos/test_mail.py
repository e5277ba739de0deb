"""Whoever answers is killed before anything is sent: the mail arrives once a worker runs."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.chaos.clients import Seen, insist, sign_in
from tests.chaos.parts import Installation
from tests.waiting import wait_until

pytestmark = pytest.mark.redis


@pytest.fixture
def letters(folder: Path) -> Path:
    """Where the mail server of this test puts what it takes, a file for each connection."""
    return folder / "letters"


@pytest.fixture
def installation(folder: Path, letters: Path) -> Iterator[Installation]:
    made = Installation(
        folder, EMAIL_URL=f"filemail:///{letters}"
    )  # a slash more, or it is below the folder of the process
    try:
        made.start_web()
        yield made
    finally:
        made.stop()


def arrived(letters: Path) -> str:
    return "".join(one.read_text(encoding="utf-8") for one in letters.glob("*"))


def test_mail_outlives_the_process_that_was_asked_for_it(installation: Installation, letters: Path) -> None:
    web, seen = installation.web_address, Seen()
    manager = sign_in(web, installation.inside("found(1)")["manager"], seen, "10.0.0.1")
    body = {"name": "Rosa Linares", "role": "player", "email": "rosa@example.org"}
    made = insist(f"{web}/api/v1/invitations", seen, manager, json.dumps(body).encode())
    installation.web.kill()
    # Nor does the broker remember that there is anything to do.
    installation.redis.stop()
    assert arrived(letters) == ""

    installation.redis.start()
    *_, messages = installation.workers
    messages.start()
    installation.beat.start()
    wait_until(lambda: "rosa@example.org" in arrived(letters), what="the mail")
    assert made["link"].rpartition("/")[2] in arrived(letters).replace("=\n", "")
    assert seen.wrong == []
