"""The service as a whole: what it does while nobody asks, and what many who ask at once get. In one process."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from typing import Any

from django.db import DatabaseError, connection

from golfstats.ground.outbox import thread, worker
from golfstats.ground.outbox.health import done_by_kind
from golfstats.ground.walls.scope import club_scope
from players.people.models import Player
from tests.benchmarks import databases
from tests.benchmarks.asking import Answer, World
from tests.benchmarks.bare import bare_client
from tests.benchmarks.measuring import Measured, Run, spent_by_service
from tests.benchmarks.rows import take_back, world_in

IDLE_SECONDS = 120.0
OF_A_CORE = 0.005
FITS = ("condition_effect", "club_benchmark")
CLIENTS, READS_EACH = 32, 11
"""Of a player of each client's own, for whom it posts a round as well."""
READS = ("summary", "figures", "handicap", "goals", "notes", "priorities")


def idle() -> Iterator[Measured]:
    """Two minutes without a request, as a share of a core: this process with its working threads, and the database."""
    with world_in(databases.GROWN):
        worker.drain()
        fits = _fits_begun()
        thread.start()
        time.sleep(2.0)  # the first look for work belongs to the start
        began = spent_by_service()
        time.sleep(IDLE_SECONDS)
        spent = spent_by_service() - began
        thread.stop()
        more = {"fits": _fits_begun() - fits}
        yield Measured("idle", spent, IDLE_SECONDS, OF_A_CORE, more=more | {"held": not more["fits"]})


def concurrent() -> Iterator[Measured]:
    """Thirty-two clients that read and post at once: how many requests they get, of those that a bare view answers.

    The bare view sends the bytes of each read through Django's own stack, and asks no database. Counted by the processor's time, so that it is the same on a
    busy machine; the work that posting asks for is left out. Ours and the floor change places: it is a share.
    """
    with world_in(databases.GROWN) as (world, _, _clock):
        with club_scope(world.club.id):
            players = list(Player.objects.order_by("id")[:CLIENTS])
        reads = [_reads(world, player) for player in players]
        bodies = [read().body for read in reads[0]]
        body = world.body  # read before the time is taken
        ours, refused = _together(
            [
                [*some, partial(_post, world, body, player)]
                for some, player in zip(reads, players, strict=True)
            ]
        )
        with bare_client(bodies) as client:
            bare: list[Run] = [partial(client.get, f"/{number}") for number in range(READS_EACH)]
            least, missed = _together([[*bare, bare[0]]] * CLIENTS)
        assert not missed, missed
        take_back(world)
        more = {"errors": len(refused), "held": not refused}
        yield Measured("concurrent", least, ours, 0.5, at_least=True, more=more)


def _reads(world: World, player: Player) -> list[Callable[[], Answer]]:
    names = [READS[one % len(READS)] for one in range(READS_EACH)]
    return [partial(world.client.get, f"/api/v1/players/{player.id}/{name}") for name in names]


def _post(world: World, body: dict[str, Any], player: Player) -> None:
    world.post_round(body | {"player": player.name, "played_on": "2026-09-01"})


def _together(clients: list[list[Run]]) -> tuple[float, list[Exception]]:
    """What all clients' runs take, each client beginning at another one, and what went wrong."""
    refused: list[Exception] = []

    def client(number: int) -> None:
        runs = clients[number]
        first = number % len(runs)
        for run in [*runs[first:], *runs[:first]]:
            try:
                run()
            except (AssertionError, DatabaseError) as fault:
                refused.append(fault)
        connection.close()

    began = spent_by_service()
    with ThreadPoolExecutor(CLIENTS) as threads:
        list(threads.map(client, range(CLIENTS)))
    return spent_by_service() - began, refused


def _fits_begun() -> int:
    return sum(begun for kind, begun, _ in done_by_kind() if kind in FITS)


SERVICE: dict[str, Callable[[], Iterator[Measured]]] = {"idle": idle, "concurrent": concurrent}
