"""Two web servers and two workers of a queue, each with processes of its own, come to what one of each comes to."""

from __future__ import annotations

import datetime as dt
import shutil
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from threading import Semaphore
from typing import Any

import pytest

from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.ground.ids import new_id
from players.people.models import Player
from tests.chaos.clients import Seen, play, sign_in
from tests.chaos.parts import Installation
from tests.players.simulated_golf import bodies_of
from tests.waiting import wait_until

pytestmark = pytest.mark.redis

PLAYERS = 3
ROUNDS_OF_EACH = 6
SETTLES_WITHIN = 600.0


@contextmanager
def installed() -> Iterator[Installation]:
    folder = Path(tempfile.mkdtemp())
    made = Installation(folder)
    try:
        made.start()
        yield made
    finally:
        made.stop()
        shutil.rmtree(folder)


def season(installation: Installation, webs: list[str]) -> tuple[dict[str, Any], dict[str, Any], Seen]:
    """The same rounds for each installation, posted by all players at once, each half through one web and half
    through another. Gives the figures and what an audit of them says.
    """
    people = installation.inside(f"found({PLAYERS})")["players"]
    seen = Seen()
    days = [dt.date(2026, 5, 1) + dt.timedelta(days=day) for day in range(ROUNDS_OF_EACH)]
    with ThreadPoolExecutor(2 * PLAYERS) as clients:
        asked = []
        for number, person in enumerate(people):
            player = Player(id=person["player"], club_id=new_id())
            bodies = bodies_of(player, days, golfer_of_handicap(6.0 + 4 * number), seed=number)
            for which, own in enumerate((bodies[0::2], bodies[1::2])):
                web = webs[which % len(webs)]
                headers = sign_in(web, person, seen, f"10.0.{which}.{number}")
                asked.append(clients.submit(play, web, headers, own, seen, Semaphore(len(own))))
        for one in asked:
            one.result()
    wait_until(installation.is_settled, seconds=SETTLES_WITHIN, what="the work")
    return installation.inside("figures()"), installation.inside(f"audited({people[0]['user']!r})"), seen


def test_two_of_each_come_to_the_figures_of_one() -> None:
    with installed() as several:
        for queue in ("quick", "quick", "long"):
            several.start_another_worker(queue)
        figures, audited, seen = season(several, [several.web_address, several.start_another_web()])
    with installed() as single:
        expected, _, _ = season(single, [single.web_address])
    assert (seen.wrong, seen.lost_connections) == ([], 0)
    assert set(seen.statuses) <= {200, 201}
    rounds = PLAYERS * ROUNDS_OF_EACH
    assert (audited["analysis"], audited["differ"]) == ({"done": rounds}, 0)
    assert (audited["due"], audited["given up"]) == ([], [])
    assert audited["rounds"] == sorted(seen.saved.values())
    assert len(figures) == rounds + PLAYERS
    assert figures == expected
