"""Every round of some players, and which of its figures a question is about."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from golfstats.calc.observations import FigureSpec, Observations
from golfstats.clubs.models import Club
from players.queries.analysed import Golf, golf_of
from players.queries.figures import spec_of
from players.queries.windows import RoundWindow

DASHBOARD_FIGURES = (
    "gained.total",
    "gained.tee",
    "gained.approach",
    "gained.short_game",
    "gained.putting",
)
"""The figures whose trends are shown where nobody has asked for particular ones."""


def today_at(club: Club) -> date:
    """The date at the club."""
    return datetime.now(ZoneInfo(club.time_zone)).date()


def history_of(
    players: Iterable[UUID],
    club: Club,
    benchmark: str | None = None,
    since: date | None = None,
    until: date | None = None,
) -> Golf:
    """All rounds of these players between two dates. Raises ``UnknownBenchmark``."""
    return golf_of(players, club, benchmark, RoundWindow.between(since, until))


@dataclass(frozen=True, eq=False)
class Observed:
    """One figure of one player, with its observations in ``golf``."""

    golf: Golf
    spec: FigureSpec
    observations: Observations


def observed(golf: Golf, player: UUID, key: str) -> Observed:
    """Raises ``UnknownFigureError``."""
    spec = spec_of(golf, key)
    return Observed(golf, spec, golf.observations_of(spec.observe(golf.analysed), [player]))
