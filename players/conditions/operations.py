"""What may be asked of greens and other circumstances: what they cost, and when to work on them."""

from __future__ import annotations

from dataclasses import replace

from courses.greens.operations import GREEN_WORK
from courses.layout.operations import COURSE_ALONE, GREEN_STAFF
from golfstats.ground.operations import Operation, Reading
from players.conditions.answers import by_green, effects, greens, rounds, work_dates
from players.people.operations import PLAYER, SQUAD_ALONE
from players.people.remembered import Remembered
from players.rounds.operations import ROUND

GREEN_WORK_ALONE = replace(GREEN_WORK, root="")
"""Of answers too costly to be given for many at once: GraphQL then asks at its root."""
WHAT_ADJUSTED_MEANS = (
    "`raw` is putting strokes gained, `owed` the part that the disturbed surface accounts for (positive costs), "
    "by what it costs this club's usual member from the same distances; `adjusted` = `raw` + `owed`. "
    "Raw is never replaced."
)

CONDITION_ADJUSTED = Remembered(
    "condition_adjusted", rounds.player_adjusted, rounds.PlayerConditionAdjusted, greens=True
)
"""What pages show as well."""

OPERATIONS: list[Operation] = [
    Reading(
        name="condition-effect",
        id="read_condition_effect",
        path="condition-effect",
        field="condition_effect",
        answer=effects.ConditionEffect,
        read=effects.condition_effect,
        summary="What disturbed greens cost the members here: strokes a round by days since, for each kind of work",
        description=(
            "By this club's own putts, season, weather and form allowed for. `chance_it_costs` is the chance that the "
            "first days after the work cost strokes at all; an effect is claimed where the 90% interval of these days "
            "lies above zero. A size is given only where it is known well enough. `perhaps` says where the cost of the "
            "first days may lie, known or not; `placebo` is what the same model finds on dates without work (one in "
            "twenty would be claimed by chance), `tee_to_green` what it finds in the strokes before the green, which "
            "the greens cannot have cost: where that is above zero, or two of the dates without work or more are "
            "claimed, nothing is, and no size is given. `cannot_tell` says what these rounds cannot tell apart."
        ),
    ),
    Reading(
        name="context-effects",
        id="read_context_effects",
        path="context-effects",
        field="context_effects",
        answer=effects.ContextEffects,
        read=effects.context_effects,
        summary="What else moves a round here: first visits, breaks, wind, cold, time of day, competition",
        description=(
            "Strokes a round that one unit of each costs (positive) or saves (negative), all in one model over "
            "the club's rounds, without what the greens account for; n counts rounds that speak for it."
        ),
    ),
    Reading(
        name="player-condition-adjusted",
        id="read_condition_adjusted",
        path="players/<uuid:player_id>/condition-adjusted",
        field="condition_adjusted",
        cost=20,
        about=PLAYER,
        query=rounds.LastQuery,
        answer=rounds.PlayerConditionAdjusted,
        read=CONDITION_ADJUSTED,
        summary="A player's putting over their last rounds, with and without what the surface accounts for",
        description=WHAT_ADJUSTED_MEANS,
    ),
    Reading(
        name="squad-condition-adjusted",
        id="read_squad_condition_adjusted",
        path="squads/<uuid:squad_id>/condition-adjusted",
        field="squad_condition_adjusted",
        cost=3000,
        about=SQUAD_ALONE,
        query=rounds.LastQuery,
        answer=rounds.SquadConditionAdjusted,
        read=rounds.squad_adjusted,
        summary="Putting of each player of a squad, with and without what the surface accounts for",
        description=WHAT_ADJUSTED_MEANS,
    ),
    Reading(
        name="green-work-cost",
        id="read_green_work_cost",
        path="courses/<uuid:course_id>/green-work/<uuid:work_id>/cost",
        field="green_work_cost",
        cost=500,
        roles=GREEN_STAFF,
        about=GREEN_WORK_ALONE,
        answer=greens.GreenWorkCost,
        read=greens.green_work_costs,
        summary="What a piece of green work cost the members so far, and when the greens were back (staff)",
    ),
    Reading(
        name="cost-by-green",
        id="read_cost_by_green",
        path="courses/<uuid:course_id>/cost-by-green",
        field="cost_by_green",
        cost=100,
        roles=GREEN_STAFF,
        about=COURSE_ALONE,
        answer=by_green.CostByGreen,
        read=by_green.cost_by_green,
        summary="Which greens of a course green work costs most on (staff)",
        description=(
            "Each green beside the others in the same rounds, so that form, weather and season fall out; what greens "
            "differ by is pooled, so that one of which little is known lies near the course's mean. A green that stays "
            "disturbed for longer shows as one that costs more."
        ),
    ),
    Reading(
        name="planner",
        id="plan_green_work",
        path="courses/<uuid:course_id>/planner",
        field="planner",
        cost=500,
        roles=GREEN_STAFF,
        about=COURSE_ALONE,
        query=work_dates.PlanQuery,
        answer=work_dates.GreenWorkPlan,
        read=work_dates.plans,
        summary="Candidate first days for green work: expected rounds and events before the greens are back (staff)",
        description=(
            "Expected rounds are the usual number on the same weekday around the same date in the years on record; "
            "disturbed rounds count each by the day's disturbance. Less than four weeks on record give null."
        ),
    ),
    Reading(
        name="around-the-green",
        id="read_around_the_green",
        path="courses/<uuid:course_id>/around-the-green",
        field="around_the_green",
        cost=500,
        about=COURSE_ALONE,
        answer=greens.AroundTheGreen,
        read=greens.around_the_green,
        summary="From just off a disturbed green, putting against chipping, by the members' own shots",
        description=(
            "Mean strokes gained of putting minus chipping from the same lie and distance by the same players; "
            "positive favours the putter. Shots need their club recorded."
        ),
    ),
    Reading(
        name="expected-putts",
        id="read_expected_putts",
        path="courses/<uuid:course_id>/expected-putts",
        field="expected_putts",
        cost=500,
        about=COURSE_ALONE,
        query=greens.OnQuery,
        answer=greens.ExpectedPutts,
        read=greens.expected_putts,
        summary="Expected putts by distance, on undisturbed greens and on those of a day",
        description=(
            "`usual` is the club's benchmark; `today` adds what the day's surface costs the club's usual member."
        ),
    ),
    Reading(
        name="round-condition",
        id="read_round_condition",
        path="rounds/<uuid:round_id>/condition",
        about=ROUND,
        answer=rounds.ConditionOfRound,
        read=rounds.conditions_of_rounds,
        summary="Was it me or the greens: a round's condition note, and its putting with and without the surface",
        description=WHAT_ADJUSTED_MEANS,
    ),
    Reading(
        name="condition-of-round",
        id="read_condition_of_round",
        path="",
        field="condition",
        cost=20,
        about=ROUND,
        answer=rounds.RoundCondition,
        read=rounds.round_conditions,
        summary="The greens of that day, and putting without them",
    ),
    Reading(
        name="condition-note",
        id="read_condition_note",
        path="",
        field="condition_note",
        about=ROUND,
        answer=str,
        read=rounds.condition_notes,
        summary="What the greens' state had to do with it, in words",
    ),
]
