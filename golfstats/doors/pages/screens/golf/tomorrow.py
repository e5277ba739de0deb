"""Tomorrow's round: asking for a plan, reading it, printing it, and the round beside it afterwards; and the bag."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import groupby
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect
from django.utils.translation import gettext, pgettext
from django.utils.translation import gettext_noop as noop

from courses.greens.answers import known_kinds
from courses.layout.operations import COURSE, TEE
from golfstats.doors.pages import plan_pictures as pictures
from golfstats.doors.pages.base import ClubPage
from golfstats.doors.pages.forms import refusal_words
from golfstats.doors.pages.languages import translated
from golfstats.doors.rest.problems import status_of
from golfstats.ground import inputs
from golfstats.ground.clubs.models import Member
from golfstats.ground.faults import ProblemError
from golfstats.ground.operations import Asker, Query
from golfstats.ground.words import dated, spoken
from players.golf.words import strokes_words
from players.people import permissions
from players.people.models import Player
from players.pictures import plan_subjects
from players.plans import answers, services
from players.plans.answers import LayUp, PlanRead, WholePlan
from players.plans.bag import bags
from players.plans.models import PlanState, RoundPlan
from players.plans.on_course.afterwards import ask_to_read
from players.plans.on_course.operations import WHO
from players.plans.operations import PLAN, NewPlan, ask
from players.plans.paper import card_pdf
from players.plans.scatter import tee_scatters
from players.rounds.answers import last_tees

PLANS_SHOWN = 12
ALIKE = 0.1
"""Strokes within which sides cost the same to a reader."""
SPEEDS = (("slow", noop("Slow")), ("medium", noop("Medium")), ("fast", noop("Fast")))
BUMPS = (
    ("1", noop("Smooth")),
    ("2", noop("Nearly smooth")),
    ("3", noop("Some bumps")),
    ("4", noop("Bumpy")),
    ("5", noop("Very bumpy")),
)
POINTS = (
    noop("north"),
    noop("north-east"),
    noop("east"),
    noop("south-east"),
    noop("south"),
    noop("south-west"),
    noop("west"),
    noop("north-west"),
)
WINDS = tuple((f"{45 * number}", words) for number, words in enumerate(POINTS))
SECTIONS = (("18", noop("All holes")), ("front", noop("Front nine")), ("back", noop("Back nine")))


class Tomorrow(ClubPage):
    """Ask for a plan in a few taps; the plans made so far."""

    def get(self, request: HttpRequest) -> HttpResponse:
        self.asker.needs(*WHO)
        tomorrow = self.today + timedelta(days=1)
        usual = {"planned_for": tomorrow.isoformat(), "tee": usual_tee(self.member)}
        return self._form(usual | request.GET.dict())

    def post(self, request: HttpRequest) -> HttpResponse:
        self.asker.needs(*WHO)
        given = request.POST.dict()
        try:
            plan = ask(self.asker, self._player(given), inputs.checked(NewPlan, _asked(self.asker, given)))
        except ProblemError as problem:
            return self._form(given, problem)
        return redirect(self.address("plan-page", plan.id))

    def _player(self, given: Mapping[str, Any]) -> Player:
        players = self._players()
        if "player" not in given and len(players) == 1:
            return players[0]
        player = next((one for one in players if str(one.id) == given.get("player")), None)
        if player is None:
            raise Http404
        return player

    def _players(self) -> list[Player]:
        """Whom one may plan for: oneself, or those one sees."""
        own = permissions.own_player(self.member)
        return [own] if own else list(permissions.visible_players(self.member).order_by("name", "id"))

    def _form(self, values: Mapping[str, Any], problem: ProblemError | None = None) -> HttpResponse:
        players = self._players()
        rows = (
            PLAN.visible(self.asker).filter(player__in=players).order_by("-planned_for", "-id")[:PLANS_SHOWN]
        )
        PLAN.seen(self.asker, rows)
        context = {
            "values": values,
            "faults": [] if problem is None else refusal_words(problem),
            "players": players,
            "courses": COURSE.visible(self.asker).prefetch_related("tee_sets").order_by("name", "id"),
            "sections": translated(SECTIONS),
            "speeds": translated(SPEEDS),
            "bumps": translated(BUMPS),
            "winds": translated(WINDS),
            "kinds": [(key.replace("_", " "), gettext(kind.words)) for key, kind in known_kinds().items()],
            "plans": _with_players(self.asker, list(rows)),
        }
        return self.page("tomorrow", context, status=status_of(problem) if problem else 200)


@dataclass(frozen=True)
class _Listed:
    plan: answers.Plan
    player: str


def _with_players(asker: Asker, rows: list[RoundPlan]) -> list[_Listed]:
    heads = answers.plan_heads(asker, rows)
    return [_Listed(head, row.player.name) for head, row in zip(heads, rows, strict=True)]


def _asked(asker: Asker, given: Mapping[str, Any]) -> dict[str, str]:
    """The form as the body of the operation. A nine-hole course has a front nine alone."""
    asked = {
        name: given[name].strip()
        for name in ("tee", "planned_for", "section", "wind_mph", "wind_from", "temperature_c", "target")
        if given.get(name, "").strip()
    }
    tee_set = TEE.visible(asker).filter(id__in=ids(asked.get("tee", ""))).first()
    if tee_set is not None and tee_set.course.hole_count == 9:
        asked["section"] = "front"
    words = [given.get("speed", "")]
    if given.get("work"):
        words.append(f"{given['work']} {given.get('days', '').strip() or 0} days")
    if given.get("bumpy"):
        words.append(f"bumpy {given['bumpy']}")
    return asked | {"greens_found": ", ".join(part for part in words if part)}


def usual_tee(member: Member) -> str:
    """Id of the tees from which they played last; nothing for those who have not played."""
    own = permissions.own_player(member)
    tees = last_tees([own.id] if own else [])
    return next((str(one.id) for one in tees.values()), "")


def ids(text: str) -> list[UUID]:
    """The id that a form sent, or none."""
    try:
        return [UUID(text)]
    except ValueError:
        return []


class _OfPlan(ClubPage):
    """A page about one plan. Whom one may not see has none."""

    def plan(self, plan_id: UUID) -> RoundPlan:
        plan = PLAN.one(self.asker, {"plan_id": plan_id})
        PLAN.seen(self.asker, [plan])
        return plan

    def whole(self, plan: RoundPlan) -> WholePlan:
        (planned,) = answers.whole_plans(self.asker, [plan], Query())
        return planned

    def shared(self, plan: RoundPlan) -> dict[str, object]:
        return {"plan": plan, "player": plan.player, "course": plan.tee_set.course}


class PlanPage(_OfPlan):
    def get(self, request: HttpRequest, plan_id: UUID) -> HttpResponse:
        plan = self.plan(plan_id)
        try:
            whole = self.whole(plan)
        except ProblemError as problem:  # a round that counts is played: the card is what may be read
            if plan.state != PlanState.DONE:
                raise
            messages.info(
                request,
                gettext("The plan waits until the round is over. {detail}").format(
                    detail=spoken(problem.detail)
                ),
            )
            return redirect(self.address("plan-card-page", plan.id))
        scatters = [
            plan_subjects.scatter(one) for one in tee_scatters(self.asker, plan.player, whole.by_hole)
        ]
        matters = sorted(whole.round.matters_most) if whole.round else []
        context = {
            "whole": whole,
            "wind_from": "" if plan.wind_from is None else POINTS[round(plan.wind_from / 45) % len(POINTS)],
            "matters": matters,
            "holes": [
                {
                    "told": hole,
                    "picture": hole.picture,
                    "choices": pictures.choices(hole.choices),
                    "scatter": scatter,
                    "misses": pictures.scatter(scatter),
                    "ties": [choice for choice in hole.choices if choice.tie],
                    "all_round": _all_round([side.cost for side in hole.keep_away]),
                    "lay_ups": _lay_ups(hole.lay_up),
                    "matters": hole.number in matters,
                }
                for hole, scatter in zip(whole.by_hole, scatters, strict=True)
            ],
            "surfaces": translated(answers.SURFACES),
            "distribution": pictures.distribution(plan_subjects.scores(whole.round)) if whole.round else "",
            "played": plan.state == PlanState.DONE and answers.rounds_of(plan).exists(),
        }
        return self.page("plan", self.shared(plan) | context)


def _all_round(costs: list[float]) -> float | None:
    """What a miss costs, where it costs the same on all four sides."""
    if len(costs) < 4 or max(costs) - min(costs) > ALIKE:
        return None
    return sum(costs) / len(costs)


def _lay_ups(table: Sequence[LayUp]) -> str:
    """Go or lay up by distance left; neighbours that are answered alike are told together."""
    words_of_each = []
    for say, rows in groupby(table, key=lambda row: row.say):
        yards = [f"{row.yards:.0f}" for row in rows]
        span = (
            yards[0]
            if len(yards) == 1
            else gettext("{nearest} to {farthest}").format(nearest=yards[0], farthest=yards[-1])
        )
        words_of_each.append(gettext("{say} with {span} yards left").format(say=_said(say), span=span))
    return ", ".join(words_of_each)


def _said(say: str) -> str:
    return {
        "go": pgettext("at the green", "go"),
        "lay up": pgettext("at the green", "lay up"),
        "either": pgettext("at the green", "either"),
    }[say]


class PlanProgress(_OfPlan):
    """How far the worker is, for the page that waits."""

    def get(self, request: HttpRequest, plan_id: UUID) -> HttpResponse:
        (head,) = answers.plan_heads(self.asker, [self.plan(plan_id)])
        return JsonResponse({"state": head.state, "done": head.holes_done, "holes": head.holes})


class PlanCardPage(_OfPlan):
    """The card as it comes out of the printer: print this page, or the PDF."""

    def get(self, request: HttpRequest, plan_id: UUID) -> HttpResponse:
        plan = self.plan(plan_id)
        (card,) = answers.plan_cards(self.asker, [plan], Query())
        if not card.holes:
            return redirect(self.address("plan-page", plan.id))
        return self.page("plan_card", self.shared(plan) | {"card": card})


class PlanCardFile(_OfPlan):
    def get(self, request: HttpRequest, plan_id: UUID) -> HttpResponse:
        pdf = card_pdf(self.asker, self.plan(plan_id), Query())
        named = {"Content-Disposition": 'inline; filename="plan.pdf"'}
        return HttpResponse(pdf, content_type="application/pdf", headers=named)


class PlanAfterwardsPage(_OfPlan):
    """The round beside its plan: choice, execution, greens and luck."""

    def get(self, request: HttpRequest, plan_id: UUID) -> HttpResponse:
        plan = self.plan(plan_id)
        (read,) = answers.plans_read(self.asker, [plan], Query())
        context: dict[str, object] = {"read": read, "played": answers.rounds_of(plan).exists()}
        if read is not None and read.total is not None:
            context |= {
                "parts": _parts(read),
                "picture": pictures.parts_by_hole(plan_subjects.parts_by_hole(read.shots)),
            }
        return self.page("plan_afterwards", self.shared(plan) | context)

    def post(self, request: HttpRequest, plan_id: UUID) -> HttpResponse:
        plan = self.plan(plan_id)
        self.asker.needs(*WHO)
        ask_to_read(plan)
        return redirect(self.address("plan-afterwards-page", plan.id))


class DeletePlan(_OfPlan):
    """Asks first."""

    def get(self, request: HttpRequest, plan_id: UUID) -> HttpResponse:
        plan = self.plan(plan_id)
        context = {
            "question": gettext("Throw away the plan for {name}, {planned_for}?").format(
                name=plan.tee_set.course.name, planned_for=dated(plan.planned_for, "j F Y")
            ),
            "consequence": gettext(
                "Its card and what was read of the round by it go as well; the round itself stays."
            ),
            "button": gettext("Throw it away"),
            "back": self.address("plan-page", plan.id),
        }
        return self.page("confirm", context)

    def post(self, request: HttpRequest, plan_id: UUID) -> HttpResponse:
        plan = self.plan(plan_id)
        self.asker.needs(*WHO)
        services.delete_plan(plan)
        messages.success(request, gettext("Plan thrown away"))
        return redirect(self.address("tomorrow-page"))


class BagPage(ClubPage):
    def get(self, request: HttpRequest, player_id: UUID) -> HttpResponse:
        player = self.visible_player(player_id)
        (bag,) = bags(self.asker, [player], Query())
        return self.page("bag", {"player": player, "bag": bag, "lengths": pictures.bag_lengths(bag.clubs)})


MEANINGS = {
    "choice": noop("clubs, each aimed as well as it can be, against the best there was"),
    "execution": noop("the strokes themselves"),
    "greens": noop("what the greens of the day took"),
    "luck": noop("of the lie that was found"),
}


@dataclass(frozen=True)
class _Part:
    name: str
    strokes: str
    means: str


def _parts(read: PlanRead) -> list[_Part]:
    return [
        _Part(name, strokes_words(getattr(read, name) or 0.0), gettext(means))
        for name, means in MEANINGS.items()
    ]
