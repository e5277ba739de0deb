"""What programs are told of plans, and of what the holes of a course cost."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from uuid import UUID

from courses.layout.announcing import NamedCourse, course_in_message
from courses.layout.models import Gender, TeeSet
from golfstats.ground.events import Event, Happening, Hearers
from players.people.announcing import NamedPlayer, hearers_of, player_in_message
from players.plans.models import PlanAfterwards, PlanState, RoundPlan


@dataclass(frozen=True)
class PlanMessage:
    """A plan of a round."""

    plan: UUID
    """Id of the plan."""
    player: NamedPlayer
    """Whose it is."""
    course: NamedCourse
    """Where."""
    planned_for: dt.date
    """Day of the round."""
    state: PlanState
    """How far it is."""


@dataclass(frozen=True)
class PlanReadMessage:
    """A round taken apart by the plan that it was played by."""

    plan: UUID
    """Id of the plan."""
    round: UUID
    """Id of the round."""
    player: NamedPlayer
    """Whose it is."""
    state: PlanState
    """Whether it could be."""


@dataclass(frozen=True)
class Costs:
    """The costs of the holes from one set of tees, for one kind of golfers."""

    tee_set: TeeSet
    gender: str


@dataclass(frozen=True)
class HoleCostsMessage:
    """Costs of holes that can be read."""

    tee: UUID
    """Id of the tee set."""
    course: NamedCourse
    """Where."""
    gender: Gender
    """Whose usual golfers play."""


def _plan(row: RoundPlan) -> PlanMessage:
    return PlanMessage(
        row.id,
        player_in_message(row.player),
        course_in_message(row.tee_set.course),
        row.planned_for,
        PlanState(row.state),
    )


def _afterwards(row: PlanAfterwards) -> PlanReadMessage:
    return PlanReadMessage(
        row.plan_id, row.round_id, player_in_message(row.plan.player), PlanState(row.state)
    )


def _costs(made: Costs) -> HoleCostsMessage:
    tee_set = made.tee_set
    return HoleCostsMessage(tee_set.id, course_in_message(tee_set.course), Gender(made.gender))


def _of_plan(row: RoundPlan) -> Hearers:
    return hearers_of(row.player)


def _of_reading(row: PlanAfterwards) -> Hearers:
    return hearers_of(row.plan.player)


def _club_alone(_: Costs) -> Hearers:
    return Hearers()


PLAN_ENDED = Event(
    Happening.PLAN_ENDED,
    of=RoundPlan,
    message=PlanMessage,
    says=_plan,
    hearers=_of_plan,
    own=True,
)
PLAN_DELETED = Event(
    Happening.PLAN_DELETED,
    of=RoundPlan,
    message=PlanMessage,
    says=_plan,
    hearers=_of_plan,
    own=True,
    gone=True,
)
PLAN_READ = Event(
    Happening.PLAN_READ,
    of=PlanAfterwards,
    message=PlanReadMessage,
    says=_afterwards,
    hearers=_of_reading,
    own=True,
)
HOLE_COSTS_MADE = Event(
    Happening.HOLE_COSTS_MADE,
    of=Costs,
    message=HoleCostsMessage,
    says=_costs,
    hearers=_club_alone,
)
