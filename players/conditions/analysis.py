"""The analysis of rounds, from strokes gained to the surface that they met: all of it or none."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, time, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction

from golfstats.ground.clubs.models import Club
from golfstats.ground.outbox import work
from golfstats.ground.postgres.statistics import refresh_statistics
from players import kinds
from players.conditions.refresh import write_surface
from players.conditions.surface import analysed_greens
from players.figures.services import store_figures
from players.rounds.models import Round

CONDITION_EFFECT = "condition_effect"
"""Key: the club."""
NIGHT = time(3, 30)
ROUNDS_AT_ONCE = 500
"""Bounds the memory that a club with many years of rounds needs."""
MANY_ROUNDS = 100
"""New at once, so many rounds make the planner's statistics useless."""


@transaction.atomic
def analyse_rounds(round_ids: Iterable[UUID], *, refit: bool = True) -> None:
    """Figures and surface of the rounds; what disturbed greens cost is fitted again in the night. Repeatable.

    ``refit``: the rounds are news to what is fitted to the club's golf.
    """
    club = Club.objects.get()
    # In one order, so that two who analyse the same rounds wait for each other and never both.
    rounds = sorted(round_ids)
    for start in range(0, len(rounds), ROUNDS_AT_ONCE):
        _analyse(club, rounds[start : start + ROUNDS_AT_ONCE], refit=refit)


def _analyse(club: Club, rounds: Sequence[UUID], *, refit: bool) -> None:
    analysed = store_figures(club, rounds, refit=refit)
    if analysed is None or not analysed.kept.any():
        return
    write_surface(analysed_greens(analysed.loaded, analysed.gained, analysed.kept))
    work.ask_all(kinds.PLAYER_REPORT, map(str, analysed.loaded.players))
    zone = ZoneInfo(club.time_zone)
    tomorrow = datetime.now(zone).date() + timedelta(days=1)
    work.ask(CONDITION_EFFECT, str(club.id), due_at=datetime.combine(tomorrow, NIGHT, zone))


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
