"""Everything is killed, stopped, flushed and restarted while clients post: nothing is lost, doubled or wrong."""

from __future__ import annotations

import datetime as dt
import os
import random
import threading
import time
from collections import Counter
from collections.abc import Callable

import pytest
import redis

from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.ground.ids import new_id
from players.people.models import Player
from tests.chaos.clients import Seen, play, sign_in
from tests.chaos.parts import Installation
from tests.players.simulated_golf import bodies_of
from tests.waiting import wait_until

pytestmark = pytest.mark.redis

CLIENTS = 8
ROUNDS = int(os.environ.get("CHAOS_ROUNDS", "500"))
"""Of all clients together."""
ROUNDS_OF_EACH = [ROUNDS // CLIENTS + (number < ROUNDS % CLIENTS) for number in range(CLIENTS)]
ROUNDS_BETWEEN_BLOWS = 30
SETTLES_WITHIN = 600.0


def blows(of: Installation) -> list[tuple[str, Callable[[], None]]]:
    """Everything that is done to the service, in an order that is the same each time."""
    quick, long, messages = of.workers

    def flush() -> None:
        redis.Redis.from_url(of.redis.url).flushall()

    def redis_is_away() -> None:
        of.redis.stop()
        threading.Event().wait(3)
        of.redis.start()

    def power_is_cut() -> None:
        for program in of.programs:
            program.kill()
        flush()
        of.postgres.crash()
        for program in of.programs:
            program.start()

    every = [
        ("the quick worker is killed", quick.kill_and_start),
        ("the web is killed", of.web.kill_and_start),
        ("Redis forgets everything", flush),
        ("PostgreSQL crashes", of.postgres.crash),
        ("Redis is away for three seconds", redis_is_away),
        (
            "the workers of long work and messages are killed",
            lambda: (long.kill_and_start(), messages.kill_and_start()),
        ),
        ("beat is killed", of.beat.kill_and_start),
        ("the power is cut", power_is_cut),
    ]
    shuffled = random.Random(7)
    rows = (shuffled.sample(every, len(every)) for _ in range(ROUNDS))
    return [one for row in rows for one in row][: ROUNDS // ROUNDS_BETWEEN_BLOWS]


def test_rounds_survive_the_death_of_every_part(installation: Installation) -> None:
    people = installation.inside(f"found({CLIENTS})")["players"]
    seen = Seen()
    headers = [
        sign_in(installation.web_address, person, seen, f"10.0.0.{number}")
        for number, person in enumerate(people, start=1)
    ]
    days = [dt.date(2026, 4, 1) + dt.timedelta(days=day) for day in range(max(ROUNDS_OF_EACH))]
    bodies = [
        bodies_of(
            Player(id=person["player"], club_id=new_id()),
            days[:rounds],
            golfer_of_handicap(8.0 + number),
            seed=number,
        )
        for number, (person, rounds) in enumerate(zip(people, ROUNDS_OF_EACH, strict=True))
    ]
    may_be_posted = threading.Semaphore(0)
    clients = [
        threading.Thread(
            target=play, args=(installation.web_address, each, rounds, seen, may_be_posted), daemon=True
        )
        for each, rounds in zip(headers, bodies, strict=True)
    ]
    for client in clients:
        client.start()
    began = time.monotonic()
    suffered: Counter[str] = Counter()
    permitted = 0
    for name, blow in blows(installation):
        for _ in range(ROUNDS_BETWEEN_BLOWS):
            may_be_posted.release()
        permitted += ROUNDS_BETWEEN_BLOWS
        # In the midst of it: some of these rounds are saved, others on their way.
        half = permitted - ROUNDS_BETWEEN_BLOWS // 2
        wait_until(
            lambda half=half: seen.wrong or len(seen.saved) >= half,
            seconds=SETTLES_WITHIN,
            what=f"{half} rounds",
        )
        blow()
        suffered[name] += 1
    for _ in range(ROUNDS - permitted):
        may_be_posted.release()
    for client in clients:
        client.join()

    all_posted = time.monotonic()
    wait_until(installation.is_settled, seconds=SETTLES_WITHIN, what="all work to be done")
    settled = time.monotonic()
    end = installation.inside(f"audited({people[0]['user']!r})")
    for program in [*installation.workers, installation.beat]:
        program.kill()
    end["differ"] += installation.inside(f"made_anew({people[0]['user']!r})")
    quiet = time.monotonic()
    print(  # noqa: T201 - the figures of this run, shown by -s and when it fails
        f"{len(seen.saved)} rounds posted in {all_posted - began:.0f} s and settled {settled - all_posted:.0f} s after; "
        f"made anew in quiet in {quiet - settled:.0f} s; "
        f"{suffered.total()} blows {dict(suffered)}; answers {dict(seen.statuses)}, "
        f"lost {seen.lost_connections}; figures that differ: {end['differ']}"
    )
    assert seen.wrong == []
    assert len(seen.saved) == ROUNDS
    assert (end["due"], end["given up"]) == ([], [])
    # Each saved round is there once, and nothing that nobody was told of.
    assert end["rounds"] == sorted(seen.saved.values())
    assert end["analysis"] == {"done": ROUNDS}
    assert end["differ"] == []
