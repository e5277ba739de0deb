"""Players side by side, a player against his earlier self, and a squad's leader tables."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import combinations
from uuid import UUID

from golfstats.calc.coaching.comparison import Standing, compare_figures, leader_table
from golfstats.calc.coaching.words import likely_better
from golfstats.calc.figure import Figure
from golfstats.calc.observations import FigureSpec
from players.coaching.history import Observed, observed
from players.coaching.trends import month_words
from players.models import Player
from players.queries.analysed import Golf
from players.queries.figures import spec_of


@dataclass(frozen=True)
class Pair:
    """Two players (or two periods of one) on a figure."""

    first: str
    second: str
    difference: Figure
    """First minus second."""
    chance_first_better: float | None
    words: str


@dataclass(frozen=True)
class SideBySide:
    spec: FigureSpec
    figures: list[Figure]
    """In the order of the players."""
    pairs: list[Pair]


@dataclass(frozen=True)
class EarlierSelf:
    spec: FigureSpec
    before: Figure
    since: Figure
    pair: Pair


@dataclass(frozen=True)
class Leaders:
    spec: FigureSpec
    standings: list[Standing]
    """``player`` is a place in the players that were given."""


def side_by_side(golf: Golf, players: Sequence[Player], keys: Iterable[str]) -> list[SideBySide]:
    """Each figure for each player, and how likely one is better. Raises ``UnknownFigureError``."""
    return [_compared(golf, players, key) for key in keys]


def _compared(golf: Golf, players: Sequence[Player], key: str) -> SideBySide:
    spec, figures = _figures(golf, [player.id for player in players], key)
    pairs = [
        pair(spec, (players[a].name, figures[a]), (players[b].name, figures[b]))
        for a, b in combinations(range(len(players)), 2)
    ]
    return SideBySide(spec, figures, pairs)


def pair(spec: FigureSpec, first: tuple[str, Figure], second: tuple[str, Figure]) -> Pair:
    """Two named figures of separate samples."""
    compared = compare_figures(first[1], second[1], spec.better)
    chance = compared.chance_first_better
    words = "too few" if chance is None else f"{first[0]}: {likely_better(chance, second[0])}"
    return Pair(first[0], second[0], compared.difference, chance, words)


def earlier_self(golf: Golf, player: UUID, keys: Iterable[str], day: date, today: date) -> list[EarlierSelf]:
    """The player's rounds from ``day`` on against those before it. Raises ``UnknownFigureError``."""
    return [_against_earlier(observed(golf, player, key), day, today) for key in keys]


def _against_earlier(figure: Observed, day: date, today: date) -> EarlierSelf:
    spec, found = figure.spec, figure.observations
    later = figure.golf.analysed.record.rounds.day[found.round] >= day.toordinal()
    before, since = spec.figure(found.select(~later)), spec.figure(found.select(later))
    names = (f"since {day}", f"before {day} ({month_words(day, today)})")
    return EarlierSelf(spec, before, since, pair(spec, (names[0], since), (names[1], before)))


def leaders(golf: Golf, players: Sequence[UUID], key: str) -> Leaders:
    """The players by one figure, best first, with the ties that the sample leaves.

    Raises ``UnknownFigureError``.
    """
    spec, figures = _figures(golf, players, key)
    return Leaders(spec, leader_table(figures, spec.better))


def _figures(golf: Golf, players: Sequence[UUID], key: str) -> tuple[FigureSpec, list[Figure]]:
    spec = spec_of(golf, key)
    everybodys = spec.observe(golf.analysed)
    return spec, [spec.figure(golf.observations_of(everybodys, [player])) for player in players]
