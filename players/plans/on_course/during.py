"""The round as it goes: the score so far beside the forecast made before, and what may be shown meanwhile."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Annotated, Any
from uuid import UUID

import numpy as np
from django.utils.translation import gettext
from pydantic import Field

from courses.layout.models import Hole, Section
from courses.layout.services import to_yards
from golfstats.calc.figure import INTERVAL
from golfstats.calc.plan.choices import choice_sentence, choices_from
from golfstats.calc.plan.hole.shape import shape_of
from golfstats.calc.plan.rules import DEFERS, Shown, may_show
from golfstats.calc.plan.shots.weather import in_weather
from golfstats.calc.plan.split import spot
from golfstats.calc.plan.todays_greens import Misses, TodaysGreens, left_by, todays_greens
from golfstats.calc.plan.value import best_play
from golfstats.calc.record import Floats
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import Lie, MissDepth
from golfstats.ground.answers import OneOf
from golfstats.ground.faults import Fault, invalid
from golfstats.ground.operations import Asker, Query
from golfstats.ground.words import spoken
from golfstats.sentences import Sentence
from players.people.answers import Named
from players.plans.making import drawn_holes_of, game_of, greens_of, question_of, restored
from players.plans.models import PlanHole, PlanState, RoundPlan
from players.plans.playing import refuse_beside_a_counting_round
from players.rounds.checking.cards import HOLES_OF
from players.rounds.in_play import holes_of
from players.rounds.input import HoleInput
from players.rounds.models import RoundInPlay
from players.rounds.notation import hole_line

OFF_THE_GREEN = ("tee", "fairway", "rough", "sand", "recovery", "fringe")
"""Lies for which there is advice."""
STEP = 4.0
"""Yards: the grid for advice while somebody waits for it."""


@dataclass(frozen=True)
class HoleSoFar:
    """A hole that was sent."""

    number: int
    """Number of the hole."""
    par: int | None
    """Par of the hole."""
    score: int
    """Strokes, penalties included."""
    putts: int | None
    """Number of putts."""
    expected: float | None
    """Strokes, by the forecast made before."""


@dataclass(frozen=True)
class HoleForecast:
    """What the plan made before the round expected of one hole."""

    number: int
    """Number of the hole."""
    expected: float
    """Strokes."""


@dataclass(frozen=True)
class ForecastBefore:
    """What the plan made before the round expected. It does not move while the round is played."""

    plan: UUID
    """Id of the plan."""
    made_at: dt.datetime
    expected: float
    """Of the whole round."""
    low: int
    """Least strokes of the range."""
    high: int
    """Nine rounds in ten."""
    expected_so_far: float
    """Over the holes that were sent."""
    low_so_far: int
    """Least strokes of the range over the holes that were sent."""
    high_so_far: int
    """Most strokes of it; nine in ten lie between."""
    by_hole: list[HoleForecast]
    """Every hole of the plan: a phone without a connection adds up those that were played."""


@dataclass(frozen=True)
class MayBeShown:
    """One thing, and whether Rule 4.3 lets it be shown now."""

    what: str
    """What may be asked for."""
    allowed: bool
    """Whether it may be shown now."""
    reason: str
    """The rule that says so."""


@dataclass(frozen=True)
class RoundSoFar:
    """A round that is posted hole by hole while it is played."""

    id: UUID
    player: Named
    course: str
    tee: str
    played_on: dt.date
    counts: bool
    """The Rules of Golf bind it: only facts and the card are shown until it is finished."""
    started_at: dt.datetime
    next_sequence: int
    """Number of the next hole to send; what has a smaller one has arrived."""
    strokes: int
    """With penalties, over the holes that were sent."""
    over_par: int | None
    """None where a hole has no par for the player."""
    holes: list[HoleSoFar]
    """In the order of their numbers; the last word on each."""
    forecast: ForecastBefore | None
    """None where no plan for this day and these tees was made before the round."""
    may: list[MayBeShown]
    """What may be shown now."""
    committee: str
    """What is left to the Committee; empty where the round does not count."""
    finished_at: dt.datetime | None
    round: UUID | None
    """What it became."""


@dataclass(frozen=True)
class Advice:
    """Club and line from where the ball lies."""

    sentence: str
    """Club and line."""
    expected: float
    """Strokes to hole out."""
    rests_on: str
    """What it rests on, in words."""


@dataclass(frozen=True)
class GreensSoFar(TodaysGreens):
    """What the first putts of a round say of its greens."""


class BallQuery(Query):
    """Where the ball lies."""

    hole: int = Field(ge=1, le=18, description="Its number.")
    lie: Annotated[str, OneOf(Lie, "LieOffTheGreen", OFF_THE_GREEN)] = Field(
        description="What the ball lies on."
    )
    distance: float = Field(gt=0, lt=900, description="To the hole, in the club's unit.")


@dataclass(frozen=True)
class HoleAhead:
    """A hole as the scorecard has it, for who enters it."""

    number: int
    """Number of the hole."""
    par: int | None
    """Par of the hole."""
    length: float
    """In the unit that the round was begun in."""


def numbers_of(play: RoundInPlay) -> range:
    """The holes that were set out on."""
    return HOLES_OF[Section(play.about["section"])]


def holes_ahead(play: RoundInPlay) -> list[HoleAhead]:
    """One query."""
    yards = to_yards(1.0, play.about["unit"])
    rows = Hole.objects.filter(tee_set=play.tee_set_id, number__in=numbers_of(play)).order_by("number")
    return [
        HoleAhead(hole.number, hole.par(play.player.rating_gender), round(hole.length / yards, 1))
        for hole in rows
    ]


def lines_of(play: RoundInPlay) -> dict[int, str]:
    """By number what was sent of each hole, as a line of the notation."""
    return {
        number: hole_line(HoleInput.model_validate(entry["hole"])) for number, entry in holes_of(play).items()
    }


def rounds_so_far(_: Asker, plays: Sequence[RoundInPlay]) -> list[RoundSoFar]:
    """In their order. Three queries, however many."""
    pars: dict[UUID, dict[int, Hole]] = defaultdict(dict)
    for hole in Hole.objects.filter(tee_set__in={play.tee_set_id for play in plays}):
        pars[hole.tee_set_id][hole.number] = hole
    plans = _plans_before(plays)
    simulated = _simulated([plan.id for plan in plans.values()])
    return [_so_far(play, pars[play.tee_set_id], plans.get(play.id), simulated) for play in plays]


def _so_far(
    play: RoundInPlay,
    tee_holes: dict[int, Hole],
    plan: RoundPlan | None,
    simulated: dict[UUID, dict[int, Floats]],
) -> RoundSoFar:
    gender, sent = play.player.rating_gender, holes_of(play)
    of_plan = simulated.get(plan.id, {}) if plan is not None else {}
    holes = [
        HoleSoFar(
            number,
            tee_holes[number].par(gender) if number in tee_holes else None,
            sent[number]["score"],
            sent[number]["putts"],
            float(of_plan[number].mean()) if number in of_plan else None,
        )
        for number in sorted(sent)
    ]
    pars = [hole.par for hole in holes]
    strokes = sum(hole.score for hole in holes)
    known = [par for par in pars if par is not None]
    return RoundSoFar(
        id=play.id,
        player=Named(play.player_id, play.player.name),
        course=play.tee_set.course.name,
        tee=play.tee_set.name,
        played_on=play.played_on,
        counts=play.counts,
        started_at=play.started_at,
        next_sequence=len(play.played) + 1,
        strokes=strokes,
        over_par=strokes - sum(known) if len(known) == len(pars) else None,
        holes=holes,
        forecast=_forecast(plan, of_plan, sent),
        may=_may(play),
        committee=spoken(DEFERS) if play.counts else "",
        finished_at=play.finished_at,
        round=play.round_id,
    )


def _may(play: RoundInPlay) -> list[MayBeShown]:
    over = play.finished_at is not None
    answers = {what: may_show(what, round_counts=play.counts, round_over=over) for what in Shown}
    return [MayBeShown(what.word, answer.allowed, spoken(answer.reason)) for what, answer in answers.items()]


def _plans_before(plays: Sequence[RoundInPlay]) -> dict[UUID, RoundPlan]:
    """Of each round the latest plan for its day and tees that was made before it began."""
    made = RoundPlan.objects.filter(
        player__in={play.player_id for play in plays},
        tee_set__in={play.tee_set_id for play in plays},
        state=PlanState.DONE,
    ).order_by("finished_at")
    by_play = {}
    for plan in made:
        for play in plays:
            same = (plan.player_id, plan.tee_set_id, plan.planned_for) == (
                play.player_id,
                play.tee_set_id,
                play.played_on,
            )
            if same and plan.finished_at is not None and plan.finished_at < play.started_at:
                by_play[play.id] = plan
    return by_play


def _simulated(plans: Sequence[UUID]) -> dict[UUID, dict[int, Floats]]:
    """Scores of each planned hole, one a simulated round."""
    by_plan: dict[UUID, dict[int, Floats]] = defaultdict(dict)
    rows = PlanHole.objects.filter(plan_id__in=plans).values_list("plan_id", "number", "simulated")
    for plan, number, stored in rows:
        by_plan[plan][number] = restored(stored).score.astype(np.float64)
    return by_plan


def _forecast(
    plan: RoundPlan | None, holes: dict[int, Floats], sent: dict[int, Any]
) -> ForecastBefore | None:
    if plan is None or plan.finished_at is None or not holes:
        return None
    whole = np.sum(list(holes.values()), axis=0)
    so_far = np.sum([holes[number] for number in sent if number in holes] or [np.zeros_like(whole)], axis=0)
    tails = [(1 - INTERVAL) / 2, (1 + INTERVAL) / 2]
    low, high = (int(score) for score in np.quantile(whole, tails))
    low_so_far, high_so_far = (int(score) for score in np.quantile(so_far, tails))
    return ForecastBefore(
        plan.id,
        plan.finished_at,
        float(whole.mean()),
        low,
        high,
        float(so_far.mean()),
        low_so_far,
        high_so_far,
        [HoleForecast(number, float(holes[number].mean())) for number in sorted(holes)],
    )


def advice(asker: Asker, plays: Sequence[RoundInPlay], query: BallQuery) -> list[Advice]:
    """Club and line from where the ball lies; refused while a round that counts is played. Seconds each."""
    refuse_beside_a_counting_round(asker, plays, Shown.ADVICE_FROM_BALL)
    return [_advice(asker, play, query) for play in plays]


def _advice(asker: Asker, play: RoundInPlay, query: BallQuery) -> Advice:
    plan = _as_planned(play)
    drawn = {hole.number: hole for hole in drawn_holes_of(plan)}.get(query.hole)
    if drawn is None:
        raise invalid(
            [Fault("/hole", "no_such_hole", Sentence("these tees have no such hole in this round"))]
        )
    game = game_of(play.player, until=play.played_on - dt.timedelta(days=1))
    bag = in_weather(game.learnt.bag, question_of(plan, drawn).weather)
    best = best_play(
        shape_of(drawn.drawing, drawn.drawing.middle, STEP), bag, greens_of(plan, game, query.hole)
    )
    # Shots from the fringe fly as from the fairway: patterns are learnt so as well.
    lie = Lie.FAIRWAY if query.lie == "fringe" else Lie.of(query.lie)
    choices = choices_from(best, [bag], spot(best, lie, to_yards(query.distance, asker.distance_unit)), lie)
    rests_on = gettext(
        "How far to the hole and on what the ball lies; not how far to one side, nor what stands in the way. The "
        "hole's map."
    )
    if drawn.drawing.generic:
        rests_on = gettext(
            "How far to the hole and on what the ball lies; not how far to one side, nor what stands in the way. A "
            "generic hole from its scorecard."
        )
    return Advice(
        sentence=spoken(choice_sentence(choices)),
        expected=choices[0].expected,
        rests_on=rests_on,
    )


def greens_so_far(asker: Asker, plays: Sequence[RoundInPlay], __: Query) -> list[GreensSoFar]:
    """What the first putts say of the day's greens; refused while a round that counts is played. Four queries each."""
    refuse_beside_a_counting_round(asker, plays, Shown.TODAYS_GREENS)
    return [_greens_so_far(play) for play in plays]


def _greens_so_far(play: RoundInPlay) -> GreensSoFar:
    to_feet = to_yards(1.0, "metres") * FEET_PER_YARD if play.about["unit"] == "metres" else 1.0
    feet, putts, missed = [], [], []
    for entry in holes_of(play).values():
        on_green = [shot for shot in entry["hole"].get("shots", ()) if shot["lie"] == "green"]
        if not on_green or not entry["putts"] or entry["hole"].get("picked_up"):
            continue
        first, *others = on_green
        feet.append(first["distance"] * to_feet)
        putts.append(entry["putts"])
        if others and first.get("miss_depth"):
            way = -1.0 if first["miss_depth"] == MissDepth.SHORT.word else 1.0
            missed.append((feet[-1], others[0]["distance"] * to_feet, way))
    game = game_of(play.player, until=play.played_on - dt.timedelta(days=1))
    usual = greens_of(_as_planned(play), game, None).undisturbed()
    misses = Misses(left_by(*np.array(missed, dtype=np.float64).reshape(-1, 3).T), game.first_misses)
    greens = todays_greens(np.array(feet, dtype=np.float64), np.array(putts, dtype=np.float64), usual, misses)
    return GreensSoFar(**vars(replace(greens, words=spoken(greens.words))))


def _as_planned(play: RoundInPlay) -> RoundPlan:
    """The round in the words of a plan that is nowhere stored."""
    return RoundPlan(
        player=play.player,
        tee_set=play.tee_set,
        section=play.about["section"],
        planned_for=play.played_on,
        greens_found=play.about["greens_found"],
        wind_mph=play.about["wind_mph"],
        temperature_c=play.about["temperature_c"],
    )
