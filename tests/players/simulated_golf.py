"""Simulated rounds in the database, on the course of ``tests.factories``."""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np

from golfstats.calc.simulate.bodies import round_bodies
from golfstats.calc.simulate.course import lay_out
from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.calc.simulate.reporting import Detail, as_estimated
from golfstats.calc.simulate.rounds import play
from golfstats.calc.simulate.schedule import simple_schedule
from golfstats.calc.simulate.season import PlannedRound, Season
from golfstats.clubs.models import Member
from players import posting
from players.models import Player, Round
from players.round_input import RoundInput
from tests.factories import LENGTHS, PARS

FIRST_DAY = dt.date(2025, 5, 1)


def play_rounds(
    member: Member, player: Player, rounds: int, handicap: float = 8.0, seed: int = 5
) -> list[Round]:
    """Post rounds of a golfer of this handicap, a day apart, every shot recorded."""
    bodies = [RoundInput.model_validate(body) for body in bodies_of(player, rounds, handicap, seed)]
    return posting.post_rounds(member, bodies)


def bodies_of(player: Player, rounds: int, handicap: float, seed: int) -> list[dict[str, Any]]:
    rng = np.random.default_rng(seed)
    golfer, course = golfer_of_handicap(handicap), lay_out(PARS, [float(x) for x in LENGTHS], rng)
    planned = tuple(_planned(player, FIRST_DAY + dt.timedelta(days=day)) for day in range(rounds))
    schedule = simple_schedule(rounds, first_day=FIRST_DAY.toordinal(), days_apart=1.0)
    record = play([golfer], [course], schedule, rng)
    season = Season(planned, as_estimated(record), record, (golfer,), np.zeros((rounds, 18)))
    return list(round_bodies(season))


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
