"""The round as it goes: a hole at a time, the score beside the forecast made before; Rule 4.3 kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from courses.layout.operations import COURSE, TEE
from golfstats.doors.pages.base import ClubPage
from golfstats.doors.pages.forms import refusal_words
from golfstats.doors.pages.languages import translated
from golfstats.doors.pages.screens.golf.entry import in_the_bag, words_by_club
from golfstats.doors.pages.screens.golf.tomorrow import SECTIONS, ids, usual_tee
from golfstats.doors.rest.problems import status_of
from golfstats.ground import inputs
from golfstats.ground.clubs.models import DistanceUnit
from golfstats.ground.faults import ProblemError
from golfstats.ground.operations import Asker, Query
from golfstats.ground.words import dated
from players.people import permissions
from players.plans.answers import Shown
from players.plans.models import RoundPlan
from players.plans.on_course import during
from players.plans.on_course.operations import IN_PLAY, WHO, HoleSent, add_hole, finish, give_up, start
from players.plans.operations import PLAN
from players.rounds.input import RoundBegun
from players.rounds.models import RoundInPlay
from players.rounds.used import clubs_used

PLAYS_SHOWN = 12
EXAMPLE = "T412 F155(7i) G18 G2"
WORDS = {
    Shown.ADVICE_FROM_BALL.word: noop("Club and line from where the ball lies"),
    Shown.TODAYS_GREENS.word: noop("What today's putts say of the greens"),
    Shown.NEW_PLAN.word: noop("A new plan"),
    Shown.WHOLE_PLAN.word: noop("The plan with its pictures"),
}


class BeginRound(ClubPage):
    """Rounds in play to go on with, and beginning one of today without a plan."""

    def get(self, request: HttpRequest) -> HttpResponse:
        self.asker.needs(*WHO)
        return self._form({"section": "18", "tee": usual_tee(self.member)})

    def post(self, request: HttpRequest) -> HttpResponse:
        self.asker.needs(*WHO)
        given = request.POST.dict()
        tee_set = TEE.visible(self.asker).filter(id__in=ids(given.get("tee", ""))).first()
        about = {
            "player": given.get("player") or None,
            "course": "" if tee_set is None else str(tee_set.course_id),
            "tee": given.get("tee", ""),
            "section": given.get("section", ""),
            "played_on": self.today.isoformat(),
            "format": "practice" if given.get("practice") else "stroke_play",
        }
        if tee_set is not None and tee_set.course.hole_count == 9:
            about["section"] = "front"
        try:
            play = start(self.asker, inputs.checked(RoundBegun, about))
        except ProblemError as problem:
            return self._form(given, problem)
        return redirect(self.address("play-page", play.id))

    def _form(self, values: Mapping[str, object], problem: ProblemError | None = None) -> HttpResponse:
        own = permissions.own_player(self.member)
        players = [] if own else list(permissions.postable_players(self.member).order_by("name", "id"))
        under_way = IN_PLAY.visible(self.asker).filter(finished_at=None).order_by("-started_at")[:PLAYS_SHOWN]
        IN_PLAY.seen(self.asker, under_way)
        context = {
            "values": values,
            "faults": [] if problem is None else refusal_words(problem),
            "players": players,
            "courses": COURSE.visible(self.asker).prefetch_related("tee_sets").order_by("name", "id"),
            "sections": translated(SECTIONS),
            "plays": under_way,
        }
        return self.page("play_new", context, status=status_of(problem) if problem else 200)


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
        under_way = _begun_already(self.asker, plan, practice=about["format"] == "practice")
        if under_way is not None:  # tapped twice, or come back to
            return redirect(self.address("play-page", under_way.id))
        try:
            play = start(self.asker, inputs.checked(RoundBegun, about))
        except ProblemError as problem:
            messages.error(request, "; ".join(refusal_words(problem)))
            return redirect(self.address("plan-page", plan.id))
        return redirect(self.address("play-page", play.id))


def _begun_already(asker: Asker, plan: RoundPlan, *, practice: bool) -> RoundInPlay | None:
    rows = IN_PLAY.visible(asker).filter(
        player=plan.player_id, tee_set=plan.tee_set_id, played_on=plan.planned_for, finished_at=None
    )
    return next((one for one in rows if one.counts != practice), None)


class PlayPage(ClubPage):
    """The pad of the round entry, a hole at a time; without scripts one form for the next hole.

    Sending a hole twice is harmless, because it carries the number that it is sent under.
    """

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
        self,
        play: RoundInPlay,
        values: Mapping[str, object] | None = None,
        problem: ProblemError | None = None,
    ) -> HttpResponse:
        self.asker.looks_at("shots", [play.player_id])
        (so_far,) = during.rounds_so_far(self.asker, [play])
        try:
            (greens,) = during.greens_so_far(self.asker, [play], Query())
        except ProblemError:  # a round that counts: what is kept from its player stands below
            greens = None
        numbers = during.numbers_of(play)
        sent = {hole.number for hole in so_far.holes}
        context = {
            "told": so_far,
            "values": values or {"number": next((n for n in numbers if n not in sent), numbers[0])},
            "faults": [] if problem is None else refusal_words(problem),
            "example": EXAMPLE,
            "greens": greens,
            "kept": [
                (WORDS[one.what], one.reason) for one in so_far.may if one.what in WORDS and not one.allowed
            ],
            "play": self._for_the_pad(play, so_far, numbers),
        }
        return self.page("play", context, status=status_of(problem) if problem else 200)

    def _for_the_pad(
        self, play: RoundInPlay, so_far: during.RoundSoFar, numbers: Sequence[int]
    ) -> dict[str, object]:
        """What the pad knows of the round, also without a connection."""
        clubs = clubs_used([play.player_id])
        return {
            "id": str(play.id),
            "club": self.club.slug,
            "member": str(self.member.id),
            "metres": play.about["unit"] == DistanceUnit.METRES,
            "numbers": list(numbers),
            "holes": [asdict(hole) for hole in during.holes_ahead(play)],
            "clubs": in_the_bag(clubs.get(play.player_id, [])),
            "club_words": words_by_club(clubs.get(play.player_id, [])),
            "sent": during.lines_of(play),
            "next": so_far.next_sequence,
            "so_far": {
                "holes": sorted(hole.number for hole in so_far.holes),
                "forecast": _plain(so_far.forecast),
            },
            "rounds": self.address("round-page", UUID(int=0)).replace(str(UUID(int=0)), ""),
        }


def _plain(forecast: during.ForecastBefore | None) -> dict[str, object] | None:
    if forecast is None:
        return None
    kept = ("expected_so_far", "low_so_far", "high_so_far")
    by_hole = {one.number: one.expected for one in forecast.by_hole}
    return {name: getattr(forecast, name) for name in kept} | {"by_hole": by_hole}


class GiveUpRound(ClubPage):
    """Asks first."""

    def get(self, request: HttpRequest, play_id: UUID) -> HttpResponse:
        play = IN_PLAY.one(self.asker, {"play_id": play_id})
        context = {
            "question": gettext("Throw away the round at {name}, {played_on}?").format(
                name=play.tee_set.course.name, played_on=dated(play.played_on, "j F Y")
            ),
            "consequence": gettext("What was sent of it hole by hole goes; a round that it became stays."),
            "button": gettext("Throw it away"),
            "back": self.address("play-page", play.id),
        }
        return self.page("confirm", context)

    def post(self, request: HttpRequest, play_id: UUID) -> HttpResponse:
        self.asker.needs(*WHO)
        give_up(self.asker, IN_PLAY.one(self.asker, {"play_id": play_id}, to_change=True))
        messages.success(request, gettext("Round thrown away"))
        return redirect(self.address("club-page"))


def _sent(given: Mapping[str, str]) -> dict[str, str | dict[str, str]]:
    """Score and putts, or the shots as a line of the notation."""
    typed = {name: given.get(name, "").strip() for name in ("number", "score", "putts", "shots")}
    if typed["shots"]:
        return {
            "sequence": given.get("sequence", ""),
            "notation": f"{typed['number']} {typed['shots']}",
        }
    hole = {name: typed[name] for name in ("number", "score", "putts") if typed[name]}
    return {"sequence": given.get("sequence", ""), "hole": hole}
