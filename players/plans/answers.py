"""Plans as they are told."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any
from uuid import UUID
from xml.sax.saxutils import escape

from django.db.models import Count, QuerySet
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop
from pydantic import TypeAdapter

from courses.layout.models import Section
from golfstats.calc.plan.card import CardRow, plan_page
from golfstats.calc.plan.choices import ClubChoice, CostlySide, LayUp
from golfstats.calc.plan.hole.picture import WORDS
from golfstats.calc.plan.rules import DEFERS, Shown, may_show
from golfstats.calc.plan.whole import PlannedHole, PlannedRound
from golfstats.ground.operations import Asker, Query
from golfstats.ground.words import spoken, told_document
from players.people.answers import Named
from players.plans.making import HOLE
from players.plans.models import PlanAfterwards, PlanHole, PlanState, RoundPlan
from players.plans.playing import refuse_while_one_plays
from players.rounds.models import Round

__all__ = [
    "ClubChoice",
    "CostlySide",
    "LayUp",
    "PlannedRound",
    "Shown",
]  # what the calculation gives is told as it is
SURFACES = [(surface.word, words) for surface, words in WORDS.items()]
"""What a hole is drawn with, and what it is called."""
ROUND = TypeAdapter(PlannedRound)
DEAR_CHOICE, WORST = -0.05, 5
NOBODYS = noop(
    "The patterns are those of a usual golfer: this player has no handicap index and no measured shots yet."
)
USUAL = noop(
    "The patterns are the usual ones of the handicap: no full swings of known length are recorded yet."
)


@dataclass(frozen=True)
class Plan:
    """A plan as lists tell it."""

    id: UUID
    player: Named
    course: str
    tee: str
    section: str
    planned_for: dt.date
    """Day of the round."""
    greens_found: str
    """As in "cored 7 days, slow, bumpy 4"; empty where nothing was said."""
    state: PlanState
    """How far the worker is."""
    reason: str
    """Why it failed; empty otherwise."""
    holes: int
    """Holes to plan."""
    holes_done: int
    """Holes that are planned."""
    asked_at: dt.datetime


@dataclass(frozen=True)
class WholePlan(Plan):
    """A plan with everything in it."""

    rests_on: str
    """What the player's patterns rest on, in words."""
    in_a_round: str
    """What Rule 4.3 allows of it while a round counts, in words."""
    round: PlannedRound | None
    """None until every hole is planned."""
    by_hole: tuple[PlannedHole, ...]
    """Those planned so far, in the order of their numbers."""


@dataclass(frozen=True)
class PlanCard:
    """A plan on paper."""

    holes: str
    """SVG, 4¼ × 7 inches; empty until the plan is made."""
    greens: str
    """SVG of every green at one scale, never larger than 3/8 inch to 5 yards (Rule 4.3a/1)."""
    in_a_round: str
    """What Rule 4.3 allows of it while a round counts, in words."""


@dataclass(frozen=True)
class ShotRead:
    """One shot in four parts, in strokes gained against the player's own best way round on usual greens."""

    hole: int
    shot: int
    lie: str
    yards: float
    """To the hole before the shot."""
    choice: float
    """What the club taken cost against the best there was, each aimed as well as it can be; never above 0."""
    execution: float
    """What the strike gained or lost beside what the player's own pattern gives on the mean."""
    greens: float
    """What the greens of the day took."""
    luck: float
    """What the lie that was found gained or lost."""
    total: float
    """The four parts together."""
    club: str = ""
    """The club that was taken; empty where none was recorded."""
    better: str = ""
    """The club that was best from there; empty where nothing was chosen."""


@dataclass(frozen=True)
class PlanRead:
    """A plan beside the round that was played by it."""

    state: PlanState
    """How far the worker is."""
    reason: str
    """Why it failed."""
    score: int | None
    """Strokes of the round."""
    forecast: float | None
    """Expected score before the round; None where not every planned hole was played."""
    as_good_or_better: float | None
    """Share of the forecast's rounds that were as good or better."""
    choice: float | None
    """Strokes gained by the choice of clubs: 0 at best."""
    execution: float | None
    """Strokes gained by the strokes themselves."""
    greens: float | None
    """Strokes gained by the greens of the day: below zero is what they took."""
    luck: float | None
    """Strokes gained by the lies found."""
    total: float | None
    """The four parts together, over the holes with every shot recorded."""
    shots: list[ShotRead]
    """In the order played."""
    worst_choices: list[ShotRead]
    """The dearest first; only those that cost 0.05 strokes or more."""


def rounds_of(plan: RoundPlan) -> QuerySet[Round]:
    """Rounds that may have been played by the plan: over holes that it is of."""
    rounds = Round.objects.filter(
        player_id=plan.player_id, tee_set_id=plan.tee_set_id, played_on=plan.planned_for
    )
    if plan.section == Section.EIGHTEEN:
        return rounds
    return rounds.filter(section__in=[plan.section, Section.EIGHTEEN])


def plan_heads(_: Asker, plans: Sequence[RoundPlan]) -> list[Plan]:
    """Plans in their order. One query beside the rows' own players and tees."""
    done = dict(
        PlanHole.objects.filter(plan_id__in=[plan.id for plan in plans])
        .values_list("plan_id")
        .annotate(Count("id"))
    )
    return [
        Plan(
            id=plan.id,
            player=Named(plan.player_id, plan.player.name),
            course=plan.tee_set.course.name,
            tee=plan.tee_set.name,
            section=plan.section,
            planned_for=plan.planned_for,
            greens_found=plan.greens_found,
            state=PlanState(plan.state),
            reason=plan.reason,
            holes=plan.holes,
            holes_done=done.get(plan.id, 0),
            asked_at=plan.asked_at,
        )
        for plan in plans
    ]


def whole_plans(asker: Asker, plans: Sequence[RoundPlan], _: Query) -> list[WholePlan]:
    """Plans with their holes, in their order; not while their player plays a round that counts. Three queries."""
    refuse_while_one_plays(asker, [plan.player for plan in plans], Shown.WHOLE_PLAN)
    by_plan: dict[UUID, list[PlannedHole]] = {}
    rows = PlanHole.objects.filter(plan_id__in=[plan.id for plan in plans]).order_by("number")
    for plan_id, document in rows.exclude(document={}).values_list("plan_id", "document"):
        by_plan.setdefault(plan_id, []).append(HOLE.validate_python(_told_hole(document)))
    rule = may_show(Shown.PLAN_CARD, round_counts=True, round_over=False)
    return [
        WholePlan(
            **vars(head),
            rests_on=rests_on(plan.full_swings, plan.handicap),
            in_a_round=spoken(rule.reason),
            round=_told_round(plan),
            by_hole=tuple(by_plan.get(plan.id, [])),
        )
        for plan, head in zip(plans, plan_heads(asker, plans), strict=True)
    ]


def _told_hole(document: Mapping[str, Any]) -> Mapping[str, Any]:
    """A hole in the reader's language, the titles within its picture too."""
    told = told_document(document)
    picture = told["picture"]
    for english, words in zip(document.get("titles", ()), told.get("titles", ()), strict=True):
        picture = picture.replace(f"<title>{escape(english)}</title>", f"<title>{escape(words)}</title>")
    return {**told, "picture": picture}


def _told_round(plan: RoundPlan) -> PlannedRound | None:
    if not plan.document:
        return None
    told: PlannedRound = ROUND.validate_python(told_document(plan.document))
    return replace(told, card=card_pages(plan)[0])


def plan_cards(_: Asker, plans: Sequence[RoundPlan], __: Query) -> list[PlanCard]:
    """The cards of plans, in their order. No query."""
    card, greens = (
        spoken(may_show(what, round_counts=True, round_over=False).reason)
        for what in (Shown.PLAN_CARD, Shown.GREEN_PICTURE)
    )
    in_a_round = card.removesuffix(spoken(DEFERS)) + greens
    return [PlanCard(*card_pages(plan), in_a_round) for plan in plans]


def plans_read(_: Asker, plans: Sequence[RoundPlan], __: Query) -> list[PlanRead | None]:
    """What was made of the rounds played by these plans; None where nobody asked. One query."""
    afterwards = {row.plan_id: row for row in PlanAfterwards.objects.filter(plan__in=plans)}
    return [_read(afterwards[plan.id]) if plan.id in afterwards else None for plan in plans]


def _read(row: PlanAfterwards) -> PlanRead:
    document = row.document or {}
    shots = [ShotRead(**shot) for number in sorted(row.holes, key=int) for shot in row.holes[number]]
    dear = sorted((shot for shot in shots if shot.choice <= DEAR_CHOICE), key=lambda shot: shot.choice)
    return PlanRead(
        state=PlanState(row.state),
        reason=row.reason,
        score=document.get("score"),
        forecast=document.get("forecast"),
        as_good_or_better=document.get("as_good_or_better"),
        choice=document.get("choice"),
        execution=document.get("execution"),
        greens=document.get("greens"),
        luck=document.get("luck"),
        total=document.get("total"),
        shots=shots,
        worst_choices=dear[:WORST],
    )


def card_pages(plan: RoundPlan) -> tuple[str, str]:
    """SVG of the page of holes and of the page of greens; both empty until the plan is made."""
    if not plan.document:
        return "", ""
    card = plan.document["card"]
    if "card_of" in plan.document:
        told = told_document(plan.document)
        rows = [CardRow(**row) for row in told["card_of"]["rows"]]
        card = plan_page(told["card_of"]["title"], rows, told["sentences"], spoken)
    return card, plan.document["card_of_greens"]


def rests_on(full_swings: int, handicap: float | None) -> str:
    """What a player's patterns rest on."""
    if full_swings:
        own = gettext("The patterns rest on {n} full swings of the player's own, and on the handicap.")
        return own.format(n=full_swings)
    return gettext(NOBODYS) if handicap is None else gettext(USUAL)
