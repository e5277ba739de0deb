"""What to work on: a planted weakness comes first, and what it is worth rests on the player's own record."""

from __future__ import annotations

import pytest

from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.ground.outbox.worker import drain
from golfstats.ground.walls.scope import club_scope
from players.coaching.models import PlayerReport
from players.coaching.reports.report import write_player_report
from players.handicap.models import PlayerHandicap
from players.handicap.recompute import recompute
from tests.golfers import weaken
from tests.players.coaching.seasons import play_season
from tests.players.conftest import Place, client_of


def ask(place: Place, **query: object) -> dict:
    response = client_of(place.coach).get(f"/api/v1/players/{place.player.id}/priorities", query)
    assert response.status_code == 200, response.content
    return response.json()


@pytest.mark.parametrize(("part", "factor"), [("putting", 1.3), ("approach", 1.3)])
def test_a_planted_weakness_comes_first(place: Place, part: str, factor: float) -> None:
    with club_scope(place.club.id):
        golfer = weaken(golfer_of_handicap(8.0, gender="women"), part, factor)
        play_season(place.manager, place.player, 30, golfer)
    found = ask(place, benchmark="handicap:8", effects=0)
    assert found["parts"][0]["group"] == part
    assert found["parts"][0]["rank"] == 1
    assert found["parts"][0]["chance"]["value"] > 0.95
    assert found["parts"][0]["chance_first"]["value"] > 0.8
    assert found["first"].startswith({"putting": "putts", "approach": "approaches"}[part])
    assert found["bands"][0]["group"].startswith(part)


def test_parts_that_nothing_tells_apart_are_ties(place: Place) -> None:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 12)
    found = ask(place, benchmark="handicap:2", effects=0)
    firsts = [part for part in found["parts"] if part["rank"] == 1]
    assert len(firsts) > 1
    assert all(part["tied"] for part in firsts)
    assert found["first"].endswith("cost alike as far as these rounds tell")


def test_closing_a_gap_lowers_the_score_and_the_index_of_the_record(place: Place) -> None:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 30, weaken(golfer_of_handicap(8.0), "putting", 1.3))
        recompute(place.player.id)
        stored = PlayerHandicap.objects.get(player=place.player).index
    whole = ask(place, target="handicap:2", share=1, effects=1)["parts"][0]
    half = ask(place, target="handicap:2", share=0.5, effects=1)["parts"][0]
    effect = whole["effect"]
    assert effect["index_before"] == pytest.approx(float(stored))
    assert effect["index_after"]["value"] < float(stored) - 0.5
    # The strokes saved are those to gain: closing all of it saves it all, half of it half.
    assert effect["fewer_strokes"]["value"] == pytest.approx(whole["to_gain"]["value"], rel=0.1)
    assert half["effect"]["fewer_strokes"]["value"] == pytest.approx(whole["to_gain"]["value"] / 2, rel=0.1)
    assert half["effect"]["index_after"]["value"] > effect["index_after"]["value"]
    assert whole["words"].startswith("putts as a woman of handicap 2: ")
    assert f"index {stored} → " in whole["words"]
    # The sentence has the interval and the sample of its figure.
    fewer = whole["effect"]["fewer_strokes"]
    assert f"({fewer['low']:.1f} to {fewer['high']:.1f}), {fewer['n']:,} shots" in whole["words"]


def test_a_report_written_before_the_record_was_folded_is_written_again(place: Place) -> None:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 12)
        drain()
        PlayerHandicap.objects.filter(player=place.player).delete()
        write_player_report(place.player.id)  # by another worker, a moment before the record is there
        recompute(place.player.id)
        drain()
        report = PlayerReport.objects.get(player=place.player)
    stored = [part["against_peer"]["words"] for part in report.document["priorities"]["parts"]]
    assert stored == [part["against_peer"]["words"] for part in ask(place)["parts"]]


def test_the_same_question_gets_the_same_answer(place: Place) -> None:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 12)
    assert ask(place, effects=1) == ask(place, effects=1)


def test_few_rounds_say_too_few_and_rank_nothing(place: Place) -> None:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 3)
    found = ask(place)
    assert {part["rank"] for part in found["parts"]} == {None}
    assert all("too few" in part["words"] for part in found["parts"])


def test_target_and_benchmark_exclude_each_other(place: Place) -> None:
    address = f"/api/v1/players/{place.player.id}/priorities"
    client = client_of(place.coach)
    assert client.get(address, {"target": "handicap:2", "benchmark": "professional"}).status_code == 422
    assert client.get(address, {"share": "1.5"}).status_code == 422
    assert client.get(address, {"share": "0"}).status_code == 422
