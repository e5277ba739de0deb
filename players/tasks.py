"""What the worker does: load, call ``golfstats.calc``, store. Thin on purpose."""

from __future__ import annotations

from uuid import UUID

from django.utils import timezone

from golfstats.outbox.work import handler
from players import analysis, club_fits, posting, reports
from players.handicap import recompute


@handler(posting.ROUND_ANALYSIS, on_failure=lambda key, reason: analysis.mark_failed(UUID(key), reason))
def analyse_round(key: str) -> None:
    """Strokes gained of one round. A round deleted meanwhile is simply not found."""
    analysis.analyse_rounds([UUID(key)])


@handler(posting.HANDICAP)
def recompute_handicap(key: str) -> None:
    """A player's handicap record, from the first score on."""
    recompute.recompute(UUID(key))


@handler(posting.PLAYER_REPORT)
def write_report(key: str) -> None:
    """What a dashboard shows of a player."""
    reports.write_player_report(UUID(key))


@handler(club_fits.CLUB_BENCHMARK)
def club_benchmark(key: str) -> None:  # noqa: ARG001 - the club in scope is the only one
    """The club's own golfers and its putting, and what was measured against them."""
    club_fits.refit_club(timezone.localdate())
    analysis.analyse_rounds(club_fits.measured_by_own_golfers())
