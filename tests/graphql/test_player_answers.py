"""A player's larger answers, comparisons and a squad's tables are REST's own, and cost no query more for more players."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from golfstats.ground.clubs.models import DistanceUnit
from golfstats.ground.walls.scope import club_scope
from players.people.models import Player, RememberedAnswer, Squad
from players.rounds.models import Round
from tests.graphql.alike import all_of, assert_same, nodes
from tests.graphql.asking import data, refusal
from tests.graphql.dashboards import fill_squad
from tests.players.conftest import Place, client_of

DOCUMENTS = {
    "summary": "PlayerSummary",
    "approach": "PlayerApproach",
    "distances": "PlayerDistances",
}
OF_EVERY_PLAYER = f"""query Q($squad: UUID!, $day: Date!) {{ squad(id: $squad) {{ players(first: 4) {{ edges {{ node {{
  {" ".join(f"{field} {all_of(kind)}" for field, kind in DOCUMENTS.items())}
  shots(figure: "gained.putting") {{ results {{ value }} }}
  earlierSelf(day: $day) {{ figures {{ before {{ value }} }} }}
  figureByRound(key: "putts.round") {{ rounds {{ value }} }}
  committeeActions {{ edges {{ node {{ decidedBy }} }} }}
  rounds(first: 2) {{ edges {{ node {{ document {{ ball }} notation holes {{ score }} figures {{ total }} shotFigures {{ part }} }} }} }}
  trial(tag: club, a: "7i", b: "6i", outcome: travel) {{ words }}
}} }} }} }} }}"""


@pytest.fixture
def squad(place: Place) -> Squad:
    return fill_squad(place, 2, 6)


@pytest.fixture
def player(place: Place, squad: Squad) -> str:
    with club_scope(place.club.id):
        return str(Player.objects.filter(squad_places__squad=squad).order_by("name").first().id)


def rest(place: Place, address: str, **query: Any) -> Any:
    response = client_of(place.coach).get(f"/api/v1/{address}", query)
    assert response.status_code == 200, response.content
    return response.json()


@pytest.mark.parametrize("unit", DistanceUnit.values)
def test_documents(place: Place, player: str, unit: str) -> None:
    place.club.distance_unit = unit
    with club_scope(place.club.id):
        place.club.save()
    asked = " ".join(f"{field}(last: 4, benchmark: $key) {all_of(kind)}" for field, kind in DOCUMENTS.items())
    query = f"query Q($id: UUID!, $key: String) {{ player(id: $id) {{ {asked} }} }}"
    told = data(place.coach, query, id=player, key="handicap:8")["player"]
    for field in DOCUMENTS:
        found = rest(place, f"players/{player}/{field}", last=4, benchmark="handicap:8")
        assert_same(found, told[field])


@pytest.mark.parametrize("given", [{}, {"target": "handicap:0", "effects": 1, "share": 0.3}])
def test_priorities_against_anybody(place: Place, player: str, given: dict[str, Any]) -> None:
    query = f"""query Q($id: UUID!, $target: String, $effects: Int, $share: Float) {{
      playerPriorities(id: $id, target: $target, effects: $effects, share: $share) {all_of("Priorities")} }}"""
    told = data(place.coach, query, id=player, **given)["playerPriorities"]
    assert_same(rest(place, f"players/{player}/priorities", **given), told)
    unknown = refusal(place.coach, query, id=player, target="nobody")
    assert unknown["extensions"]["errors"][0]["pointer"] == "/benchmark"


def test_a_figure_by_round(place: Place, player: str) -> None:
    query = f"""query Q($id: UUID!, $key: String!) {{ player(id: $id) {{
      figureByRound(key: $key, last: 3) {all_of("FigureByRound")} }} }}"""
    told = data(place.coach, query, id=player, key="putts.round")["player"]["figureByRound"]
    assert len(told["rounds"]) == 3
    assert_same(rest(place, f"players/{player}/figures/putts.round", last=3), told)
    assert refusal(place.coach, query, id=player, key="luck")["extensions"]["status"] == 404


def test_rounds_in_the_words_of_posting(place: Place, player: str) -> None:
    query = f"""query Q($id: UUID!) {{ player(id: $id) {{
      rounds(first: 2) {{ edges {{ node {{ id document {all_of("RoundAsPosted")} notation
        holes {all_of("HoleAsPosted")} }} }} }} }} }}"""
    for told in nodes(data(place.coach, query, id=player)["player"]["rounds"]):
        assert told["document"]["holes"] == told["holes"]
        assert_same(rest(place, f"rounds/{told['id']}")["round"], told["document"])
        text = client_of(place.coach).get(f"/api/v1/rounds/{told['id']}", headers={"Accept": "text/plain"})
        assert told["notation"] == text.content.decode()


def test_rounds_are_filtered_as_in_rest(place: Place, player: str) -> None:
    query = """query Q($analysis: AnalysisState, $counting: Boolean, $tee: UUID) {
      rounds(analysis: $analysis, counting: $counting, tee: $tee) { edges { node { id } } } }"""
    with club_scope(place.club.id):
        one, other, *_ = Round.objects.all()
        Round.objects.filter(id=one.id).update(analysis="failed")
        Round.objects.filter(id=other.id).update(counting=False)
    for given in ({"analysis": "failed"}, {"counting": False}, {"tee": str(one.tee_set_id)}):
        told = nodes(data(place.coach, query, **given)["rounds"])
        assert [line["id"] for line in rest(place, "rounds", **given)["results"]] == [
            line["id"] for line in told
        ]
    assert "AnalysisState" in refusal(place.coach, query, analysis="lost")["message"]


def test_misses(place: Place, player: str) -> None:
    query = f"query Q($id: UUID!) {{ playerMisses(id: $id, last: 5) {all_of('PlayerMisses')} }}"
    told = data(place.coach, query, id=player)["playerMisses"]
    assert_same(rest(place, f"players/{player}/misses", last=5), told)
    hidden = refusal(place.coach, query, id=str(place.other_player.id))
    assert hidden["extensions"]["status"] == 404


@pytest.mark.parametrize("figure", ["gained.putting", "score.par4", "score.total"])
def test_shots_behind_a_figure(place: Place, player: str, figure: str) -> None:
    """Page by page the very list of REST."""
    query = f"""query Q($id: UUID!, $figure: String!, $offset: Int!) {{ player(id: $id) {{
      shots(figure: $figure, offset: $offset, pageSize: 30, last: 3) {all_of("ShotsBehind")} }} }}"""
    found: list[Any] = []
    while True:
        page = data(place.coach, query, id=player, figure=figure, offset=len(found))["player"]["shots"]
        found += page["results"]
        if page["next"] is None:
            break
    assert len(found) == page["count"] > 0
    answer = rest(place, f"players/{player}/shots", figure=figure, last=3, page_size=200)
    assert_same(answer["results"], found)


def test_no_such_figure_has_shots(place: Place, player: str) -> None:
    query = 'query Q($id: UUID!) { player(id: $id) { shots(figure: "luck") { count } } }'
    assert refusal(place.coach, query, id=player)["extensions"]["errors"][0]["pointer"] == "/figure"


def test_comparison(place: Place, squad: Squad) -> None:
    with club_scope(place.club.id):
        ids = [
            str(player.id) for player in Player.objects.filter(squad_places__squad=squad).order_by("-name")
        ]
    query = f"""query Q($ids: [UUID!]!, $keys: [String!]) {{ compare(players: $ids, keys: $keys, last: 5)
      {all_of("Comparison")} }}"""
    keys = ["gained.total", "putts.round"]
    told = data(place.coach, query, ids=ids, keys=keys)["compare"]
    assert_same(rest(place, "compare", players=",".join(ids), keys=",".join(keys), last=5), told)
    told = data(place.coach, query, ids=ids)["compare"]
    assert_same(rest(place, "compare", players=",".join(ids), last=5), told)
    assert refusal(place.coach, query, ids=ids[:1])["extensions"]["errors"][0]["pointer"] == "/players"
    hidden = refusal(place.coach, query, ids=[ids[0], str(place.other_player.id)])
    assert hidden["extensions"]["status"] == 404
    many = refusal(place.coach, query, ids=ids, keys=["gained.total"] * 13)
    assert many["extensions"]["errors"][0]["pointer"] == "/keys"


def test_earlier_self(place: Place, player: str) -> None:
    day = dt.datetime.now(dt.UTC).date() - dt.timedelta(days=14)
    since = day - dt.timedelta(days=10)
    query = f"""query Q($id: UUID!, $day: Date!, $since: Date) {{ player(id: $id) {{
      earlierSelf(day: $day, since: $since, keys: ["gained.total", "putts.round"]) {all_of("EarlierSelf")} }} }}"""
    for given in ({}, {"since": since.isoformat()}):
        told = data(place.coach, query, id=player, day=day.isoformat(), **given)["player"]["earlierSelf"]
        found = rest(
            place, f"players/{player}/earlier-self", day=day, keys="gained.total,putts.round", **given
        )
        assert_same(found, told)


@pytest.mark.parametrize("outcome", ["travel", "side", "strokes_gained"])
def test_trial(place: Place, player: str, outcome: str) -> None:
    query = f"""query Q($id: UUID!, $outcome: Outcome!, $b: String!) {{ player(id: $id) {{
      trial(tag: club, a: "putter", b: $b, outcome: $outcome) {all_of("Trial")} }} }}"""
    told = data(place.coach, query, id=player, outcome=outcome, b="driver")["player"]["trial"]
    found = rest(place, f"players/{player}/trials", tag="club", a="putter", b="driver", outcome=outcome)
    assert_same(found, told)
    same = refusal(place.coach, query, id=player, outcome=outcome, b="Putter")
    assert same["extensions"]["status"] == 422


@pytest.mark.parametrize(
    ("field", "arguments", "kind", "address", "query"),
    [
        ("squadTable", "", "SquadTable", "table", {}),
        (
            "squadTable",
            ', last: 2, benchmark: "handicap:4"',
            "SquadTable",
            "table",
            {"last": 2, "benchmark": "handicap:4"},
        ),
        (
            "squadConditionAdjusted",
            ", last: 4",
            "SquadConditionAdjusted",
            "condition-adjusted",
            {"last": 4},
        ),
    ],
)
def test_tables_of_a_squad(
    place: Place, squad: Squad, field: str, arguments: str, kind: str, address: str, query: dict[str, Any]
) -> None:
    document = f"query Q($id: UUID!) {{ {field}(id: $id{arguments}) {all_of(kind)} }}"
    told = data(place.coach, document, id=str(squad.id))[field]
    assert_same(rest(place, f"squads/{squad.id}/{address}", **query), told)
    assert refusal(place.player_member, document, id=str(squad.id))["extensions"]["status"] == 404


def test_leaders_of_a_squad(place: Place, squad: Squad) -> None:
    document = f"""query Q($id: UUID!) {{ squad(id: $id) {{
      leaders(key: "gained.total", last: 5) {all_of("SquadLeaders")} }} }}"""
    told = data(place.coach, document, id=str(squad.id))["squad"]["leaders"]
    assert told["standings"]
    assert_same(rest(place, f"squads/{squad.id}/leaders", key="gained.total", last=5), told)
    assert refusal(place.player_member, document, id=str(squad.id))["extensions"]["status"] == 404


def test_documents_of_more_players_ask_the_database_no_more(place: Place) -> None:
    day = dt.datetime.now(dt.UTC).date() - dt.timedelta(days=7)

    def queries_for(squad: Squad) -> int:
        with CaptureQueriesContext(connection) as queries:
            told = data(place.coach, OF_EVERY_PLAYER, squad=str(squad.id), day=day.isoformat())
        assert all(one["summary"]["rounds"] for one in nodes(told["squad"]["players"]))
        return len(queries)

    two, four = fill_squad(place, 2, 2), fill_squad(place, 4, 3)
    queries_for(two)
    with club_scope(place.club.id):
        RememberedAnswer.objects.all().delete()
    computed = queries_for(two)
    with club_scope(place.club.id):
        RememberedAnswer.objects.all().delete()
    assert queries_for(four) == computed
    queries_for(two)  # now the answers of both are remembered
    assert queries_for(two) == queries_for(four) < computed
