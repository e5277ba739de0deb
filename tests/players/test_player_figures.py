"""A player's figures: what they say, on what they rest, and that the shots behind them give them back."""

from __future__ import annotations

from statistics import mean, median
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from golfstats.ground.clubs.models import Club
from golfstats.ground.walls.scope import club_scope
from players.conditions import analysis
from tests import factories
from tests.players.conftest import Place, client_of
from tests.players.simulated_golf import play_rounds


@pytest.fixture
def season(place: Place) -> Place:
    """Twelve analysed rounds of a golfer of handicap 8."""
    with club_scope(place.club.id):
        rounds = play_rounds(place.player_member, place.player, 12)
        analysis.analyse_rounds([round_.id for round_ in rounds])
    return place


def read(place: Place, path: str, status: int = 200) -> Any:
    response = client_of(place.coach).get(f"/api/v1/players/{place.player.id}/{path}")
    assert response.status_code == status, response.content
    return response.json()


def all_shots(place: Place, key: str, query: str = "") -> list[Any]:
    """Every page of the shots behind a figure."""
    page = read(place, f"shots?figure={key}&page_size=100{query}")
    results = page["results"]
    while page["next"]:
        page = client_of(place.coach).get(page["next"]).json()
        results += page["results"]
    assert page["count"] == len(results)
    return results


def test_summary_adds_up_with_the_analysis_of_its_rounds(season: Place) -> None:
    answer = read(season, "summary?last=5")
    assert answer["window"]["rounds"] == 5
    assert [line["played_on"] for line in answer["rounds"]] == sorted(
        (line["played_on"] for line in answer["rounds"]), reverse=True
    )
    for line in answer["rounds"]:
        one = client_of(season.coach).get(f"/api/v1/rounds/{line['round']}/analysis").json()
        assert line["strokes_gained"]["total"] == pytest.approx(one["total"]["strokes_gained"])
        assert line["strokes_gained"]["putting"] == pytest.approx(
            next(part["strokes_gained"] for part in one["total"]["parts"] if part["part"] == "putting")
        )
    total = answer["strokes_gained"]["total"]
    assert total["n"] == 90
    assert total["value"] == pytest.approx(
        mean(line["strokes_gained"]["total"] for line in answer["rounds"]), abs=1e-3
    )
    assert total["low"] < total["value"] < total["high"]
    parts = [answer["strokes_gained"][part]["value"] for part in ("tee", "approach", "short_game", "putting")]
    assert sum(parts) == pytest.approx(total["value"], abs=1e-3)
    scoring = {figure["key"]: figure for figure in answer["scoring"]}
    assert scoring["score.total"]["value"] == pytest.approx(
        mean(line["score"] for line in answer["rounds"]), abs=1e-3
    )


def test_summary_in_words(season: Place) -> None:
    answer = read(season, "summary")
    in_all = answer["strokes_gained"]["total"]["words"].replace("strokes (", "strokes a round (")
    assert "strokes a round (" in in_all
    assert in_all.endswith("), 216 holes")
    assert answer["words"].startswith(f"{in_all}, against a professional: ")
    approach = answer["strokes_gained"]["approach"]["words"]
    assert approach.startswith("−")
    assert approach.endswith("216 holes")
    assert answer["window"]["words"].startswith("All 12 rounds there are")


def test_too_few_is_no_number(place: Place) -> None:
    with club_scope(place.club.id):
        factories.make_round(place.player_member, place.player)
    total = read(place, "summary")["strokes_gained"]["total"]
    assert (total["value"], total["low"], total["enough"], total["n"]) == (None, None, False, 18)
    assert total["words"].startswith("too few")
    nothing = client_of(place.other_member).get(f"/api/v1/players/{place.other_player.id}/summary").json()
    assert nothing["window"]["rounds"] == 0
    assert nothing["words"].startswith("Too few")


def test_window_by_dates(season: Place) -> None:
    answer = read(season, "summary?from=2025-05-03&to=2025-05-06")
    assert [line["played_on"] for line in answer["rounds"]] == [
        "2025-05-06",
        "2025-05-05",
        "2025-05-04",
        "2025-05-03",
    ]


def test_easier_benchmark_gains_more(season: Place) -> None:
    """A man of handicap 8 expects 1.04 × 8 + 2.4 strokes over par on the reference course (simplified expected
    score as published by the German golf union, 2024), a touring professional about two under. To a woman the same
    yards are a longer course.
    """
    professional = read(season, "summary")["strokes_gained"]["total"]["value"]
    man = read(season, "summary?benchmark=handicap:8:men")["strokes_gained"]["total"]["value"]
    assert 8 < man - professional < 16
    own = read(season, "summary?benchmark=handicap:8")
    assert own["benchmark"]["key"] == "handicap:8:women"
    assert own["strokes_gained"]["total"]["value"] > man + 4


@pytest.mark.parametrize(
    ("key", "statistic"),
    [("approach.100-125.proximity", median), ("misses.green.cost", mean), ("gained.putting", mean)],
)
def test_shots_behind_a_figure_give_it_back(season: Place, key: str, statistic: Any) -> None:
    answer = read(season, f"figures/{key}")
    figure = answer["figure"]
    results = all_shots(season, key)
    assert len(results) == figure["n"]
    assert statistic(one["value"] for one in results) == pytest.approx(figure["value"], abs=1e-3)
    assert sum(one["n"] for one in answer["rounds"]) == figure["n"]
    days = [one["played_on"] for one in results]
    assert days == sorted(days, reverse=True)


def test_pages_go_back_and_end(season: Place) -> None:
    address = "shots?figure=putts.round&last=2&page_size=20"
    second = read(season, f"{address}&offset=20")
    assert second["next"] is None
    assert len(second["results"]) == 16
    first = client_of(season.coach).get(second["previous"]).json()
    assert first["previous"] is None
    assert first["results"] == read(season, address)["results"]
    assert read(season, f"{address}&offset=500")["results"] == []


def test_link_of_a_figure_leads_to_its_shots(season: Place) -> None:
    figure = read(season, "figures?keys=putts.round&last=4&benchmark=handicap:10")["figures"][0]
    page = client_of(season.coach).get(figure["shots"]).json()
    assert page["count"] == figure["n"] == 72
    assert page["figure"]["value"] == figure["value"]
    assert page["benchmark"]["key"] == "handicap:10:women"
    assert page["results"][0]["hole"]["number"] == 1


def test_whole_catalogue(season: Place) -> None:
    figures = read(season, "figures")["figures"]
    keys = [figure["key"] for figure in figures]
    assert len(keys) == len(set(keys)) > 100
    assert {
        "score.par3",
        "gained.total",
        "approach.200+.gained",
        "misses.fairway.rate",
        "club.driver.distance",
    } < set(keys)
    assert all(figure["unit"] and figure["words"] for figure in figures)
    # Asked for by its key, the figure is the same.
    driver = next(figure for figure in figures if figure["key"] == "club.driver.distance")
    assert read(season, "figures?keys=club.driver.distance")["figures"] == [driver]
    assert "the driver" in driver["name"]


def test_metres_and_the_clubs_own_bands(season: Place) -> None:
    yards = read(season, "figures/club.driver.distance")["figure"]
    metres = read(season, "figures/club.driver.distance?unit=metres")
    assert metres["figure"]["value"] == pytest.approx(yards["value"] * 0.9144, abs=0.01)
    assert metres["figure"]["unit"] == "m"
    with club_scope(season.club.id):
        Club.objects.update(approach_band_edges=[60, 120])
    assert [band["band"] for band in read(season, "approach")["bands"]] == ["60-120", "120+"]


@pytest.mark.parametrize(
    ("path", "pointers"),
    [
        ("figures?keys=putts.round,nonsense", ["/keys"]),
        ("shots?figure=nonsense", ["/figure"]),
        ("shots", ["/figure"]),
        ("summary?last=0&colour=blue", ["/last", "/colour"]),
        ("summary?last=5&from=2025-01-01", [""]),
        ("putting?benchmark=handicap:99", ["/benchmark"]),
    ],
)
def test_what_cannot_be_answered_is_refused(season: Place, path: str, pointers: list[str]) -> None:
    assert [fault["pointer"] for fault in read(season, path, status=422)["errors"]] == pointers


def test_a_club_may_have_any_name(season: Place) -> None:
    answer = read(season, "figures/club.2/3 wood.no 2.distance")
    # A club of a player's own words is kept under one name, however it is written.
    assert answer["figure"]["key"] == "club.2/3-wood.no-2.distance"
    assert answer["figure"]["n"] == 0


def test_unknown_figure_is_not_found(season: Place) -> None:
    assert read(season, "figures/nonsense", status=404)["status"] == 404


PATHS = [
    "summary",
    "figures",
    "figures/putts.round",
    "shots?figure=putts.round",
    "approach",
    "putting",
    "misses",
    "distances",
]


@pytest.mark.parametrize("path", PATHS)
def test_who_may_read(place: Place, path: str) -> None:
    address = f"/api/v1/players/{place.player.id}/{path}"
    for reader in (place.player_member, place.coach, place.manager):
        assert client_of(reader).get(address).status_code == 200
    for stranger in (place.other_member, place.greenkeeper):
        assert client_of(stranger).get(address).status_code == 404


@pytest.mark.parametrize("path", PATHS)
def test_queries_do_not_grow_with_rounds(place: Place, path: str) -> None:
    counts = []
    for rounds in (2, 4):
        with club_scope(place.club.id):
            play_rounds(place.player_member, place.player, rounds, seed=rounds)
        with CaptureQueriesContext(connection) as queries:
            read(place, path)
        counts.append(len(queries))
    assert counts[0] == counts[1]
