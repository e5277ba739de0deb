"""What may be asked and changed of plans, and of rounds that are played beside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated
from uuid import UUID

from django.db.models import QuerySet
from pydantic import BaseModel, ConfigDict, Field

from courses.layout.models import Section, TeeSet
from courses.layout.operations import COURSE_READERS, TEE
from courses.layout.permissions import visible_tee_sets
from courses.plans.answers import ShapedHole, shaped_holes
from golfstats.ground.clubs.models import Role
from golfstats.ground.faults import Fault, invalid
from golfstats.ground.inputs import Day
from golfstats.ground.operations import (
    Asker,
    Change,
    Gathering,
    Listing,
    Operation,
    Query,
    Reading,
    Subject,
)
from golfstats.sentences import Sentence
from players.people.models import Player
from players.people.operations import PLAYER, PLAYER_ALONE, SQUAD
from players.people.permissions import visible_players
from players.plans import answers, bag, services
from players.plans.announcing import PLAN_DELETED, PLAN_ENDED, PLAN_READ
from players.plans.costs.choices import SquadChoices, squad_choices
from players.plans.costs.difficulty import Difficulty, DifficultyQuery, difficulty
from players.plans.models import RoundPlan
from players.plans.on_course import operations as hole_by_hole
from players.plans.on_course.afterwards import ask_to_read
from players.plans.on_course.operations import WHO
from players.plans.paper import card_pdf, card_svg
from players.plans.playing import refuse_pictures_while_asker_plays, refuse_while_one_plays


def _visible(asker: Asker) -> QuerySet[RoundPlan]:
    return RoundPlan.objects.filter(player__in=visible_players(asker.member)).select_related(
        "player", "tee_set__course"
    )


PLAN = Subject(
    word="plan",
    parameter="plan_id",
    root="plan",
    model=RoundPlan,
    visible=_visible,
    head=answers.Plan,
    heads=answers.plan_heads,
    whose=lambda plan: plan.player_id,
    tells="analysis",
)


ONE_PLAN = replace(PLAN, root="")
"""The same where GraphQL asks by id alone: whole plans are too long to stand in lists of them."""


class NewPlan(BaseModel):
    """A round to be planned."""

    model_config = ConfigDict(use_attribute_docstrings=True, extra="forbid", str_strip_whitespace=True)

    tee: UUID = Field(description="Id of the tee set.")
    planned_for: Day
    """Day of the round."""
    section: Section = Section.EIGHTEEN
    """18 holes, or one nine."""
    greens_found: Annotated[str, Field(max_length=200)] = Field(
        "", description="As in “cored 7 days, slow, bumpy 4”; empty: as the club's calendar knows them."
    )
    wind_mph: Annotated[float, Field(ge=0, le=100)] | None = Field(None, description="As forecast.")
    wind_from: Annotated[float, Field(ge=0, le=360)] | None = Field(
        None,
        description="Where it blows from, degrees clockwise from north; moves shots on holes that have a map.",
    )
    temperature_c: Annotated[float, Field(ge=-30, le=60)] | None = Field(None, description="As forecast.")
    target: Annotated[int, Field(ge=9, le=250)] | None = Field(
        None, description="A score whose chance is wanted."
    )


def ask(asker: Asker, player: Player, new: NewPlan) -> RoundPlan:
    tee_set = visible_tee_sets(asker.member).filter(id=new.tee).first()
    if tee_set is None:
        raise invalid([Fault("/tee", "no_such_tee", Sentence("the club has no tees with this id"))])
    refuse_while_one_plays(asker, [player], answers.Shown.NEW_PLAN)
    return services.ask_for_plan(
        asker.member,
        player,
        tee_set,
        new.planned_for,
        new.section,
        new.greens_found,
        new.wind_mph,
        new.wind_from,
        new.temperature_c,
        new.target,
    )


def _ask_to_read(_: Asker, plan: RoundPlan) -> RoundPlan:
    ask_to_read(plan)
    return plan


def _shapes(asker: Asker, tee_sets: Sequence[TeeSet], query: Query) -> list[list[ShapedHole]]:
    refuse_pictures_while_asker_plays(asker)
    return shaped_holes(asker, tee_sets, query)


def _delete(_: Asker, plan: RoundPlan) -> None:
    services.delete_plan(plan)


OPERATIONS: list[Operation] = [
    *hole_by_hole.OPERATIONS,
    Listing(
        name="player-plans",
        id="list_plans",
        path="players/<uuid:player_id>/plans",
        field="plans",
        summary="Plans of a player's rounds, the latest day first",
        about=PLAYER,
        parent="player_id",
        rows=_visible,
        of=PLAN,
        order=("-planned_for", "-id"),
    ),
    Change(
        name="player-plans",
        id="ask_for_plan",
        path="players/<uuid:player_id>/plans",
        field="ask_for_plan",
        verb="POST",
        summary="Ask for a plan: the best way round for a player on a day",
        description="The worker makes it hole by hole; `holes_done` says how far it is.",
        about=PLAYER,
        body=NewPlan,
        roles=WHO,
        sends_later=(PLAN_ENDED,),
        do=ask,
        of=PLAN,
        status=202,
    ),
    Reading(
        name="plan",
        id="read_plan",
        path="plans/<uuid:plan_id>",
        field="whole_plan",
        cost=100,
        summary="A plan with all its holes",
        description=(
            "Club and line from the tee, sides to keep away from, aims by hole location, the round's distribution. "
            "Made before the round, so it may be used in it (Rule 4.3a(4)); the committee decides."
        ),
        about=ONE_PLAN,
        answer=answers.WholePlan,
        read=answers.whole_plans,
    ),
    Reading(
        name="plan-card",
        id="read_plan_card",
        path="plans/<uuid:plan_id>/card",
        field="plan_card",
        cost=10,
        summary="The plan on paper: two pages of 4¼ × 7 inches",
        description=(
            "With `Accept: application/pdf` both pages ready to print (without fitting them to the paper), with "
            "`image/svg+xml` the page of holes alone."
        ),
        about=ONE_PLAN,
        answer=answers.PlanCard,
        read=answers.plan_cards,
        written={"application/pdf": card_pdf, "image/svg+xml": card_svg},
    ),
    Reading(
        name="plan-afterwards",
        id="read_plan_afterwards",
        path="plans/<uuid:plan_id>/afterwards",
        field="plan_afterwards",
        cost=50,
        summary="The round that was played by a plan: choice, execution, greens and luck of every shot",
        description="The four parts add up to strokes gained against the player's own best way round.",
        about=ONE_PLAN,
        answer=answers.PlanRead,
        read=answers.plans_read,
    ),
    Change(
        name="plan-afterwards",
        id="ask_for_plan_afterwards",
        path="plans/<uuid:plan_id>/afterwards",
        field="ask_for_plan_afterwards",
        verb="POST",
        summary="Have the round that was played by a plan read",
        about=PLAN,
        roles=WHO,
        sends_later=(PLAN_READ,),
        do=_ask_to_read,
        of=PLAN,
        status=202,
    ),
    Reading(
        name="squad-choices",
        id="read_squad_choices",
        path="squads/<uuid:squad_id>/choices",
        field="choices",
        about=SQUAD,
        roles=(Role.COACH, Role.MANAGER),
        summary="The dearest choices of a squad since a month ago, from rounds read beside their plans",
        answer=SquadChoices,
        read=squad_choices,
    ),
    Reading(
        name="player-bag",
        id="read_player_bag",
        path="players/<uuid:player_id>/bag",
        field="player_bag",
        cost=2500,
        summary="The bag as plans play it: length, spread, misses and gaps of each club",
        about=PLAYER_ALONE,
        answer=bag.PlayerBag,
        read=bag.bags,
    ),
    Gathering(
        name="tee-shapes",
        id="list_hole_shapes",
        path="courses/<uuid:course_id>/tees/<uuid:tee_id>/shapes",
        summary="How each hole is drawn: by map, by words, or from the scorecard alone",
        description=(
            "Not while the asker plays a round that counts, there or elsewhere: the pictures may show greens larger "
            "than Rule 4.3 allows."
        ),
        about=TEE,
        line=ShapedHole,
        gather=_shapes,
    ),
    Reading(
        name="tee-difficulty",
        id="read_hole_difficulty",
        path="courses/<uuid:course_id>/tees/<uuid:tee_id>/difficulty",
        summary="How hard each hole plays for the members, and the stroke index that follows (staff, coaches)",
        about=TEE,
        roles=COURSE_READERS,
        query=DifficultyQuery,
        answer=Difficulty,
        read=difficulty,
    ),
    Change(
        name="plan",
        id="delete_plan",
        path="plans/<uuid:plan_id>",
        field="delete_plan",
        verb="DELETE",
        summary="Throw a plan away",
        about=PLAN,
        roles=WHO,
        sends=(PLAN_DELETED,),
        do=_delete,
    ),
]
