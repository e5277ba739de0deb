"""Simulated golfers with months of golf in the database, every shot recorded, the last round a few days ago."""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np

from golfstats.calc.simulate.bodies import round_bodies
from golfstats.calc.simulate.course import lay_out
from golfstats.calc.simulate.golfer import Golfer, golfer_of_handicap
from golfstats.calc.simulate.reporting import Detail, as_estimated
from golfstats.calc.simulate.rounds import play
from golfstats.calc.simulate.schedule import simple_schedule
from golfstats.calc.simulate.season import PlannedRound, Season
from golfstats.clubs.models import Member
from players import posting
from players.models import Player, Round
from players.round_input import RoundInput
from tests.factories import LENGTHS, PARS

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
    rng = np.random.default_rng(seed)
    golfer, course = golfer or golfer_of_handicap(8.0), lay_out(PARS, [float(x) for x in LENGTHS], rng)
    days = days_of(rounds)
    schedule = simple_schedule(rounds, first_day=days[0].toordinal(), days_apart=float(DAYS_APART))
    record = play([golfer], [course], schedule, rng)
    planned = tuple(_planned(player, day) for day in days)
    season = Season(planned, as_estimated(record), record, (golfer,), np.zeros((rounds, 18)))
    return [body | fields for body in round_bodies(season)]


def play_season(
    member: Member, player: Player, rounds: int, golfer: Golfer | None = None, seed: int = 5, **fields: Any
) -> list[Round]:
    bodies = season_bodies(player, rounds, golfer, seed, **fields)
    return posting.post_rounds(member, [RoundInput.model_validate(body) for body in bodies])


def _planned(player: Player, day: dt.date) -> PlannedRound:
    return PlannedRound(
        player=str(player.id),
        course="Long course",
        tee="White",
        played_on=day,
        start_time=dt.time(9),
        section="18",
        first_hole=1,
        holes=18,
        format="stroke_play",
        counting=True,
        competition=False,
        reason_for_missing_holes="",
        ball="",
        temperature_c=18.0,
        wind_mph=5.0,
        note="",
        detail=Detail.SHOTS,
    )
