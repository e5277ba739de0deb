"""Rounds whose putts were simulated on greens of known state, posted and analysed like any others."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from golfstats.ground.clubs.models import Member
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.outbox.work import handlers
from players.conditions import analysis
from players.people.models import Player
from players.rounds import services as posting
from players.rounds.input import RoundInput
from players.rounds.models import Round
from tests.factories import LENGTHS, PARS, plain_shots, round_body
from tests.golfers import hole_out

DIRECTION_SD, DISTANCE_SD = 0.027, 0.13
"""Spreads of a usual club golfer: radians, and a share of the roll."""


def simulated_round(
    rng: np.random.Generator, player: Player, day: dt.date, worse: float = 0.0, **fields: Any
) -> RoundInput:
    """A round of plain approaches and simulated putts; both spreads are larger by the share ``worse``."""
    first_ft = np.clip(rng.gamma(2.0, 11.0, 18), 3.0, 90.0)
    rolled = hole_out(first_ft, DIRECTION_SD * (1 + worse), DISTANCE_SD * (1 + worse), rng)
    holes = []
    for number in range(18):
        approach = plain_shots(PARS[number], LENGTHS[number])[:-2]
        feet = rolled.before_ft[rolled.ball == number]
        putts = [{"lie": "green", "distance": max(round(float(f), 2), 0.1)} for f in feet]
        holes.append({"number": number + 1, "shots": approach + putts})
    body = round_body(player, played_on=day.isoformat(), holes=holes) | fields
    return RoundInput.model_validate(body)


def play(member: Member, rounds: Sequence[RoundInput]) -> list[Round]:
    """Post the rounds and have them analysed; in a club's scope."""
    posted = posting.post_rounds(member, rounds)
    analysis.analyse_pending()
    return posted


def work_off(*kinds: str) -> list[str]:
    """Do what is outstanding of these kinds, whenever it is due; in a club's scope. Gives the keys."""
    keys = []
    for kind in kinds:
        for row in OutstandingWork.objects.filter(kind=kind).order_by("key"):
            row.delete()
            handlers[kind].work(row.key)
            keys.append(row.key)
    return keys


def days(first: dt.date, every: int, count: int) -> Iterable[dt.date]:
    return (first + dt.timedelta(days=every * number) for number in range(count))
