"""What the worker does about plans."""

from __future__ import annotations

from datetime import date
from uuid import UUID

from courses.layout.models import TeeSet
from courses.layout.services import HOLES_DRAWN_ANEW
from golfstats.ground.outbox import work
from players import kinds
from players.plans.announcing import HOLE_COSTS_MADE, PLAN_ENDED, PLAN_READ, Costs
from players.plans.costs.course_costs import HOLE_MAPS, make_next_map, renew_maps
from players.plans.making import finish, make_next_hole
from players.plans.models import PlanAfterwards, PlanState, RoundPlan
from players.plans.on_course.afterwards import (
    PLAN_AFTERWARDS,
    finish_reading,
    judge_anew,
    read_again,
    read_next_hole,
)
from players.plans.services import ROUND_PLAN


def _failed(key: str, reason: str) -> None:
    plans = RoundPlan.objects.filter(id=UUID(key))
    plans.update(state=PlanState.FAILED, reason=reason[:500])
    PLAN_ENDED.send(plans)


@work.handler(ROUND_PLAN, queue=work.Queue.LONG, on_failure=_failed)
def round_plan(key: str) -> str | None:
    """A hole at a time, so that the plan's progress shows and a stopped worker loses seconds."""
    plan = (
        RoundPlan.objects.select_related("player", "tee_set__course")
        .filter(id=UUID(key))
        .exclude(state=PlanState.DONE)
    ).first()
    if plan is None:
        return None
    if make_next_hole(plan):
        return work.AGAIN
    finish(plan)
    PLAN_ENDED.send([plan])
    return None


def _not_read(key: str, reason: str) -> None:
    readings = PlanAfterwards.objects.filter(plan_id=UUID(key))
    readings.update(state=PlanState.FAILED, reason=reason[:500])
    PLAN_READ.send(readings)


@work.handler(PLAN_AFTERWARDS, queue=work.Queue.LONG, on_failure=_not_read)
def plan_afterwards(key: str) -> str | None:
    """A hole at a time as well."""
    reading = (
        PlanAfterwards.objects.select_related("plan__player", "plan__tee_set__course", "round")
        .filter(plan_id=UUID(key), state=PlanState.PENDING)
        .first()
    )
    if reading is None:
        return None
    if read_next_hole(reading):
        return work.AGAIN
    finish_reading(reading)
    PLAN_READ.send([reading])
    return None


@work.handler(kinds.ROUND_CORRECTED)
def round_corrected(key: str) -> None:
    """What stands beside a plan is the round as it is now."""
    read_again(UUID(key))


@work.handler(kinds.ROUND_GONE)
def round_gone(key: str) -> None:
    """What the round judged of plans for its day is open again, or judged by another round of that day."""
    player, day = key.split(":")
    judge_anew(UUID(player), date.fromisoformat(day))


@work.handler(HOLE_MAPS, queue=work.Queue.LONG)
def hole_maps(key: str) -> str | None:
    """A hole at a time as well."""
    if make_next_map(key):
        return work.AGAIN
    tee_set, _, gender = key.partition(":")
    HOLE_COSTS_MADE.send(
        Costs(one, gender) for one in TeeSet.objects.filter(id=UUID(tee_set)).select_related("course")
    )
    return None


@work.handler(HOLES_DRAWN_ANEW)
def holes_drawn_anew(key: str) -> None:
    """What its holes cost is worked out again where that was asked for before."""
    renew_maps(UUID(key))
