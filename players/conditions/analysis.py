"""The analysis of rounds, from strokes gained to the surface that they met: all of it or none."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime, time, timedelta
from itertools import groupby
from operator import itemgetter
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction

from golfstats.ground.clubs.models import Club
from golfstats.ground.outbox import work
from golfstats.ground.postgres.statistics import refresh_statistics
from golfstats.ground.walls.kept import KeptStatement
from golfstats.ground.walls.scope import current_club_id
from players import kinds
from players.conditions.refresh import write_surface
from players.conditions.surface import analysed_greens
from players.figures import audit
from players.figures.services import store_figures
from players.golf import club_fits
from players.rounds.models import Round

CONDITION_EFFECT = "condition_effect"
"""Key: the club."""
NIGHT = time(3, 30)
ROUNDS_AT_ONCE = 500
"""Bounds the memory of a club or a course with many years of rounds."""
MANY_ROUNDS = 100
"""New at once, so many rounds make the planner's statistics useless."""


CLUB = KeptStatement(lambda: Club.objects.filter(id=current_club_id()), Club)


@transaction.atomic(savepoint=False)
def analyse_rounds(round_ids: Iterable[UUID], *, refit: bool = True) -> None:
    """Figures and surface of the rounds; what disturbed greens cost is fitted again in the night. Repeatable.

    Of very many, one piece after the other is in memory. ``refit``: the rounds are news to what is fitted to the
    club's golf.
    """
    (club,) = CLUB.rows()
    players: set[UUID] = set()
    found = False
    for piece in _pieces(list(round_ids)):
        analysed = store_figures(club, piece)
        if analysed is None:
            continue
        found = True
        if analysed.kept.any():
            write_surface(analysed_greens(analysed.loaded, analysed.gained, analysed.kept))
            players.update(analysed.loaded.players)
    # Asked for when all is written: whoever holds these rows must not wait for a round that this still comes to.
    if found and refit:
        club_fits.ask_for_refit(club)
        audit.ask_for_audit(club)
    if players:
        work.ask_all(kinds.PLAYER_REPORT, map(str, players))
        zone = ZoneInfo(club.time_zone)
        tomorrow = datetime.now(zone).date() + timedelta(days=1)
        work.ask(CONDITION_EFFECT, str(club.id), due_at=datetime.combine(tomorrow, NIGHT, zone))


def _pieces(round_ids: list[UUID]) -> Iterator[list[UUID]]:
    """All of a player's rounds together, since a note compares a round with the player's others."""
    if len(round_ids) <= ROUNDS_AT_ONCE:
        yield round_ids
        return
    found = Round.objects.filter(id__any_of=round_ids).order_by("player_id", "id")
    piece: list[UUID] = []
    for _, of_player in groupby(found.values_list("player_id", "id"), itemgetter(0)):
        piece += [round_id for _, round_id in of_player]
        if len(piece) >= ROUNDS_AT_ONCE:
            yield piece
            piece = []
    if piece:
        yield piece


@transaction.atomic
def analyse_pending() -> int:
    """Analyse every pending round of the club in scope in one pass, and take that work off the outbox.

    For a bulk of rounds (the demo, an import): one pass over a thousand rounds is far quicker than a
    thousand passes over one. Returns how many rounds it was.
    """
    asked = work.outstanding(kinds.ROUND_ANALYSIS)
    pending = list(Round.objects.filter(analysis="pending").values_list("id", flat=True))
    if len(pending) >= MANY_ROUNDS:
        refresh_statistics()
    analyse_rounds(pending)
    done = {str(round_id) for round_id in pending} & asked.keys()
    work.withdraw(kinds.ROUND_ANALYSIS, {key: asked[key] for key in done})
    return len(pending)
