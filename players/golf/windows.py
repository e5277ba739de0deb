"""Which rounds an answer is about: the last few of each player, or those between two dates."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.db.models import F, Window
from django.db.models.functions import RowNumber

from players.rounds.models import Round

USUAL_ROUNDS = 20


@dataclass(frozen=True)
class RoundWindow:
    """The last ``last`` rounds, or all rounds from ``since`` to ``until`` (both included, None is open)."""

    last: int | None = USUAL_ROUNDS
    since: date | None = None
    until: date | None = None

    @classmethod
    def between(cls, since: date | None = None, until: date | None = None) -> RoundWindow:
        """Without dates: every round there is."""
        return cls(None, since, until)


def rounds_in(players: Iterable[UUID], window: RoundWindow) -> list[UUID]:
    """Ids of the rounds of these players in the window; ``last`` counts for each player alone."""
    rounds = Round.objects.filter(player_id__in=list(players))
    if window.since is not None:
        rounds = rounds.filter(played_on__gte=window.since)
    if window.until is not None:
        rounds = rounds.filter(played_on__lte=window.until)
    if window.last is None:
        return list(rounds.values_list("id", flat=True))
    newest_first = [F("played_on").desc(), F("start_time").desc(nulls_first=True), F("id").desc()]
    age = Window(RowNumber(), partition_by=F("player_id"), order_by=newest_first)
    return list(rounds.annotate(age=age).filter(age__lte=window.last).values_list("id", flat=True))
