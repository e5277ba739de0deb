"""Scores by hole of a player and of others of the club, which say how much days differ. Two queries."""

from __future__ import annotations

from collections.abc import Sequence
from uuid import UUID

import numpy as np

from golfstats.calc.plan.day_form import DayForm, Scorecards, day_form
from golfstats.calc.record import Ints
from players.golf import packed
from players.golf.loading import Columns
from players.golf.packed import Ids
from players.rounds.models import PlayedHole, Round

OWN_ROUNDS, ROUNDS_OF_OTHERS = 40, 1200
"""The latest ones: a player of years ago had other days."""
HOLES_AT_MOST = 100
"""Of a tee."""
NOTHING = Scorecards(*np.zeros((3, 0), dtype=np.int64))
_ROUND = ("id", "player_id", "tee_set_id")
_HOLE = {
    "round": packed.ids("round_id"),
    "number": packed.whole("number"),
    "score": packed.whole("score"),
}


def day_form_of(player: UUID) -> DayForm:
    """How much the player's days differ, by their own latest rounds and those of the club."""
    latest = Round.objects.order_by("-played_on", "-id")
    own = Columns.of(latest.filter(player_id=player)[:OWN_ROUNDS], _ROUND)
    others = Columns.of(latest.exclude(player_id=player)[:ROUNDS_OF_OTHERS], _ROUND)
    return day_form(_scorecards(own).get(player, NOTHING), list(_scorecards(others).values()))


def _scorecards(rounds: Columns) -> dict[UUID, Scorecards]:
    """By player."""
    ids = Ids.of(list(rounds["id"]))
    holes = packed.read_table(PlayedHole, _HOLE, "round_id", ids)
    row = holes["round"].rows_in(ids)
    tee = _numbers(rounds["tee_set_id"])[row]
    cards = Scorecards(row, tee * HOLES_AT_MOST + holes["number"], holes["score"])
    players = _numbers(rounds["player_id"])
    return {
        player: cards.select(players[row] == number)
        for player, number in zip(rounds["player_id"], players.tolist(), strict=True)
    }


def _numbers(ids: Sequence[UUID]) -> Ints:
    number = {one: row for row, one in enumerate(dict.fromkeys(ids))}
    return np.array([number[one] for one in ids], dtype=np.int64)
