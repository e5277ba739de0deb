"""Which round judges what a plan forecast of its score."""

import datetime as dt
from zoneinfo import ZoneInfo

import pytest

from golfstats.ground.operations import Asker, Query
from golfstats.ground.outbox.worker import drain
from players.coaching.models import Forecast, ForecastKind
from players.plans import answers
from players.plans.models import RoundPlan
from players.plans.on_course import afterwards
from players.rounds import services as posting
from tests.players.plans.test_round_plans import DAY, ask, nine, planned_without_the_worker, played


def judged(plan) -> list[bool | None]:
    """What became of the plan's own forecast of the score."""
    told = Forecast.objects.filter(kind=ForecastKind.SCORE, subject=str(plan.id))
    return list(told.values_list("came_true", flat=True))


def forecast_before(member, player, tees, *, finished_at):
    """A plan whose forecast is 36 strokes."""
    plan = ask(member, player, tees)
    planned_without_the_worker(plan)
    RoundPlan.objects.filter(id=plan.id).update(finished_at=finished_at)
    return plan


def test_a_forecast_whose_round_is_deleted_is_judged_by_another_or_open_again(member, player, short_course):
    eve = dt.datetime.combine(DAY - dt.timedelta(days=1), dt.time(18), dt.UTC)
    plan = forecast_before(member, player, short_course, finished_at=eve)
    right, mistaken = (played(player, short_course.course, holes=nine(score)) for score in (4, 6))
    afterwards.ask_to_read(RoundPlan.objects.get())
    drain()
    assert judged(plan) == [False]
    posting.delete_round(mistaken)
    drain()
    assert judged(plan) == [True]
    posting.delete_round(right)
    drain()
    assert judged(plan) == []
    assert answers.plans_read(Asker(member), [plan], Query()) == [None]


@pytest.mark.parametrize(
    ("start", "made", "counts"),
    [
        ("10:00", dt.time(9, 30), True),
        ("10:00", dt.time(15), False),
        ("", dt.time(9, 30), True),
        ("", dt.time(23, 30), False),
    ],
)
def test_only_a_plan_made_before_the_round_forecasts_it(member, player, short_course, start, made, counts):
    plan = forecast_before(
        member,
        player,
        short_course,
        finished_at=dt.datetime.combine(DAY, made, ZoneInfo(player.club.time_zone)),
    )
    round_ = played(player, short_course.course, holes=nine(4), **({"start_time": start} if start else {}))
    posted = dt.datetime.combine(DAY, dt.time(16), ZoneInfo(player.club.time_zone))
    type(round_).objects.filter(id=round_.id).update(posted_at=posted)
    afterwards.ask_to_read(RoundPlan.objects.get())
    drain()
    assert judged(plan) == ([True] if counts else [])
