"""A round: hole by hole, shot by shot, and where each number comes from."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext

from golfstats.doors.pages.base import ClubPage
from golfstats.doors.pages.screens.chapters.base import benchmark_options, window_query
from golfstats.doors.pages.shown import putting_words
from golfstats.ground.operations import Query
from golfstats.ground.words import day_words
from players.conditions.answers.rounds import round_conditions
from players.figures.answers.rounds import analysis
from players.golf.questions import BenchmarkQuery
from players.handicap.answers import explained_round
from players.people import permissions
from players.plans.operations import PLAN
from players.rounds import services as posting
from players.rounds.answers import visible_rounds
from players.rounds.models import Round
from players.rounds.operations import ROUND_TO_CHANGE


class RoundPage(ClubPage):
    def get(self, request: HttpRequest, round_id: UUID) -> HttpResponse:
        round_ = visible_rounds(self.member).filter(id=round_id).first()
        if round_ is None:
            raise Http404
        self.asker.looks_at("shots", [round_.player_id])
        key = window_query(request).benchmark or self.club.benchmark
        analysed = analysis(self.asker, round_, BenchmarkQuery(benchmark=key))
        (condition,) = round_conditions(self.asker, [round_], Query())
        context: dict[str, object] = {
            "round": round_,
            "analysis": analysed,
            "chosen": key,
            "benchmarks": benchmark_options(key),
            "score": sum(hole.score for hole in analysed.holes),
            "condition": condition,
            "putting": putting_words(condition.putting) if condition.putting else None,
            "handicap": explained_round(self.asker, round_.id),
            "warnings": [one for one in round_.warnings if not one["dismissed"]],
            "plan": PLAN.visible(self.asker).filter(afterwards__round=round_.id).first(),
            "may_change": permissions.postable_players(self.member).filter(id=round_.player_id).exists(),
        }
        return self.page("round", context)


def round_to_change(page: ClubPage, round_id: UUID) -> Round:
    """The round, locked, if this member may change it."""
    return ROUND_TO_CHANGE.one(page.asker, {"round_id": round_id}, to_change=True)


class DismissWarning(ClubPage):
    """Somebody has looked at a warning: it is so."""

    def post(self, request: HttpRequest, round_id: UUID) -> HttpResponse:
        round_ = round_to_change(self, round_id)
        dismissed = [one["id"] for one in round_.warnings if one["dismissed"]]
        posting.dismiss_warnings(round_, [*dismissed, request.POST.get("warning", "")])
        return redirect(self.address("round-page", round_.id))


class DeleteRound(ClubPage):
    """Asks first; everything that rested on the round is computed again."""

    def get(self, request: HttpRequest, round_id: UUID) -> HttpResponse:
        round_ = round_to_change(self, round_id)
        context = {
            "question": gettext("Delete the round of {name} on {played_on}?").format(
                name=round_.player.name, played_on=day_words(round_.played_on)
            ),
            "consequence": gettext(
                "Figures, handicap record and notes that rested on it are computed again."
            ),
            "button": gettext("Delete the round"),
            "back": self.address("round-page", round_.id),
        }
        return self.page("confirm", context)

    def post(self, request: HttpRequest, round_id: UUID) -> HttpResponse:
        posting.delete_round(round_to_change(self, round_id))
        messages.success(request, gettext("Round deleted"))
        return redirect(self.address("club-page"))
