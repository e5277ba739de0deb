"""The first answer of a process of the web waits for nothing that a process makes once."""

from __future__ import annotations

import os
import subprocess
import sys

from golfstats.ground.clubs.accounts import make_token
from golfstats.ground.clubs.models import Scope
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from tests import factories
from tests.databases import committed
from tests.outbox.processes import ROOT, database_url

QUESTIONS = ("summary", "putting", "figures", "priorities", "misses", "trends", "goals", "approach")


@committed
def test_first_answers_make_nothing_that_a_process_makes_once(place):
    with club_scope(place.club.id):
        factories.make_round(place.player_member, place.player)
    worker.drain()
    _, token = make_token(place.player_member.user, "first", Scope.EVERYTHING, 1)
    addresses = [f"/api/v1/players/{place.player.id}/{question}" for question in QUESTIONS]
    fresh = subprocess.run(
        [sys.executable, "-m", "tests.players.warmed_process", token, *addresses],
        cwd=ROOT,
        env={
            **os.environ,
            "DATABASE_URL": database_url("default"),
            "OWNER_DATABASE_URL": database_url("owner"),
            "DJANGO_SETTINGS_MODULE": "golfstats.settings",
            "SECRET_KEY": "only for a test: 0123456789 abcdefghijk",
        },
        capture_output=True,
        text=True,
        check=False,
    )
    assert fresh.returncode == 0, fresh.stderr
    assert fresh.stdout.splitlines() == []
