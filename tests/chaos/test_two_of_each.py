"""Two processes of the web and three workers come to what one of each comes to: every figure, index and note."""

from __future__ import annotations

import datetime as dt
import shutil
import tempfile
import threading
from pathlib import Path

import pytest

from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.ground.ids import new_id
from players.people.models import Player
from tests.chaos.clients import Seen, play, sign_in
from tests.chaos.parts import QUEUES, Installation
from tests.chaos.stored import Stored, differences
from tests.players.simulated_golf import bodies_of
from tests.waiting import wait_until

pytestmark = pytest.mark.redis

PLAYERS = 4
DAYS = [dt.date(2026, 4, 1) + dt.timedelta(days=day) for day in range(12)]
EVERY_QUEUE = ",".join(QUEUES)
SETTLES_WITHIN = 600.0


def figures_of(web_processes: int, workers: int) -> Stored:
    """What is stored in the end by an installation of so many processes, whose players post all at once."""
    folder = Path(tempfile.mkdtemp())  # PostgreSQL runs as another user, and may not enter pytest's own
    made = Installation(folder, web_processes=web_processes, workers=[EVERY_QUEUE] * workers)
    try:
        made.start()
        return posted_at_once(made)
    finally:
        made.stop()
        shutil.rmtree(folder)


def posted_at_once(of: Installation) -> Stored:
    people = of.inside(f"found({PLAYERS})")["players"]
    seen, whenever_they_like = Seen(), threading.Semaphore(PLAYERS * len(DAYS))
    clients = [
        threading.Thread(target=play, args=(of.web_address, headers, bodies, seen, whenever_they_like))
        for headers, bodies in [
            (
                sign_in(of.web_address, person, seen, f"10.0.0.{number}"),
                bodies_of(
                    Player(id=person["player"], club_id=new_id()),
                    DAYS,
                    golfer_of_handicap(8.0 + number),
                    seed=number,
                ),
            )
            for number, person in enumerate(people, start=1)
        ]
    ]
    for client in clients:
        client.start()
    for client in clients:
        client.join()
    assert seen.wrong == []
    wait_until(of.is_settled, seconds=SETTLES_WITHIN, what="all work to be done")
    return dict(of.inside(f"figures({people[0]['user']!r})"))


def test_two_web_processes_and_three_workers_come_to_what_one_of_each_comes_to() -> None:
    one, several = figures_of(1, workers=1), figures_of(2, workers=3)
    assert len(one["figures of rounds"]) == PLAYERS * len(DAYS)
    assert all(one.values()), "something of each kind is stored"
    assert differences(one, several) == []
