"""The day on which greens should be back is said as a chance; it is kept, and judged when the rounds have come."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import NamedTuple
from uuid import UUID

import numpy as np

from courses.greens import condition as courses
from courses.greens.models import GreenWork
from golfstats.calc.a_round import a_round
from golfstats.calc.greens.effect.estimate import matters
from golfstats.calc.greens.effect.healed import chance_healed, expected_days, was_healed
from golfstats.calc.greens.effect.posterior import MINIMUM_DISTURBANCE, GreensEffect
from players.conditions.effect import stored_effect
from players.conditions.models import HealingForecast
from players.conditions.putts import LEAST_HOLES
from players.figures.models import RoundFigures

WAIT_DAYS = 21
"""If too few rounds have come by so many days after, nobody can judge any more, and the statement is not counted."""
USUAL_ROUNDS, USUAL_DAYS = 3, 365
"""A player's usual putting rests on at least so many rounds on sound greens, no older than this."""


@dataclass(frozen=True)
class Back:
    """When greens should be back after some work, and how likely they are."""

    on: date
    chance: float | None
    """None where too little is known."""


class _Putted(NamedTuple):
    """The putting of one round, strokes gained over 18 holes."""

    player: UUID
    course: UUID
    day: date
    gained: float
    sound: bool


def back(effect: GreensEffect, row: GreenWork) -> Back:
    """What is told of one piece of work. No chance is given of light work, nor of some greens alone."""
    days = round(expected_days(effect, row.kind))
    work, on = courses.work_of(row), row.ends_on + timedelta(days=days)
    if row.holes or not matters(work):
        return Back(on, None)
    return Back(on, chance_healed(effect, row.kind, work.strength, str(row.course_id), days))


def keep_what_is_said(today: date) -> None:
    """Judge what is due, then keep what is said today of all work that still heals. Four queries and a write."""
    judge(today)
    effect, kept = stored_effect().greens, []
    for rows in courses.confirmed_work(last=today).values():
        for row in rows:
            healed = back(effect, row)
            if healed.chance is not None and healed.on > today:
                kept.append(HealingForecast(work=row, said_on=today, back_on=healed.on, chance=healed.chance))
    HealingForecast.objects.bulk_create(kept, ignore_conflicts=True)


def retell(days: Iterable[date], today: date) -> None:
    """What would have been said on past days, by what greens cost as it is known today; for golf entered afterwards."""
    for day in days:
        keep_what_is_said(day)
    judge(today)


def judge(today: date) -> None:
    """By the rounds since: of what was said of greens that should be back by now."""
    waiting = list(HealingForecast.objects.filter(came_true=None, back_on__lt=today).select_related("work"))
    if not waiting:
        return
    putted, others = _putted(today), courses.confirmed_work()
    for one in waiting:
        until = _heal_until(one, others.get(one.work.course_id, []), today)
        one.came_true, one.judged_on = was_healed(np.array(_lost(one, putted, until))), today
    HealingForecast.objects.bulk_update(
        [one for one in waiting if one.came_true is not None], ["came_true", "judged_on"]
    )
    given_up = [
        one.id for one in waiting if one.came_true is None and one.back_on + timedelta(days=WAIT_DAYS) < today
    ]
    HealingForecast.objects.filter(id__in=given_up).delete()


def _heal_until(one: HealingForecast, rows: Sequence[GreenWork], today: date) -> date:
    """Last day that still speaks for this work: the next one of its weight begins another healing."""
    later = [
        row.starts_on for row in rows if row.starts_on > one.work.ends_on and matters(courses.work_of(row))
    ]
    return min([one.back_on + timedelta(days=WAIT_DAYS), today, *(day - timedelta(days=1) for day in later)])


def _lost(one: HealingForecast, putted: Sequence[_Putted], until: date) -> list[float]:
    """What each round from the day on lost to its player's usual, in order of play."""
    usual: dict[UUID, list[float]] = defaultdict(list)
    first = one.work.starts_on - timedelta(days=USUAL_DAYS)
    for played in putted:
        if played.sound and first <= played.day < one.work.starts_on:
            usual[played.player].append(played.gained)
    return [
        float(np.mean(usual[played.player])) - played.gained
        for played in putted
        if played.course == one.work.course_id
        and one.back_on <= played.day <= until
        and len(usual[played.player]) >= USUAL_ROUNDS
    ]


def _putted(today: date) -> list[_Putted]:
    """All putting on record, in order of play; temporary greens have no disturbance and stay out."""
    rows = RoundFigures.objects.filter(
        putting__isnull=False,
        holes_covered__gte=LEAST_HOLES,
        surface_disturbance__isnull=False,
        round__played_on__lte=today,
    ).order_by("round__played_on", "round_id")
    columns = (
        "round__player_id",
        "round__tee_set__course_id",
        "round__played_on",
        "putting",
        "holes_covered",
    )
    return [
        _Putted(player, course, day, float(a_round(putting, holes)), disturbance < MINIMUM_DISTURBANCE)
        for player, course, day, putting, holes, disturbance in rows.values_list(
            *columns, "surface_disturbance"
        )
    ]
