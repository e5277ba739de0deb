"""Putting, misses, distances and the squad's table, on simulated rounds of known golfers."""

from __future__ import annotations

import re
from dataclasses import asdict
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.ground.clubs.models import Role
from golfstats.ground.operations import Asker
from golfstats.ground.walls.scope import club_scope
from players.conditions import analysis
from players.figures.answers.misses import misses
from players.figures.answers.squads import squad_table
from players.figures.answers.summary import summary
from players.golf.questions import WindowQuery
from players.handicap.models import PlayerHandicap
from players.people.models import Player, SquadPlayer
from tests import factories
from tests.players.conftest import Place, client_of
from tests.players.simulated_golf import play_rounds

HANDICAP = 8.0


@pytest.fixture
def season(place: Place) -> Place:
    """Sixteen analysed rounds."""
    with club_scope(place.club.id):
        play_rounds(place.player_member, place.player, 16, HANDICAP)
        analysis.analyse_pending()
    return place


def read(place: Place, path: str) -> Any:
    response = client_of(place.coach).get(f"/api/v1/players/{place.player.id}/{path}")
    assert response.status_code == 200, response.content
    return response.json()


def test_putting_spreads_are_the_golfers(season: Place) -> None:
    """The simulated golfer's true spreads lie near; pooling and whole feet move them a little."""
    golfer = golfer_of_handicap(HANDICAP)
    answer = read(season, "putting")
    direction, distance = answer["spreads"]["direction"], answer["spreads"]["distance"]
    assert direction["value"] == pytest.approx(np.degrees(golfer.putting_direction_sd), rel=0.25)
    assert distance["value"] == pytest.approx(100 * golfer.putting_distance_sd, rel=0.25)
    assert direction["low"] < direction["value"] < direction["high"]
    page = client_of(season.coach).get(direction["shots"]).json()
    assert page["count"] == direction["n"]
    assert "usual golfer" in answer["spreads"]["words"]


def test_benchmark_putts_like_a_professional(season: Place) -> None:
    """Two spreads fitted to professionals' counts are 1.02 degrees and 8% (Gelman 2019)."""
    benchmark = read(season, "putting")["spreads"]["benchmark"]
    assert benchmark["direction"] == pytest.approx(1.02, abs=0.1)
    assert benchmark["distance"] == pytest.approx(8, abs=1)


def test_chances_of_a_first_putt_add_up_and_fall_with_distance(season: Place) -> None:
    putts = read(season, "putting")["first_putts"]
    for one in putts:
        chances = [one[name]["value"] for name in ("one_putt", "two_putts", "three_putts_or_more")]
        assert sum(chances) == pytest.approx(1, abs=0.002)
    holed = [one["one_putt"]["value"] for one in putts]
    assert holed == sorted(holed, reverse=True)


def test_make_curve_counts_every_putt_once(season: Place) -> None:
    answer = read(season, "putting")
    curve = answer["make_curve"]
    assert sum(one["n"] for one in curve) == answer["spreads"]["direction"]["n"]
    assert curve[0]["value"] > curve[-1]["value"]
    page = client_of(season.coach).get(curve[2]["shots"]).json()
    assert page["count"] == curve[2]["n"]
    assert all(5 <= one["shot"]["distance"] < 8 for one in page["results"])
    assert {one["value"] for one in page["results"]} <= {0.0, 1.0}


def test_under_reading_asks_only_putts_that_had_the_length(season: Place) -> None:
    """What is judged and what is set aside are all misses to a known side of a break."""
    answer = read(season, "putting")
    test = answer["under_reading"]["breaking_misses"]
    (low,) = (one for one in answer["habits"] if one["key"] == "putting.miss.low")
    assert test["low"] + test["high"] + test["set_aside"] == low["n"]
    assert test["set_aside"] > 0
    assert test["words"].startswith(
        f"{test['low']} of {test['low'] + test['high']} misses that had the length were low"
    )


def of_target(answer: Any, target: str) -> dict[str, Any]:
    """The figures of missed greens or fairways by the last part of their keys."""
    return {one["key"].removeprefix(f"misses.{target}."): one for one in answer[target]["figures"]}


def test_a_miss_is_told_with_interval_and_sample(season: Place) -> None:
    answer = read(season, "misses")
    figures = of_target(answer, "green")
    missed, cost = figures["rate"]["words"], figures["cost"]["words"]
    assert answer["green"]["words"].startswith(
        f"Greens missed: {missed}. A miss costs {cost}; a simulated golfer"
    )
    assert re.fullmatch(r"0\.\d+ strokes \(0\.\d+ to 0\.\d+\), \d+ shots", cost)


def test_parts_of_the_cost_of_a_miss_add_up(season: Place) -> None:
    for target in ("green", "fairway"):
        figures = of_target(read(season, "misses"), target)
        by_finish = [figure["value"] for name, figure in figures.items() if name.startswith("cost.")]
        assert sum(by_finish) == pytest.approx(figures["cost_with_shot_after"]["value"], abs=1e-3)
        assert figures["cost"]["benchmark_golfer"]["n"] > 500
        difference = figures["cost"]["value"] - figures["cost"]["benchmark_golfer"]["value"]
        assert figures["cost"]["versus_benchmark_golfer"]["value"] == pytest.approx(difference, abs=1e-3)
        assert figures["cost"]["squad"] is None


def test_a_miss_against_golfers_alike_and_better(season: Place) -> None:
    alike = read(season, "misses?benchmark=handicap:8")
    better = read(season, "misses?benchmark=handicap:0")
    assert "handicap 8 " in alike["benchmark_golfer"]
    assert (
        of_target(alike, "green")["rate"]["benchmark_golfer"]["value"]
        > of_target(better, "green")["rate"]["benchmark_golfer"]["value"]
    )
    assert "best golfer that the simulator knows" in read(season, "misses")["benchmark_golfer"]


def mates(place: Place, count: int) -> list[Player]:
    made = []
    for number in range(count):
        player = factories.make_player(f"Mate {number}")
        SquadPlayer.objects.create(squad=place.squad, player=player)
        play_rounds(place.manager, player, 3, handicap=20, seed=number)
        made.append(player)
    return made


def test_squad_is_compared_only_when_nobody_can_be_told_from_it(season: Place) -> None:
    with club_scope(season.club.id):
        mates(season, 2)
    assert of_target(read(season, "misses"), "green")["rate"]["squad"] is None
    with club_scope(season.club.id):
        third = factories.make_player("Third")
        SquadPlayer.objects.create(squad=season.squad, player=third)
        play_rounds(season.manager, third, 3, handicap=20, seed=9)
    answer = read(season, "misses?last=1")
    assert of_target(answer, "fairway")["cost"]["versus_squad"]["words"] == "too few on one side to compare"
    answer = read(season, "misses")
    rate = of_target(answer, "green")["rate"]
    assert answer["squad"].startswith("3 others")
    assert rate["versus_squad"]["value"] == pytest.approx(rate["value"] - rate["squad"]["value"], abs=1e-3)
    assert answer["window"]["rounds"] == 16  # the player's own


@pytest.mark.parametrize("against", ["handicap:8", "peer"])
def test_answers_of_several_are_those_of_each(season: Place, against: str) -> None:
    """Read together, men and women with squads of their own are told what they are told alone."""
    query = WindowQuery(benchmark=against, last=3)
    with club_scope(season.club.id):
        man = mates(season, 3)[0]
        Player.objects.filter(id=man.id).update(rating_gender="men")
        alone = factories.make_player("Alone")
        play_rounds(season.manager, alone, 2, handicap=15, seed=4)
        second = factories.make_squad("Second team", season.coach, man, alone)
        people = list(Player.objects.order_by("name"))
        for read in (misses, summary):
            together = read(Asker(season.manager), people, query)
            for player, told in zip(people, together, strict=True):
                assert asdict(told) == asdict(read(Asker(season.manager), [player], query)[0])
        both = squad_table(
            Asker(season.manager), [season.squad, second], WindowQuery(benchmark="professional")
        )
        assert (
            both[1] == squad_table(Asker(season.manager), [second], WindowQuery(benchmark="professional"))[0]
        )


def test_clubs_go_as_far_as_the_golfer_hits_them(season: Place) -> None:
    """Half of the full swings lie between the quarters, and gaps are what the medians differ by."""
    answer = read(season, "distances")
    clubs = {club["club"]: club for club in answer["clubs"]}
    lengths = golfer_of_handicap(HANDICAP).club_lengths()
    assert clubs["driver"]["distance"]["value"] == pytest.approx(lengths["driver"], rel=0.06)
    assert "putter" not in clubs
    for club in answer["clubs"]:
        if club["lower_quarter"]["enough"]:
            assert (
                club["lower_quarter"]["value"] <= club["distance"]["value"] <= club["upper_quarter"]["value"]
            )
    first = answer["gaps"][0]
    expected = clubs[first["longer"]]["distance"]["value"] - clubs[first["shorter"]]["distance"]["value"]
    assert first["gap"]["value"] == pytest.approx(expected, abs=1e-3)
    assert "50%" in answer["caution"]


def test_a_club_of_few_swings_is_told_without_its_middle_half(season: Place) -> None:
    """From eight full swings on the middle is told, the quarters only from eleven on."""
    clubs = [club for last in (2, 3, 4, 6) for club in read(season, f"distances?last={last}")["clubs"]]
    told = [club for club in clubs if club["distance"]["enough"]]
    few = [club for club in told if not club["lower_quarter"]["enough"]]
    assert {club["distance"]["n"] >= 11 for club in few} == {False}
    assert {club["distance"]["n"] >= 11 for club in told if club not in few} == {True}
    assert few[0]["words"].endswith(
        f"by {few[0]['distance']['n']} full swings: too few to tell the middle half."
    )


def test_approach_bands_say_how_they_changed_or_why_not(season: Place) -> None:
    bands = {band["band"]: band["figures"] for band in read(season, "approach")["bands"]}
    usual = bands["125-150"]["mean_proximity"]
    assert usual["change"]["low"] < usual["change"]["value"] < usual["change"]["high"]
    assert usual["trend"].endswith("likely to have got better")
    assert bands["125-150"]["shots"]["chance_better"] is None
    few = read(season, "approach?last=3")["bands"][3]["figures"]["mean_proximity"]
    assert (few["change"], few["trend"]) == (None, "too few for a trend: 3 of at least 6 rounds")


def table(place: Place, query: str = "", member: Any = None) -> Any:
    response = client_of(member or place.coach).get(f"/api/v1/squads/{place.squad.id}/table{query}")
    assert response.status_code == 200, response.content
    return response.json()


@pytest.mark.parametrize("against", ["", "&benchmark=handicap:10"])
def test_squad_table_says_what_the_players_summaries_say(season: Place, against: str) -> None:
    with club_scope(season.club.id):
        mates(season, 2)
        analysis.analyse_pending()
        PlayerHandicap.objects.update_or_create(player=season.player, defaults={"index": Decimal("-1.2")})
    answer = table(season, f"?last=10{against}")
    assert [row["player"]["name"] for row in answer["players"]] == ["Ines Aldana", "Mate 0", "Mate 1"]
    assert [row["rounds"] for row in answer["players"]] == [10, 3, 3]
    assert [row["handicap_index"] for row in answer["players"]] == ["+1.2", None, None]
    for row in answer["players"]:
        summary = client_of(season.manager).get(
            f"/api/v1/players/{row['player']['id']}/summary?last=10{against}"
        )
        for part, figure in row["strokes_gained"].items():
            other = summary.json()["strokes_gained"][part]
            assert [figure[k] for k in ("value", "low", "high")] == pytest.approx(
                [other[k] for k in ("value", "low", "high")], abs=2e-4
            )
            assert figure["n"] == other["n"]


def test_squad_table_says_what_is_still_to_come(season: Place) -> None:
    assert table(season)["rounds_waiting"] == 0
    with club_scope(season.club.id):
        mates(season, 1)
    waiting = table(season)
    assert waiting["rounds_waiting"] == 3
    assert waiting["players"][1]["strokes_gained"]["total"]["words"].startswith("too few")
    assert table(season, "?benchmark=handicap:9")["rounds_waiting"] == 0


def test_who_may_read_a_squads_table(place: Place) -> None:
    with club_scope(place.club.id):
        other_coach = factories.make_member(Role.COACH, "other-coach")
    assert table(place, member=place.manager)["players"][0]["rounds"] == 0
    for stranger in (other_coach, place.player_member, place.greenkeeper):
        address = f"/api/v1/squads/{place.squad.id}/table"
        assert client_of(stranger).get(address).status_code == 404


@pytest.mark.parametrize("query", ["", "?benchmark=handicap:10"])
def test_queries_of_the_table_do_not_grow_with_players(season: Place, query: str) -> None:
    with CaptureQueriesContext(connection) as with_one:
        table(season, query)
    with club_scope(season.club.id):
        mates(season, 2)
        analysis.analyse_pending()
    with CaptureQueriesContext(connection) as with_three:
        assert all(row["rounds"] for row in table(season, query)["players"])
    assert len(with_one) == len(with_three)
