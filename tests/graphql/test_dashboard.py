"""One document fills a coach's dashboard, at a price in queries that no player and no round adds to, and says what REST says."""

from __future__ import annotations

from importlib import resources
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from golfstats.ground.clubs.models import DistanceUnit
from golfstats.ground.walls.scope import club_scope
from players.coaching.models import PlayerReport
from players.people.models import RememberedAnswer, Squad
from players.rounds.models import Round
from tests.graphql.alike import all_of, assert_same, assert_within, nodes, snake
from tests.graphql.asking import data, refusal
from tests.graphql.dashboards import fill_squad
from tests.players.conftest import Place, client_of

DASHBOARD = (
    resources.files("golfstats.doors.graphql.documents")
    .joinpath("coach_dashboard.graphql")
    .read_text(encoding="utf-8")
)


CONDITION = """query Q($id: UUID!) { round(id: $id) { condition {
  note disturbance temporaryGreens work { kind daysBefore } putting { raw { value words } owed { n } adjusted { low } }
} } }"""


def dashboard(place: Place, squad: Squad, **variables: Any) -> list[dict[str, Any]]:
    found = data(place.coach, DASHBOARD, squad=str(squad.id), **variables)
    return [edge["node"] for edge in found["squad"]["players"]["edges"]]


def forget_answers(place: Place) -> None:
    with club_scope(place.club.id):
        RememberedAnswer.objects.all().delete()


def asked_of_the_database(place: Place, squad: Squad, **variables: Any) -> int:
    with CaptureQueriesContext(connection) as queries:
        dashboard(place, squad, **variables)
    return len(queries)


def test_a_dashboard_of_twelve_players_asks_the_database_no_more_than_one_of_three(place: Place) -> None:
    three, twelve = fill_squad(place, 3, 2), fill_squad(place, 12, 3)
    first = dashboard(place, twelve, players=12)
    assert len(first) == 12
    for player in first:
        assert player["trends"]["trends"]
        assert player["priorities"]["parts"]
        assert len(player["notes"]["edges"]) == 2
        assert len(player["goals"]["edges"]) == 1
        assert len(player["rounds"]["edges"]) == 3
        assert all(edge["node"]["figures"]["total"] is not None for edge in player["rounds"]["edges"])
    forget_answers(place)
    computed = asked_of_the_database(place, three, players=3)
    forget_answers(place)
    assert asked_of_the_database(place, twelve, players=12) == computed
    dashboard(place, three, players=3)
    of_three = asked_of_the_database(place, three, players=3)
    assert of_three < computed
    assert asked_of_the_database(place, twelve, players=12) == of_three
    assert asked_of_the_database(place, twelve, players=12, rounds=2) == of_three


def test_a_report_that_other_code_has_written_is_told_where_it_fits_and_not_where_it_does_not(
    place: Place,
) -> None:
    squad = fill_squad(place, 2, 2)
    first = dashboard(place, squad)
    assert all(player["priorities"]["parts"] for player in first)
    with club_scope(place.club.id):
        PlayerReport.objects.update(edition="earlier")
    assert dashboard(place, squad) == first
    with club_scope(place.club.id):
        report = PlayerReport.objects.get(player=first[0]["id"])
        report.document["priorities"]["parts"] = [{"group": "driving"}]
        report.save()
    again = dashboard(place, squad)
    assert [player["priorities"] for player in again] == [None, first[1]["priorities"]]


@pytest.mark.parametrize("unit", DistanceUnit.values)
def test_a_dashboard_says_what_rest_says(place: Place, unit: str) -> None:
    """Trends, priorities, goals, notes, rounds, handicap and attention, field by field, in both units."""
    place.club.distance_unit = unit
    with club_scope(place.club.id):
        place.club.save()
    squad = fill_squad(place, 2, 6)
    rest = client_of(place.coach)
    attention = rest.get("/api/v1/attention").json()["results"]
    told = dashboard(place, squad)
    forget_answers(place)
    for player in told:
        node, address = snake(player), f"/api/v1/players/{player['id']}"
        assert_within(
            rest.get(f"{address}/figures?keys={','.join(f['key'] for f in node['figures'])}").json()[
                "figures"
            ],
            node["figures"],
        )
        trends = rest.get(f"{address}/trends?last=10").json()
        assert_within(trends, node["trends"])
        priorities = rest.get(f"{address}/priorities?effects=1").json()
        priorities["bands"] = priorities["bands"][:5]
        assert_within(priorities, node["priorities"])
        assert_within(rest.get(f"{address}/goals").json()["results"], nodes(node["goals"]))
        assert_within(rest.get(f"{address}/notes").json()["results"], nodes(node["notes"]))
        assert_within(rest.get(f"{address}/handicap").json(), node["handicap"])
        rounds = rest.get(f"/api/v1/rounds?player={player['id']}").json()["results"][:5]
        assert [line["id"] for line in rounds] == [line["id"] for line in nodes(node["rounds"])]
        for line, told in zip(rounds, nodes(node["rounds"]), strict=True):
            assert (line["score"], line["analysis"]) == (told["score"], told["analysis"])
            gained = rest.get(f"/api/v1/rounds/{line['id']}/analysis").json()["total"]
            assert told["figures"]["total"] == pytest.approx(gained["strokes_gained"])
            for part in gained["parts"]:
                assert told["figures"][part["part"]] == pytest.approx(part["strokes_gained"])
            assert_within(
                rest.get(f"/api/v1/rounds/{line['id']}/condition").json(),
                snake(data(place.coach, CONDITION, id=line["id"])["round"]["condition"]),
            )
        mine = [item for item in attention if item["player"]["id"] == player["id"]]
        assert_within(mine, node["attention"])


def test_a_rounds_analysis_is_rests_document(place: Place) -> None:
    fill_squad(place, 1, 1)
    with club_scope(place.club.id):
        round_id = str(Round.objects.get().id)
    query = f"""query Q($id: UUID!, $key: String) {{
      roundAnalysis(id: $id, benchmark: $key) {all_of("AnalysisOfRound")} }}"""
    rest = client_of(place.coach)
    for key in ("professional", "handicap:12"):
        told = data(place.coach, query, id=round_id, key=key)["roundAnalysis"]
        assert_same(rest.get(f"/api/v1/rounds/{round_id}/analysis?benchmark={key}").json(), told)
    assert refusal(place.coach, query, id=round_id, key="nobody")["extensions"]["status"] == 422
    assert refusal(place.other_member, query, id=round_id)["extensions"]["status"] == 404
