"""What the worker does every night for a club that keeps its rounds for some years only."""

from __future__ import annotations

from uuid import UUID

from golfstats.ground.clock import today_at
from golfstats.ground.clubs.models import Club
from golfstats.ground.clubs.purging import further
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.outbox.work import AGAIN, Later, Queue, handler
from golfstats.ground.walls.scope import club_scope
from players import kinds
from players.club.retention import remove_old_rounds_of_somebody
from players.figures.audit import next_night


@handler(kinds.OLD_ROUNDS, queue=Queue.LONG)
def remove_old_rounds(_: str) -> str | Later | None:
    """One player's at a time; then it rests until the next night, if the club still wants it."""
    club = Club.objects.get()
    if not club.rounds_kept_years:
        return None
    if remove_old_rounds_of_somebody(club, today_at(club)):
        return AGAIN
    return Later(next_night(club), {})


def _purge() -> int:
    """The same at once, for installations where no worker runs at night."""
    clubs = OutstandingWork.objects.filter(kind=kinds.OLD_ROUNDS).values_list("club_id", flat=True)
    removed = 0
    for club_id in list(clubs):
        while piece := _piece(club_id):
            removed += piece
    return removed


def _piece(club_id: UUID) -> int:
    with club_scope(club_id):
        club = Club.objects.get()
        return remove_old_rounds_of_somebody(club, today_at(club))


further["old rounds"] = _purge
