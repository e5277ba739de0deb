"""The rows of the table, each with ours, its floor and the target. Names are those of the command line."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from uuid import UUID

from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.conditions.analysis import analyse_rounds
from players.people.models import SquadPlayer
from players.rounds.models import Round
from tests.benchmarks import databases
from tests.benchmarks.asking import Answer, World
from tests.benchmarks.floors import Floor
from tests.benchmarks.measuring import Clock, Measured, pairs, raw, typical

GETS = {
    "summary": "summary",
    "figures": "figures",
    "figure": "figures/gained.total",
    "shots": "shots?figure=gained.total",
    "putting": "putting",
    "approach": "approach",
    "misses": "misses",
    "distances": "distances",
    "condition_adjusted": "condition-adjusted",
    "trends": "trends",
    "goals": "goals",
    "priorities": "priorities",
    "earlier_self": "earlier-self?day=2025-12-01",
    "handicap": "handicap",
    "notes": "notes",
}
"""Every question about a player, by the name of its row."""
STORED = ("priorities", "handicap", "goals", "notes")
"""Their floor reads a stored document; that of the others the shots that they rest on."""
USUAL_LAST = 20
WHOLE = ("trends", "earlier_self")
"""They rest on every round there is."""


@contextmanager
def world_in(name: str) -> Iterator[tuple[World, Floor, Clock]]:
    databases.use(name)
    world = World()
    with raw() as connection:
        yield world, Floor(connection, world.club.id), Clock(connection)


def player_gets(only: str = "") -> Iterator[Measured]:
    """Each GET of a player, asked again and again, and as first asked after a change."""
    small: dict[str, float] = {}
    with world_in(databases.DEMO) as (world, _, clock):
        for name, path in GETS.items():
            if only in f"get_{name}":
                small[name] = typical(lambda p=path: _get(world, p), clock, rounds=5, times=4)
    with world_in(databases.GROWN) as (world, floor, clock):
        for name, path in GETS.items():
            if only not in f"get_{name}":
                continue
            told = _get(world, path).json
            last = None if name in WHOLE else USUAL_LAST
            bottom: Callable[[], object] = partial(floor.player_answer, world.player.id, last, told)
            if name in STORED:
                bottom = partial(floor.stored_answer, world.player.id, told)
            ours, least = pairs(lambda p=path: _get(world, p), bottom, clock, rounds=5, times=4)
            first = _after_a_change(world, path, clock)
            yield Measured(
                f"get_{name}", ours, least, 2.0, ours / small[name], 1.3, more={"first_s": round(first, 4)}
            )


def _get(world: World, path: str) -> Answer:
    """As it was sent: what a program makes of it is no work of ours, nor of the floor."""
    return world.client.get(f"/api/v1/players/{world.player.id}/{path}")


def _after_a_change(world: World, path: str, clock: Clock) -> float:
    """The same asked first after the player's golf has changed."""

    def changed() -> None:
        with club_scope(world.club.id):
            latest = Round.objects.filter(player=world.player).latest("played_on", "id")
            Round.objects.filter(id=latest.id).update(version=latest.version + 1)

    spent = []
    for _ in range(3):
        changed()
        began = clock.now()
        _get(world, path)
        spent.append(clock.now() - began)
    return sorted(spent)[1]


def coach_dashboard() -> Iterator[Measured]:
    """Twenty players of five years, one GraphQL document; growth is against players of fourteen months."""

    def a_player(world: World) -> float:
        with club_scope(world.club.id):
            assert world.squad is not None
            return min(20, SquadPlayer.objects.filter(squad=world.squad).count())

    with world_in(databases.DEMO) as (world, _, clock):
        small = typical(lambda: world.client.dashboard(world.squad.id, 20), clock, rounds=3) / a_player(world)
    with world_in(databases.GROWN) as (world, floor, clock):
        told = world.client.dashboard(world.squad.id, 20).json["data"]
        with club_scope(world.club.id):
            ids = list(SquadPlayer.objects.filter(squad=world.squad).values_list("player_id", flat=True))
        ours, least = pairs(
            lambda: world.client.dashboard(world.squad.id, 20),
            lambda: floor.dashboard(ids, told),
            clock,
            rounds=3,
        )
        yield Measured("coach_dashboard", ours, least, 2.0, ours / a_player(world) / small, 1.3)


def list_1000() -> Iterator[Measured]:
    """A thousand rounds in pages of a hundred."""
    with world_in(databases.GROWN) as (world, floor, clock):

        def ours() -> None:
            address: str | None = "/api/v1/rounds?page_size=100"
            for _ in range(10):
                assert address is not None
                address = _next(world.client.get(address.replace("http://localhost", "")))

        yield Measured("list_1000", *pairs(ours, lambda: floor.list_rounds(100, 10), clock, rounds=3), 1.5)


def _next(page: Answer) -> str | None:
    """As its header says: to read the body is no work of ours, nor of the floor."""
    linked = re.search(r'<(\S+)>; rel="next"', page.headers.get("Link", ""))
    return linked and linked[1]


def request_floor() -> Iterator[Measured]:
    """The least answer there is (``GET /club``) against a transaction with one query."""
    with world_in(databases.GROWN) as (world, floor, clock):
        ours, least = pairs(
            lambda: world.client.get("/api/v1/club"),
            lambda: floor.rows("SELECT * FROM clubs_club"),
            clock,
            rounds=5,
            times=20,
        )
        yield Measured("request_floor", ours, least, 10.0)


def post_round() -> Iterator[Measured]:
    """A round of 72 shots; growth is in a table ten times as large."""
    found: dict[str, tuple[float, float]] = {}
    for name in (databases.GROWN, databases.TENFOLD):
        with world_in(name) as (world, floor, clock):
            with club_scope(world.club.id):
                source = Round.objects.filter(player=world.player, section="18").latest("played_on").id
            floor.copy_round(source)
            found[name] = pairs(
                posting(world), lambda floor=floor: floor.write_prepared("2015-01-01"), clock, rounds=7
            )
            take_back(world)
    ours, least = found[databases.GROWN]
    yield Measured("post_round", ours, least, 2.5, found[databases.TENFOLD][0] / ours, 1.2)


def analyse_round() -> Iterator[Measured]:
    """A posted round's analysis, against its shots read and its figures written. Growth is against the demo."""
    found: dict[str, tuple[float, float]] = {}
    for name in (databases.DEMO, databases.GROWN):
        with world_in(name) as (world, floor, clock):
            round_id = world.latest_round

            def analyse(world: World = world, round_id: UUID = round_id) -> None:
                with club_scope(world.club.id):
                    analyse_rounds([round_id])

            found[name] = pairs(
                analyse,
                partial(floor.write_figures_again, round_id),
                clock,
                rounds=7,
            )
            worker.drain()
    ours, least = found[databases.GROWN]
    yield Measured("analyse_round", ours, least, 2.5, ours / found[databases.DEMO][0], 1.2)


def all_work_of_a_round() -> Iterator[Measured]:
    """Everything that a posted round asks for, until nothing is left, beside a bare query of its shots."""
    found: dict[str, tuple[float, float, float]] = {}
    for name in (databases.DEMO, databases.GROWN):
        with world_in(name) as (world, floor, clock):
            posted = posting(world)
            worker.drain()
            spent, least, analysis = [], [], []
            for _ in range(4):
                posted()
                began = clock.now()
                _analyse_one(world)
                analysis.append(clock.now() - began)
                worker.drain()
                spent.append(clock.now() - began)
                began = clock.now()
                floor.player_answer(world.player.id, 1, {})
                least.append(clock.now() - began)
            found[name] = (sorted(spent)[1], sorted(least)[1], sorted(analysis)[1])
            take_back(world)
    ours, least_s, _ = found[databases.GROWN]
    held = {"held": ours <= 0.25, "seconds_target": 0.25}
    yield Measured("all_work_of_a_round", ours, least_s, 1e9, ours / found[databases.DEMO][0], 1.3, more=held)


def _analyse_one(world: World) -> None:
    """The round's analysis alone: the first piece of its work after the handicap record."""
    worker.drain(limit=1)


def posting(world: World) -> Callable[[], object]:
    """Posts one more round each time it is called, of a day of its own."""
    first = dt.date(2026, 9, 1).toordinal()
    days = (dt.date.fromordinal(day).isoformat() for day in range(first, first + 80))
    body = world.body
    return lambda: world.post_round(body | {"played_on": next(days)})


def take_back(world: World) -> None:
    """Delete what was posted, and nothing else, so that the cached club stays as it was."""
    for answer in world.posted:
        address = f"/api/v1/rounds/{answer.json['id']}"
        deleted = world.client.ask("DELETE", address, if_match="*")
        assert deleted.status == 204, (address, deleted.status, deleted.body[:500])
    world.posted.clear()
    worker.drain()


ROWS: dict[str, Callable[..., Iterator[Measured]]] = {
    "request_floor": request_floor,
    "get": player_gets,
    "coach_dashboard": coach_dashboard,
    "list_1000": list_1000,
    "post_round": post_round,
    "analyse_round": analyse_round,
    "all_work_of_a_round": all_work_of_a_round,
}
