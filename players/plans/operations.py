"""What may be asked and changed of plans."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated
from uuid import UUID

from django.conf import settings
from django.db.models import QuerySet
from pydantic import BaseModel, ConfigDict, Field

from courses.layout.models import Section, TeeSet
from courses.layout.operations import COURSE_READERS, TEE
from courses.layout.permissions import visible_tee_sets
from courses.plans.answers import ShapedHole, shaped_holes
from golfstats.ground.clubs.models import Role
from golfstats.ground.faults import Fault, invalid
from golfstats.ground.inputs import Body, Day
from golfstats.ground.operations import (
    Asker,
    Change,
    Done,
    Gathering,
    Listing,
    Operation,
    Query,
    Reading,
    Subject,
)
from golfstats.ground.resources import reading_of
from players.people.models import Player
from players.people.operations import PLAYER, PLAYER_ALONE, SQUAD
from players.people.permissions import visible_players
from players.plans import answers, bag, during, services
from players.plans.afterwards import ask_to_read
from players.plans.announcing import PLAN_DELETED, PLAN_ENDED, PLAN_READ
from players.plans.choices import SquadChoices, squad_choices
from players.plans.difficulty import Difficulty, DifficultyQuery, difficulty
from players.plans.models import RoundPlan
from players.plans.paper import card_pdf, card_svg
from players.plans.playing import refuse_pictures_while_asker_plays, refuse_while_one_plays
from players.rounds import in_play
from players.rounds.announcing import HOLE_PLAYED, ROUND_GIVEN_UP, ROUND_POSTED, ROUND_STARTED
from players.rounds.input import HoleInput, RoundBegun
from players.rounds.models import RoundInPlay
from players.rounds.operations import ROUND
from players.rounds.services import hole_of_line

WHO = (Role.PLAYER, Role.COACH, Role.MANAGER)


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


IN_PLAY = Subject(
    word="round in play",
    parameter="play_id",
    root="round_in_play",
    model=RoundInPlay,
    visible=lambda asker: RoundInPlay.objects.filter(player__in=visible_players(asker.member)).select_related(
        "player", "tee_set__course"
    ),
    head=during.RoundSoFar,
    heads=during.rounds_so_far,
    whose=lambda play: play.player_id,
    tells="rounds",
)
IN_PLAY_ALONE = replace(IN_PLAY, root="")
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
    temperature_c: Annotated[float, Field(ge=-30, le=60)] | None = Field(None, description="As forecast.")
    target: Annotated[int, Field(ge=9, le=250)] | None = Field(
        None, description="A score whose chance is wanted."
    )


class HoleSent(Body):
    """A hole as it was played, or a correction of one."""

    sequence: Annotated[int, Field(ge=1)] = Field(
        description="1 for the first that is sent, and so on. The same again under its number changes nothing."
    )
    hole: HoleInput | None = Field(None, description="Its shots, or its score, or both.")
    notation: Annotated[str, Field(max_length=2000)] = Field(
        "",
        description="Instead of `hole`: its line in the compact notation, in the unit that the round was begun in.",
    )


def ask(asker: Asker, player: Player, new: NewPlan) -> RoundPlan:
    tee_set = visible_tee_sets(asker.member).filter(id=new.tee).first()
    if tee_set is None:
        raise invalid([Fault("/tee", "no_such_tee", "the club has no tees with this id")])
    refuse_while_one_plays(asker, [player], answers.Shown.NEW_PLAN)
    return services.ask_for_plan(
        asker.member,
        player,
        tee_set,
        new.planned_for,
        new.section,
        new.greens_found,
        new.wind_mph,
        new.temperature_c,
        new.target,
    )


def _ask_to_read(_: Asker, plan: RoundPlan) -> RoundPlan:
    ask_to_read(plan)
    return plan


def start(asker: Asker, head: RoundBegun) -> RoundInPlay:
    return in_play.start(asker.member, head)


def add_hole(asker: Asker, play: RoundInPlay, sent: HoleSent) -> RoundInPlay:
    if (sent.hole is None) == (not sent.notation):
        raise invalid([Fault("/hole", "one_of_two", "either the hole or its line in the notation")])
    hole = sent.hole or hole_of_line(sent.notation)
    return in_play.add_hole(asker.member, play, sent.sequence, hole)


def finish(asker: Asker, play: RoundInPlay) -> Done:
    round_ = ROUND.one(asker, {"round_id": in_play.finish(asker.member, play).id})
    return Done(round_, round_.version, "round", {"round_id": round_.id})


def _shapes(asker: Asker, tee_sets: Sequence[TeeSet], query: Query) -> list[list[ShapedHole]]:
    refuse_pictures_while_asker_plays(asker)
    return shaped_holes(asker, tee_sets, query)


def give_up(_: Asker, play: RoundInPlay) -> None:
    in_play.give_up(play)


def _delete(_: Asker, plan: RoundPlan) -> None:
    services.delete_plan(plan)


PLAYING = "rounds-in-play/<uuid:play_id>"
OPERATIONS: list[Operation] = [
    Listing(
        name="rounds-in-play",
        id="list_rounds_in_play",
        path="rounds-in-play",
        field="rounds_in_play",
        summary="Rounds that are being played and posted hole by hole, the latest first",
        rows=lambda asker: IN_PLAY.visible(asker).filter(finished_at=None),
        of=IN_PLAY,
        order=("-started_at", "-id"),
    ),
    Change(
        name="rounds-in-play",
        id="start_round",
        path="rounds-in-play",
        field="start_round",
        verb="POST",
        summary="Begin a round, to be posted hole by hole",
        description=(
            "What is said of a round, without its holes. A round that counts for handicap, or a competition, is bound "
            "by Rule 4.3: until it is finished the service answers facts and the card alone, and says why. The "
            "committee decides."
        ),
        body=RoundBegun,
        roles=WHO,
        sends=(ROUND_STARTED,),
        do=start,
        of=IN_PLAY,
    ),
    reading_of(
        IN_PLAY_ALONE,
        name="round-in-play",
        id="read_round_in_play",
        path=PLAYING,
        summary="The score so far beside the forecast made before, and what may be shown meanwhile",
    ),
    Change(
        name="holes-in-play",
        id="send_hole",
        path=f"{PLAYING}/holes",
        field="send_hole",
        verb="POST",
        summary="Send the next hole, or a correction of one",
        description=(
            "Holes are numbered as they are sent. After a lost connection send again from the last that was answered: "
            "what has arrived changes nothing. Refused with `next_sequence` where a number was passed over, or was "
            "sent before with another hole."
        ),
        about=IN_PLAY,
        body=HoleSent,
        limit=settings.ROUND_BODY_LIMIT,
        roles=WHO,
        sends=(HOLE_PLAYED,),
        do=add_hole,
        of=IN_PLAY,
        status=200,
    ),
    Change(
        name="round-in-play-finished",
        id="finish_round",
        path=f"{PLAYING}/finished",
        field="finish_round",
        verb="POST",
        summary="Post the round that was played; asked again, the same round",
        about=IN_PLAY,
        roles=WHO,
        sends=(ROUND_POSTED,),
        do=finish,
        of=ROUND,
    ),
    Change(
        name="round-in-play",
        id="give_up_round",
        path=PLAYING,
        field="give_up_round",
        verb="DELETE",
        summary="Throw away what was sent of a round; a round that it became stays",
        about=IN_PLAY,
        roles=WHO,
        sends=(ROUND_GIVEN_UP,),
        do=give_up,
    ),
    Reading(
        name="advice-in-play",
        id="read_advice_in_play",
        path=f"{PLAYING}/advice",
        field="advice_in_play",
        cost=30_000,
        summary="Club and line from where the ball lies: in practice, and once a round is finished",
        about=IN_PLAY_ALONE,
        query=during.BallQuery,
        answer=during.Advice,
        read=during.advice,
    ),
    Reading(
        name="in-play-greens",
        id="read_greens_in_play",
        path=f"{PLAYING}/greens",
        field="greens_in_play",
        cost=2500,
        summary="What the first putts say of the day's greens: in practice, and once a round is finished",
        about=IN_PLAY_ALONE,
        answer=during.GreensSoFar,
        read=during.greens_so_far,
    ),
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
