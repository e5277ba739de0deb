"""When to do green work: what it would meet on each of several first days."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated
from uuid import UUID

import numpy as np
from django.utils.translation import gettext
from pydantic import Field, model_validator

from courses.calendars.models import Event
from courses.greens import condition as courses
from courses.greens.answers import KnownFrom
from courses.greens.services import Kind
from courses.layout.models import Course
from golfstats.calc.greens import planner
from golfstats.calc.greens.surface.disturbance import Work
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.calc.record import Ints
from golfstats.ground.answers import up_to
from golfstats.ground.inputs import Day
from golfstats.ground.operations import Asker, Query
from golfstats.sentences import Sentence
from players.conditions.answers.greens import KnownFromWord
from players.rounds.models import Round

MOST_DATES = 92


class PlanQuery(Query):
    first: Day = Field(alias="from")
    """First day."""
    last: Day = Field(alias="to")
    """Last day."""
    kind: Kind
    """One of the types of green work."""
    days: Annotated[int, Field(ge=1, le=14, description="how many days the work takes")] = 1

    @model_validator(mode="after")
    def in_order(self) -> PlanQuery:
        if not 0 <= (self.last - self.first).days < MOST_DATES:
            raise ValueError(
                Sentence("from comes before to, and no more than {most_dates} dates", most_dates=MOST_DATES)
            )
        return self


@dataclass(frozen=True)
class PlannedDay:
    """What the work would meet, begun on this day."""

    starts_on: dt.date
    back_on: dt.date
    """First day on which the greens are back."""
    expected_rounds: float | None
    """Until the greens are back; null with less than four weeks on record."""
    disturbed_rounds: float | None
    """Rounds expected until the greens are back, each weighed by the day's disturbance. Less is better."""
    events: list[str]
    """Names of the events that fall between."""


@dataclass(frozen=True)
class GreenWorkPlan:
    """Candidate first days for green work."""

    kind: str
    """Key of the kind of work."""
    words: str
    days: int
    """Days that the work takes."""
    recovery_days: float
    """Days from its end until the greens are back."""
    recovery_from: KnownFromWord
    """Whether that is known from the club's own putts or from what is usual."""
    dates: list[PlannedDay] = up_to(92)
    """One for each candidate day, in their order."""


def plans(asker: Asker, of_courses: Sequence[Course], query: PlanQuery) -> list[GreenWorkPlan]:
    """What the same work would meet on each of these first days. Three queries, however many courses."""
    ids = [course.id for course in of_courses]
    played: dict[UUID, list[int]] = defaultdict(list)
    rounds = Round.objects.filter(tee_set__course_id__in=ids, played_on__lte=asker.today)
    for course_id, day in rounds.values_list("tee_set__course_id", "played_on"):
        played[course_id].append(day.toordinal())
    healing = query.days - 1 + courses.longest_healing(query.kind)
    events: dict[UUID, list[planner.Event]] = defaultdict(list)
    met = Event.objects.filter(
        course__in=ids, ends_on__gte=query.first, starts_on__lte=query.last + dt.timedelta(days=healing)
    )
    for event in met.order_by("starts_on", "name"):
        days = (event.starts_on.toordinal(), event.ends_on.toordinal())
        events[event.course_id].append(planner.Event(event.name, *days))
    recovery = courses.recovery_by_kind()
    return [
        _plan(query, np.array(played[key], dtype=np.int64), events[key], recovery, asker.today) for key in ids
    ]


def _plan(
    query: PlanQuery,
    history: Ints,
    events: Sequence[planner.Event],
    recovery: dict[str, float],
    today: dt.date,
) -> GreenWorkPlan:
    first, last = query.first.toordinal(), query.last.toordinal()
    known_since = int(history.min()) if len(history) else today.toordinal()
    planned = planner.plan(
        Work(query.kind, first, first + query.days - 1),
        list(range(first, last + 1)),
        history,
        (known_since, today.toordinal()),
        events,
        recovery,
    )
    own, usual = recovery.get(query.kind), work_types()[query.kind]
    return GreenWorkPlan(
        query.kind,
        gettext(usual.words),
        query.days,
        round(own or usual.recovery_days, 1),
        KnownFrom.USUAL if own is None else KnownFrom.CLUB,
        [
            PlannedDay(
                dt.date.fromordinal(one.start),
                dt.date.fromordinal(one.back),
                _tenths(one.expected_rounds),
                _tenths(one.disturbed_rounds),
                list(one.events),
            )
            for one in planned
        ],
    )


def _tenths(value: float | None) -> float | None:
    return None if value is None else round(value, 1)
