"""Processor time of this process and of the database's processes that work for it, in pairs of ours and the floor."""

from __future__ import annotations

import gc
import os
import resource
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median
from time import process_time
from typing import Any

import psycopg
from django.db import connection

Run = Callable[[], object]


@dataclass(frozen=True)
class Measured:
    """A line of the table. ``ratio`` is ours by the floor; ``growth`` ours by ours in a smaller club."""

    name: str
    ours_s: float
    floor_s: float
    target: float
    growth: float | None = None
    growth_target: float | None = None
    at_least: bool = False
    """The ratio is to be at least the target, and not at most."""
    more: dict[str, Any] = field(default_factory=dict)

    @property
    def ratio(self) -> float:
        return self.ours_s / self.floor_s

    @property
    def ok(self) -> bool:
        held = self.ratio >= self.target if self.at_least else self.ratio <= self.target
        grown = self.growth is None or self.growth_target is None or self.growth <= self.growth_target
        return held and grown and bool(self.more.get("held", True))

    def row(self) -> dict[str, Any]:
        found = {
            "name": self.name,
            "ours_s": round(self.ours_s, 6),
            "floor_s": round(self.floor_s, 6),
            "ratio": round(self.ratio, 3),
            "target": self.target,
            "ok": self.ok,
        }
        if self.growth is not None:
            found |= {"growth": round(self.growth, 3), "growth_target": self.growth_target}
        return found | self.more


class Clock:
    """Processor seconds of this process and of the database's processes that its connections talk to."""

    def __init__(self, *others: psycopg.Connection[Any]) -> None:
        self._others = others

    def now(self) -> float:
        return process_time() + sum(map(_spent_by, self._processes()))

    def _processes(self) -> list[int]:
        connection.ensure_connection()
        own = connection.connection.info.backend_pid
        return [own, *(one.info.backend_pid for one in self._others)]


def _spent_by(pid: int) -> float:
    # In nanoseconds; the times of /proc/<pid>/stat come in hundredths of a second.
    return int(Path(f"/proc/{pid}/schedstat").read_text(encoding="ascii").split()[0]) / 1e9


def spent_by_service() -> float:
    """Processor seconds of this process and of the whole embedded server, with what its ended processes took."""
    connection.ensure_connection()
    server = _times(connection.connection.info.backend_pid).parent
    processes = [_times(int(one.name)) for one in Path("/proc").iterdir() if one.name.isdigit()]
    living = sum(one.own for one in processes if one.parent == server)
    its = _times(server)
    return process_time() + its.own + its.of_ended + living


@dataclass(frozen=True)
class _Times:
    """Of a process, in seconds."""

    parent: int
    own: float
    of_ended: float
    """Of its children that have ended."""


def _times(pid: int) -> _Times:
    try:
        # The name in parentheses may hold anything.
        fields = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
    except (FileNotFoundError, ProcessLookupError):  # it has ended meanwhile
        return _Times(0, 0.0, 0.0)
    user, system, of_users, of_systems = (int(field) / os.sysconf("SC_CLK_TCK") for field in fields[11:15])
    return _Times(int(fields[1]), user + system, of_users + of_systems)


def seconds_of(run: Run, clock: Clock, times: int = 1) -> float:
    gc.collect()
    began = clock.now()
    for _ in range(times):
        run()
    return (clock.now() - began) / times


def pairs(ours: Run, floor: Run, clock: Clock, *, rounds: int = 5, times: int = 1) -> tuple[float, float]:
    """Medians of runs that alternate, so that a busy machine slows both."""
    ours(), floor()
    found = [(seconds_of(ours, clock, times), seconds_of(floor, clock, times)) for _ in range(rounds)]
    return median(one for one, _ in found), median(other for _, other in found)


def typical(run: Run, clock: Clock, *, rounds: int = 5, times: int = 1) -> float:
    run()
    return median(seconds_of(run, clock, times) for _ in range(rounds))


def peak_mb() -> float:
    """The most memory that this process has held so far."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


@contextmanager
def raw() -> Iterator[psycopg.Connection[Any]]:
    """A connection of the application role's without Django: what the floors are written on."""
    connection.ensure_connection()
    known = connection.get_connection_params()
    wanted = {name: known[name] for name in ("dbname", "user", "host", "port", "password") if known.get(name)}
    with psycopg.connect(**wanted, autocommit=True) as made:
        yield made
