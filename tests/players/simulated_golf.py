"""Simulated rounds in the database, on the course of ``tests.factories``, every shot recorded."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

import numpy as np

from golfstats.calc.simulate.bodies import round_bodies
from golfstats.calc.simulate.course import lay_out
from golfstats.calc.simulate.golfer import Golfer, golfer_of_handicap
from golfstats.calc.simulate.reporting import Detail, as_estimated
from golfstats.calc.simulate.rounds import play
from golfstats.calc.simulate.schedule import simple_schedule
from golfstats.calc.simulate.season import PlannedRound, Season
from golfstats.ground.clubs.models import Member
from players.people.models import Player
from players.rounds import services as posting
from players.rounds.input import RoundInput
from players.rounds.models import Round
from tests.factories import LENGTHS, PARS

FIRST_DAY = dt.date(2025, 5, 1)


def play_rounds(
    member: Member, player: Player, rounds: int, handicap: float = 8.0, seed: int = 5
) -> list[Round]:
    """Post rounds of a golfer of this handicap, a day apart."""
    days = [FIRST_DAY + dt.timedelta(days=day) for day in range(rounds)]
    return post_bodies(member, bodies_of(player, days, golfer_of_handicap(handicap), seed))


def bodies_of(player: Player, days: Sequence[dt.date], golfer: Golfer, seed: int) -> list[dict[str, Any]]:
    """A round on each of the days, as it would be posted."""
    rng = np.random.default_rng(seed)
    course = lay_out(PARS, [float(x) for x in LENGTHS], rng)
    record = play([golfer], [course], simple_schedule(len(days)), rng)
    planned = tuple(_planned(player, day) for day in days)
    season = Season(planned, as_estimated(record), record, (golfer,), np.zeros((len(days), 18)))
    return list(round_bodies(season))


def post_bodies(member: Member, bodies: Sequence[dict[str, Any]]) -> list[Round]:
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
