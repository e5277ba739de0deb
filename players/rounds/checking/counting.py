"""Rounds in play that the Rules bind (Rule 4.3), and what may not come in beside them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any
from uuid import UUID

from django.db.models import QuerySet

from golfstats.ground.faults import Fault
from golfstats.sentences import Sentence
from players.people.models import Player
from players.rounds.models import RoundInPlay

LAST_DAYS = dt.timedelta(days=1)
"""A round that nobody finished is taken for over the day after: a night may lie between two time zones."""


def counting_rounds(players: Sequence[Player] | QuerySet[Player], today: dt.date) -> dict[Any, RoundInPlay]:
    """By player, the latest begun. One query."""
    return {row.player_id: row for row in _open(today).filter(player__in=players)}


def _open(today: dt.date) -> QuerySet[RoundInPlay]:
    rows = RoundInPlay.objects.filter(counts=True, finished_at=None, played_on__gte=today - LAST_DAYS)
    return rows.select_related("tee_set__course").order_by("started_at")


class Beside:
    """Whether a posted round may be taken while others of its player are in play and count.

    What was recorded in a round may not be processed during it (Rule 4.3a(4)): posted as another round of the same
    day, or merely checked, its strokes would be read before it is over. Earlier days are information from before.
    """

    def __init__(self, today: dt.date, ends: RoundInPlay | None = None) -> None:
        """``ends``: the round in play that is finished by what is posted. Of two that count the one begun first may be
        finished first, so that neither waits for the other.
        """
        self._today = today
        self._ends = ends
        self._known: dict[UUID, list[RoundInPlay]] = {}

    def faults(self, player: Player, played_on: dt.date) -> list[Fault]:
        """One query a player, and none for rounds of earlier days."""
        if played_on < self._today - LAST_DAYS:
            return []
        if player.id not in self._known:
            self._known[player.id] = list(_open(self._today).filter(player=player))
        plays = [
            play for play in self._known[player.id] if play.played_on <= played_on and self._goes_on(play)
        ]
        return [_fault(plays[0])] if plays else []

    def _goes_on(self, play: RoundInPlay) -> bool:
        ends = self._ends
        if ends is None:
            return True
        return play.id != ends.id and not (ends.counts and ends.started_at < play.started_at)


def _fault(play: RoundInPlay) -> Fault:
    detail = Sentence(
        "{play} is in play and counts: what was recorded in it may not be processed during it (Rule 4.3a(4)). "
        "Finish it, or throw it away, and post this then",
        play=described(play),
    )
    return Fault("/played_on", "round_in_play", detail)


def described(play: RoundInPlay) -> Sentence:
    """Which round it is, so that who forgot to finish it finds it."""
    return Sentence("the round at {course} of {day}", course=play.tee_set.course.name, day=play.played_on)
