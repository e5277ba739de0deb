"""The round as it goes: a hole at a time, the score beside the forecast made before; Rule 4.3 kept."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from golfstats.doors.pages.base import ClubPage
from golfstats.doors.rest.problems import status_of
from golfstats.ground import inputs
from golfstats.ground.faults import ProblemError
from golfstats.ground.operations import Query
from players.plans import during
from players.plans.answers import Shown
from players.plans.operations import IN_PLAY, PLAN, WHO, HoleSent, add_hole, finish, start
from players.rounds.input import RoundBegun
from players.rounds.models import RoundInPlay

WORDS = {
    Shown.ADVICE_FROM_BALL.word: "Club and line from where the ball lies",
    Shown.TODAYS_GREENS.word: "What today's putts say of the greens",
    Shown.NEW_PLAN.word: "A new plan",
    Shown.WHOLE_PLAN.word: "The plan with its pictures",
}


class StartRound(ClubPage):
    """Begin the round of a plan: one that counts, or practice."""

    def post(self, request: HttpRequest, plan_id: UUID) -> HttpResponse:
        self.asker.needs(*WHO)
        plan = PLAN.one(self.asker, {"plan_id": plan_id})
        about = {
            "player": str(plan.player_id),
            "course": str(plan.tee_set.course_id),
            "tee": str(plan.tee_set_id),
            "section": plan.section,
            "played_on": plan.planned_for,
            "format": "practice" if request.POST.get("practice") else "stroke_play",
            "greens_found": plan.greens_found,
            "wind_mph": plan.wind_mph,
            "temperature_c": plan.temperature_c,
        }
        try:
            play = start(self.asker, inputs.checked(RoundBegun, about))
        except ProblemError as problem:
            messages.error(request, "; ".join(fault.detail for fault in problem.faults) or problem.title)
            return redirect(self.address("plan-page", plan.id))
        return redirect(self.address("play-page", play.id))


class PlayPage(ClubPage):
    """One form: the next hole. Sending it twice is harmless, because it carries the number that it is sent under."""

    def get(self, request: HttpRequest, play_id: UUID) -> HttpResponse:
        return self._page(IN_PLAY.one(self.asker, {"play_id": play_id}))

    def post(self, request: HttpRequest, play_id: UUID) -> HttpResponse:
        self.asker.needs(*WHO)
        play = IN_PLAY.one(self.asker, {"play_id": play_id}, to_change=True)
        given = request.POST.dict()
        try:
            if given.get("finish"):
                return redirect(self.address("round-page", finish(self.asker, play).answer.id))
            add_hole(self.asker, play, inputs.checked(HoleSent, _sent(given)))
        except ProblemError as problem:
            return self._page(play, given, problem)
        return redirect(self.address("play-page", play.id))

    def _page(
        self, play: RoundInPlay, values: Mapping[str, Any] | None = None, problem: ProblemError | None = None
    ) -> HttpResponse:
        self.asker.looks_at("rounds", [play.player_id])
        (told,) = during.rounds_so_far(self.asker, [play])
        try:
            (greens,) = during.greens_so_far(self.asker, [play], Query())
        except ProblemError:  # a round that counts: what is kept from its player stands below
            greens = None
        sent = {hole.number for hole in told.holes}
        numbers = range(10, 19) if play.about["section"] == "back" else range(1, 19)
        context = {
            "told": told,
            "values": values or {"number": next((n for n in numbers if n not in sent), numbers[0])},
            "faults": [] if problem is None else [one.detail for one in problem.faults] or [problem.title],
            "greens": greens,
            "kept": [
                (WORDS[one.what], one.reason) for one in told.may if one.what in WORDS and not one.allowed
            ],
        }
        return self.page("play", context, status=status_of(problem) if problem else 200)


def _sent(given: Mapping[str, str]) -> dict[str, str | dict[str, str]]:
    hole = {name: given[name] for name in ("number", "score", "putts") if given.get(name, "").strip()}
    return {"sequence": given.get("sequence", ""), "hole": hole}
