"""Every field of the schema is asked for once, of rows that exist: its resolver works and its type fits."""

from __future__ import annotations

import datetime as dt

from courses.calendars.models import Event
from courses.greens.models import CourseNote, GreenReading
from courses.greens.services import GreenWorkBody, add_work
from courses.layout.models import Course, PlayingConditions
from golfstats.doors.graphql.schema import schema
from golfstats.ground.clubs.models import Member
from golfstats.ground.walls.scope import club_scope
from players.conditions.models import RoundNote
from players.rounds.models import Round
from tests.graphql.alike import everything
from tests.graphql.asking import data
from tests.graphql.dashboards import fill_squad
from tests.players.conftest import Place


def test_every_field_answers(place: Place, settings: object) -> None:
    settings.GRAPHQL = settings.GRAPHQL | {"MAX_COST": 10**9, "MAX_DEPTH": 99, "MAX_TOKENS": 10**5}
    fill_squad(place, 1, 6)
    with club_scope(place.club.id):
        course = Course.objects.get()
        for round_ in Round.objects.all():
            RoundNote.objects.create(round=round_, text="Fair greens.")
        _fill_course(place.manager, course)
    query = schema._schema.query_type
    assert query is not None
    answer = data(place.manager, everything(query))
    course_told = answer["courses"]["edges"][0]["node"]
    for name in ("greenWork", "greenReadings", "events", "playingConditions", "notes"):
        assert course_told[name]["edges"], name
    (player,) = [
        one["node"]
        for edge in answer["squads"]["edges"]
        for one in edge["node"]["players"]["edges"]
        if one["node"]["rounds"]["edges"]
    ]
    for name in ("figures", "trends", "priorities", "handicap", "conditionAdjusted"):
        assert player[name], name
    for name in ("goals", "notes", "handicapRecord"):
        assert player[name]["edges"], name
    round_ = player["rounds"]["edges"][0]["node"]
    assert round_["holes"][0]["shots"][0]["lie"] == "tee"
    assert round_["shotFigures"][0]["strokesGained"] is not None


def _fill_course(member: Member, course: Course) -> None:
    today = dt.datetime.now(dt.UTC)
    work = {"kind": "solid_tine", "starts_on": today.date() - dt.timedelta(days=1)}
    add_work(member, course, GreenWorkBody.model_validate(work))
    GreenReading.objects.create(
        course=course,
        hole=3,
        measured_at=today,
        roll_one_way_ft=[9.5],
        roll_other_way_ft=[9.7],
        entered_by=member,
    )
    Event.objects.create(course=course, name="Club day", starts_on=today.date(), ends_on=today.date())
    PlayingConditions.objects.create(
        course=course, played_on=today.date(), pcc=1, origin="the association", entered_by=member
    )
    cost = {"value": 0.4, "low": 0.2, "high": 0.7, "n": 41, "minimum_n": 12, "unit": "strokes a round"}
    then = [{"kind": "solid_tine", "days_before": 1}]
    figures = {"disturbance": 0.2, "cost": cost, "chance_it_costs": 0.9, "work": then}
    CourseNote.objects.create(course=course, day=today.date(), text="Tined yesterday.", figures=figures)
