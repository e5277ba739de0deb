"""What disturbed greens cost, and when to work on them: REST's answers."""

from __future__ import annotations

import json
from typing import Any

import pytest

from courses.greens import services as greens
from courses.greens.models import GreenWork
from courses.greens.services import GreenWorkBody
from courses.layout.models import Course
from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.walls.scope import club_scope
from tests.api.world import make_world
from tests.graphql.alike import all_of, assert_same, nodes
from tests.graphql.asking import data, refusal
from tests.players.conditions.conftest import GreenClub
from tests.players.conftest import Place, client_of

PLAN = f"""query Q($course: UUID!, $kind: String!, $from: Date!, $to: Date!) {{
  planner(id: $course, kind: $kind, from: $from, to: $to, days: 2) {all_of("GreenWorkPlan")} }}"""
COST = f"query Q($id: UUID!) {{ greenWorkCost(id: $id) {all_of('GreenWorkCost')} }}"
HISTORY = f"""query Q($course: UUID!, $id: UUID!, $first: Int!, $after: String) {{
  course(id: $course) {{ greenWorkHistory(workId: $id, first: $first, after: $after) {{
    pageInfo {{ endCursor hasNextPage }} edges {{ node {all_of("GreenWorkChange")} }} }} }} }}"""


def rest(member: Member, address: str, **query: Any) -> Any:
    response = client_of(member).get(f"/api/v1/{address}", query)
    assert response.status_code == 200, response.content
    return response.json()


def test_what_the_club_learnt_of_its_greens(fitted_club: GreenClub) -> None:
    """The effect, the contexts, what each work cost, and expected putts of a disturbed day."""
    member, course = fitted_club.place.greenkeeper, fitted_club.course
    told = data(
        member,
        f"{{ conditionEffect {all_of('ConditionEffect')} contextEffects {all_of('ContextEffects')} }}",
    )
    assert told["conditionEffect"]["kinds"]
    assert_same(rest(member, "condition-effect"), told["conditionEffect"])
    assert_same(rest(member, "context-effects"), told["contextEffects"])
    with club_scope(fitted_club.place.club.id):
        works = list(GreenWork.objects.filter(course=course))
    assert works
    for work in works:
        found = rest(member, f"courses/{course.id}/green-work/{work.id}/cost")
        assert_same(found, data(member, COST, id=str(work.id))["greenWorkCost"])
    day = works[0].ends_on.isoformat()
    query = f"""query Q($course: UUID!, $on: Date) {{ aroundTheGreen(id: $course) {all_of("AroundTheGreen")}
      expectedPutts(id: $course, on: $on) {all_of("ExpectedPutts")} }}"""
    told = data(member, query, course=str(course.id), on=day)
    assert_same(rest(member, f"courses/{course.id}/around-the-green"), told["aroundTheGreen"])
    assert_same(rest(member, f"courses/{course.id}/expected-putts", on=day), told["expectedPutts"])
    dates = {"kind": "solid_tine", "from": "2026-09-01", "to": "2026-09-20"}
    told = data(member, PLAN, course=str(course.id), **dates)["planner"]
    assert_same(rest(member, f"courses/{course.id}/planner", **dates, days=2), told)


@pytest.fixture
def work(place: Place) -> GreenWork:
    """Entered, changed twice, and deleted."""
    with club_scope(place.club.id):
        given = GreenWorkBody.model_validate({"kind": "solid_tine", "starts_on": "2026-06-01"})
        row = greens.add_work(place.greenkeeper, Course.objects.get(), given)
        for note in ("wet", "dry"):
            row = greens.change_work(place.greenkeeper, row, given.model_copy(update={"note": note}))
        return row


def test_history_of_green_work(place: Place, work: GreenWork) -> None:
    """Page by page, and also after the work was deleted."""
    address = f"courses/{work.course_id}/green-work/{work.id}"
    assert client_of(place.greenkeeper).delete(f"/api/v1/{address}").status_code == 204
    asked = {"course": str(work.course_id), "id": str(work.id), "first": 3}
    first = data(place.coach, HISTORY, **asked)["course"]["greenWorkHistory"]
    assert first["pageInfo"]["hasNextPage"]
    after = first["pageInfo"]["endCursor"]
    second = data(place.coach, HISTORY, **asked, after=after)["course"]["greenWorkHistory"]
    found = rest(place.coach, f"{address}/history")["results"]
    assert len(found) == 4
    assert_same(found, nodes(first) + nodes(second))
    missing = refusal(place.coach, HISTORY, **asked | {"id": str(place.player.id)})
    assert missing["extensions"]["status"] == 404


@pytest.mark.parametrize("who", ["coach", "player_member"])
def test_cost_and_plans_are_for_staff(place: Place, work: GreenWork, who: str) -> None:
    member = getattr(place, who)
    assert refusal(member, COST, id=str(work.id))["extensions"]["status"] == 403
    dates = {"kind": "solid_tine", "from": "2026-09-01", "to": "2026-09-20"}
    assert refusal(member, PLAN, course=str(work.course_id), **dates)["extensions"]["status"] == 403


def test_a_plan_is_checked_as_in_rest(place: Place, work: GreenWork) -> None:
    dates = {"kind": "solid_tine", "from": "2026-09-20", "to": "2026-09-01"}
    assert (
        refusal(place.greenkeeper, PLAN, course=str(work.course_id), **dates)["extensions"]["status"] == 422
    )


@pytest.mark.parametrize("days", [{}, {"from": "2026-03-02"}, {"to": "2026-03-01"}])
@pytest.mark.parametrize(
    ("field", "address", "others"),
    [
        ("greenWork", "green-work", {}),
        ("greenWork", "green-work", {"kind": "solid_tine"}),
        ("greenWork", "green-work", {"kind": "rolling", "status": "confirmed"}),
        ("greenReadings", "green-readings", {"hole": 3}),
        ("greenReadings", "green-readings", {}),
        ("events", "events", {}),
        ("playingConditions", "playing-conditions", {}),
    ],
)
def test_lists_of_a_course_are_filtered_as_in_rest(
    db: None, field: str, address: str, others: dict[str, Any], days: dict[str, str]
) -> None:
    world = make_world("own", "Own", days=2)
    member, course = world.members[Role.GREENKEEPER], world.id(Course)
    given = others | days
    # A choice is a name in GraphQL, not a text.
    arguments = ", ".join(
        f"{name}: {value if name == 'status' else json.dumps(value)}" for name, value in given.items()
    )
    asked = f"{field}({arguments})" if given else field
    query = f"query Q($id: UUID!) {{ course(id: $id) {{ {asked} {{ edges {{ node {{ id }} }} }} }} }}"
    told = nodes(data(member, query, id=course)["course"][field])
    found = rest(member, f"courses/{course}/{address}", **given)["results"]
    assert [line["id"] for line in found] == [line["id"] for line in told]


def test_a_filter_that_cannot_be_is_refused(place: Place, work: GreenWork) -> None:
    query = 'query Q($id: UUID!) { course(id: $id) { greenWork(kind: "magic") { edges { node { id } } } } }'
    assert refusal(place.coach, query, id=str(work.course_id))["extensions"]["status"] == 422
