"""A Saturday: forty players come in from the course while their coach looks, and the service takes it in its stride."""

from __future__ import annotations

import datetime as dt
from concurrent.futures import ThreadPoolExecutor
from threading import Semaphore

import pytest

from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.ground.ids import new_id
from players.people.models import Player
from tests.chaos.clients import Seen, look, play, sign_in
from tests.chaos.parts import Installation
from tests.players.simulated_golf import bodies_of
from tests.waiting import wait_until

pytestmark = pytest.mark.redis

PLAYERS = 40
AT_ONCE = 8
SATURDAYS = 3
GROWTH = 1.1
"""Of memory from the second Saturday to the third: the first fills what is kept for good."""
BACKLOG_IS_GONE_WITHIN = 300.0


def test_forty_players_and_their_coach_on_three_saturdays(installation: Installation) -> None:
    web = installation.web_address
    club = installation.inside(f"found({PLAYERS})")
    seen = Seen()
    # Each has a telephone of their own: sign-ins are counted by address.
    *players, coach = [
        sign_in(web, person, seen, f"10.0.0.{number}")
        for number, person in enumerate([*club["players"], club["coach"]], start=1)
    ]
    memory = []
    for week in range(SATURDAYS):
        day = dt.date(2026, 5, 2) + dt.timedelta(weeks=week)
        asked = []
        with ThreadPoolExecutor(AT_ONCE) as clients:
            for number, person in enumerate(club["players"]):
                player = Player(id=person["player"], club_id=new_id())
                rounds = bodies_of(
                    player, [day], golfer_of_handicap(4.0 + number / 2), seed=100 * week + number
                )
                asked.append(clients.submit(play, web, players[number], rounds, seen, Semaphore(1)))
                asked.append(clients.submit(look, web, coach, club["squad"], seen))
        for one in asked:
            one.result()
        wait_until(installation.is_settled, seconds=BACKLOG_IS_GONE_WITHIN, what="the day's work")
        memory.append(installation.memory())
    end = installation.inside(f"audited({club['coach']['user']!r})")
    assert seen.wrong == []
    assert set(seen.statuses) <= {200, 201}
    assert seen.lost_connections == 0
    assert (end["analysis"], end["differ"], end["due"]) == ({"done": PLAYERS * SATURDAYS}, [], [])
    assert memory[2] <= GROWTH * memory[1], f"{memory} bytes after each Saturday"
