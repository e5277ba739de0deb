"""A round: hole by hole, shot by shot, and where each number comes from."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect

from golfstats.calc.strokes.selection import UnknownBenchmark
from golfstats.web.base import ClubPage
from golfstats.web.pages.dashboard import benchmark_options, putting_words, window_query
from players import permissions, posting, queries
from players.api.round_analysis import analysis_json
from players.api.strokes_view import unknown_benchmark
from players.conditions.queries import round_condition
from players.handicap.queries import explanation
from players.models import Round
from players.queries.benchmarks import benchmark_for


class RoundPage(ClubPage):
    def get(self, request: HttpRequest, round_id: UUID) -> HttpResponse:
        found = queries.rounds(self.member).prefetch_related(None).filter(id=round_id).first()
        if found is None:
            raise Http404
        key = window_query(request).benchmark or self.club.benchmark
        try:
            benchmark = benchmark_for(key)
        except UnknownBenchmark as error:
            raise unknown_benchmark(error) from None
        analysis = analysis_json(found, self.club, key, benchmark, self.club.distance_unit)
        condition = round_condition(found.id)
        context: dict[str, Any] = {
            "round": found,
            "analysis": analysis,
            "chosen": key,
            "benchmarks": benchmark_options(key),
            "score": sum(hole["score"] for hole in analysis["holes"]),
            "condition": condition,
            "putting": (
                putting_words(condition.putting, self.club.distance_unit)
                if condition and condition.putting
                else None
            ),
            "handicap": explanation(found.player, found.id),
            "may_change": permissions.postable_players(self.member).filter(id=found.player_id).exists(),
        }
        return self.page("round", context)


def round_to_change(page: ClubPage, round_id: UUID) -> Round:
    """The round, locked, if this member may change it."""
    may_change = permissions.postable_players(page.member).filter(rounds__id=round_id).exists()
    found = Round.objects.select_for_update().filter(id=round_id).first() if may_change else None
    if found is None:
        raise Http404
    return found


class DeleteRound(ClubPage):
    """Asks first; everything that rested on the round is computed again."""

    def get(self, request: HttpRequest, round_id: UUID) -> HttpResponse:
        found = round_to_change(self, round_id)
        context = {
            "question": f"Delete the round of {found.player.name} on {found.played_on}?",
            "consequence": "Figures, handicap record and notes that rested on it are computed again.",
            "button": "Delete the round",
            "back": self.address("round-page", found.id),
        }
        return self.page("confirm", context)

    def post(self, request: HttpRequest, round_id: UUID) -> HttpResponse:
        posting.delete_round(round_to_change(self, round_id))
        messages.success(request, "Round deleted")
        return redirect(self.address("club-page"))
