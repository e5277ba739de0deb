"""What every answer about strokes shares: whose golf, which rounds, against whom, and where numbers come from."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

import numpy as np
from django.urls import reverse

from golfstats.api.problems import Fault, invalid, not_found
from golfstats.api.views import ClubView
from golfstats.calc.figure import Figure
from golfstats.calc.observations import FigureSpec
from golfstats.calc.strokes.benchmark import Benchmark
from golfstats.calc.strokes.selection import UnknownBenchmark
from golfstats.calc.strokes.table import off_green_memory
from golfstats.clubs.models import Club
from players import permissions
from players.api.figures import figure_json
from players.api.query_string import StrokesQuery, WindowQuery
from players.models import Player
from players.queries.analysed import Golf, golf_of
from players.queries.benchmarks import benchmark_for
from players.queries.figures import NamedFigure
from players.queries.windows import RoundWindow


class StrokesView(ClubView):
    """Base of the endpoints about strokes."""

    def visible_player(self, player_id: UUID) -> Player:
        player = permissions.visible_players(self.member).filter(id=player_id).first()
        if player is None:
            raise not_found("No player")
        return player

    def unit_of(self, query: StrokesQuery) -> str:
        return query.unit or self.club.distance_unit

    def golf(self, players: Iterable[UUID], query: WindowQuery) -> Golf:
        return golf_asked_for(players, self.club, query)

    def benchmark(self, key: str) -> Benchmark:
        try:
            return benchmark_for(key)
        except UnknownBenchmark as error:
            raise unknown_benchmark(error) from None


def golf_asked_for(players: Iterable[UUID], club: Club, query: WindowQuery) -> Golf:
    """The rounds of these players in the query's window; a 422 problem for an unknown benchmark."""
    try:
        return golf_of(players, club, query.benchmark, query.window())
    except UnknownBenchmark as error:
        raise unknown_benchmark(error) from None


def unknown_benchmark(error: UnknownBenchmark) -> Exception:
    return invalid([Fault("/benchmark", "unknown_benchmark", str(error))], "No such benchmark")


def benchmark_json(benchmark: Benchmark) -> dict[str, Any]:
    return {
        "key": benchmark.key,
        "name": benchmark.name,
        "description": benchmark.description,
        "provenance": benchmark.provenance,
        "caution": caution(),
    }


def caution() -> str:
    """What has to be said wherever a benchmark is shown: all of them rest on the professional table."""
    memory, rows = off_green_memory()
    return (
        f"{memory} of the {rows} values of the professional table off the green are from memory and "
        "not checked against the paper; this benchmark rests on them."
    )


def window_json(player: Player, golf: Golf) -> dict[str, Any]:
    """The player's rounds that an answer is about; dates of the first and last one found."""
    days = [golf.played_on(int(row)) for row in np.flatnonzero(golf.rounds_of([player.id]))]
    first, last = (min(days), max(days)) if days else (None, None)
    return {
        "rounds": len(days),
        "first": first,
        "last": last,
        "words": _window_words(golf.window, len(days)) + (f", {first} to {last}" if days else ""),
    }


def _window_words(window: RoundWindow, rounds: int) -> str:
    if window.last is not None:
        return f"The last {rounds} rounds" if rounds == window.last else f"All {rounds} rounds there are"
    return f"{rounds} rounds"


def head(player: Player, golf: Golf) -> dict[str, Any]:
    return {
        "player": {"id": player.id, "name": player.name},
        "window": window_json(player, golf),
        "benchmark": benchmark_json(golf.benchmark),
    }


class FigureWriter:
    """Writes the figures of one player's answer, each with the address of the shots behind it."""

    def __init__(self, player: Player, query: WindowQuery, unit: str) -> None:
        self.unit = unit
        self._address = reverse("player-shots", args=[player.id])
        asked = {"last": query.last, "from": query.since, "to": query.until, "benchmark": query.benchmark}
        self._window = {name: str(value) for name, value in asked.items() if value is not None}

    def shots_address(self, key: str) -> str:
        return f"{self._address}?{urlencode({'figure': key} | self._window)}"

    def named(self, named: NamedFigure) -> dict[str, Any]:
        """A figure of the catalogue with its key and name."""
        spec = named.spec
        return {
            "key": spec.key,
            "name": spec.words,
            "better": spec.better,
            **self.figure(named.figure, spec),
        }

    def figure(self, figure: Figure, spec: FigureSpec) -> dict[str, Any]:
        return figure_json(
            figure,
            unit=self.unit,
            of=spec.per,
            signed=is_difference(spec),
            shots=self.shots_address(spec.key),
        )

    def plain(self, figure: Figure, of: str = "", *, signed: bool = False) -> dict[str, Any]:
        """A figure that is not of the catalogue."""
        return figure_json(figure, unit=self.unit, of=of, signed=signed)


def is_difference(spec: FigureSpec) -> bool:
    """Whether the figure is a gain or a loss, which is written with its sign."""
    return spec.key.startswith("gained.") or spec.key.endswith((".gained", ".shot_after"))
