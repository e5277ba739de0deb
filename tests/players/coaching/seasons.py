"""Simulated golfers with months of golf in the database, every shot recorded, the last round a few days ago."""

from __future__ import annotations

import datetime as dt
from typing import Any

from golfstats.calc.simulate.golfer import Golfer, golfer_of_handicap
from golfstats.ground.clubs.models import Member
from players.people.models import Player
from players.rounds.models import Round
from tests.players.simulated_golf import bodies_of, post_bodies

DAYS_APART = 4
DAYS_SINCE_LAST = 3


def days_of(rounds: int) -> list[dt.date]:
    """Days of play, oldest first."""
    last = dt.datetime.now(dt.UTC).date() - dt.timedelta(days=DAYS_SINCE_LAST)
    return [last - dt.timedelta(days=DAYS_APART * back) for back in reversed(range(rounds))]


def season_bodies(
    player: Player, rounds: int, golfer: Golfer | None = None, seed: int = 5, **fields: Any
) -> list[dict[str, Any]]:
    """Rounds as they would be posted, of a golfer of handicap 8 unless one is given."""
    bodies = bodies_of(player, days_of(rounds), golfer or golfer_of_handicap(8.0), seed)
    return [body | fields for body in bodies]


def play_season(
    member: Member, player: Player, rounds: int, golfer: Golfer | None = None, seed: int = 5, **fields: Any
) -> list[Round]:
    return post_bodies(member, season_bodies(player, rounds, golfer, seed, **fields))
