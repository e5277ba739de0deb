"""Rounds that are older than the club keeps them go, except those that a handicap of today rests on."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import UUID

from golfstats.ground.clubs.models import Club
from golfstats.ground.outbox import work
from players import kinds
from players.handicap.models import HandicapLine
from players.rounds.models import Round
from players.rounds.services import delete_round

A_YEAR = timedelta(days=366)
"""The longest, so that no round goes too early."""
LOW_INDEX_LOOKS_BACK = timedelta(days=365)
"""From the last score: the Low Handicap Index is the lowest of that time (Rules of Handicapping, Rule 5.7)."""
SCORES_OF_AN_INDEX = 20
"""Rule 5.2."""


def remove_old_rounds_of_somebody(club: Club, today: date) -> int:
    """Remove what one player has of old rounds, for their record is folded anew once; 0 when nobody has any.

    In the club's scope. Whose record is about to be folded is left for another night: what it rests on is not known.
    """
    if not club.rounds_kept_years:
        return 0
    old = Round.objects.filter(played_on__lt=today - A_YEAR * club.rounds_kept_years)
    waiting = list(work.outstanding(kinds.HANDICAP))
    for player in (
        old.exclude(player_id__in=waiting).order_by().values_list("player_id", flat=True).distinct()
    ):
        due = list(old.filter(player_id=player).exclude(id__in=_needed(player)).order_by("played_on", "id"))
        for round_ in due:
            delete_round(round_)
        if due:
            return len(due)
    return 0


def _needed(player: UUID) -> list[UUID]:
    """Rounds with the scores since a year before the player's last, and the 20 that the first of them rests on."""
    lines = HandicapLine.objects.filter(player_id=player).order_by("sequence")
    scores = list(lines.values_list("round_id", "played_on"))
    if not scores:
        return []
    since = scores[-1][1] - LOW_INDEX_LOOKS_BACK
    first = next(place for place, (_, day) in enumerate(scores) if day >= since)
    return [round_id for round_id, _ in scores[max(0, first - SCORES_OF_AN_INDEX) :] if round_id is not None]
