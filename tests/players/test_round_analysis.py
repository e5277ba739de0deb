"""The analysis of a round: every number adds up and says what it came from."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from itertools import pairwise
from operator import attrgetter
from typing import Any
from uuid import UUID

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from golfstats.ground.clubs.models import Club
from golfstats.ground.walls.scope import club_scope
from players.conditions import analysis
from players.conditions.surface import analysed_greens, stored_greens
from players.figures import services as figures
from players.figures.models import RoundFigures, ShotFigures
from players.rounds.models import Round
from tests import factories
from tests.players.conftest import Place, client_of
from tests.players.simulated_golf import play_rounds

PARTS = ["tee", "approach", "short_game", "putting"]


def posted(place: Place, *, analysed: bool = True, **fields: Any) -> Round:
    with club_scope(place.club.id):
        round_ = factories.make_round(place.player_member, place.player, **fields)
        if analysed:
            analysis.analyse_rounds([round_.id])
    return round_


def read(place: Place, round_: Round, query: str = "", status: int = 200) -> Any:
    response = client_of(place.coach).get(f"/api/v1/rounds/{round_.id}/analysis{query}")
    assert response.status_code == status, response.content
    return response.json()


def test_first_hole_by_hand(place: Place) -> None:
    """A par of 390 yards: tee, 140 yards of fairway, 18 feet, 2 feet.

    The professional table (Broadie 2012; values from memory) has 1.009 (2 ft) and 2.91 (fairway, 140 yards);
    at 18 feet it lies between 1.78 (15 ft) and 1.87 (20 ft), at 390 yards near 3.96.
    """
    answer = read(place, posted(place))
    hole = answer["holes"][0]
    assert [shot["part"] for shot in hole["shots"]] == ["tee", "approach", "putting", "putting"]
    tee, approach, first_putt, tap_in = hole["shots"]
    assert approach["expected_before"] == pytest.approx(2.91, abs=0.005)
    assert 1.78 < first_putt["expected_before"] < 1.87
    assert tap_in["expected_before"] == pytest.approx(1.01, abs=0.005)
    assert tee["expected_before"] == pytest.approx(3.96, abs=0.02)
    assert first_putt["distance"] == 18.0
    assert first_putt["distance_unit"] == "ft"
    assert tap_in["expected_after"] == 0
    assert approach["part_rule"] == "from more than 100 yards"
    assert approach["words"].startswith("2.91 expected from 140 yd, fairway − 1.8")


def test_the_surface_is_worked_out_from_the_putting_that_is_stored(place: Place) -> None:
    """An analysis has the putts at hand; whoever works the surface out again later reads them. Both are the same."""
    with club_scope(place.club.id):
        rounds = play_rounds(place.player_member, place.player, 5, handicap=18)
        rounds.append(factories.make_round(place.player_member, place.player))
        analysed = figures.store_figures(Club.objects.get(), [round_.id for round_ in rounds])
        assert analysed is not None
        at_hand = analysed_greens(analysed.loaded, analysed.gained, analysed.kept)
        stored = stored_greens([round_.id for round_ in rounds])
    assert sum(len(one.greens) for one in stored) > 80
    in_one_order = partial(sorted, key=attrgetter("round_id"))
    for one, other in zip(in_one_order(at_hand), in_one_order(stored), strict=True):
        assert replace(one, greens=[]) == replace(other, greens=[])
        assert [replace(green, gained=0.0) for green in one.greens] == [
            replace(green, gained=0.0) for green in other.greens
        ]
        assert [green.gained for green in one.greens] == pytest.approx(
            [green.gained for green in other.greens]
        )


def test_rounds_in_pieces_are_analysed_as_at_once(place: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every round, and a player's rounds never in two pieces: a note compares a round with the player's others."""
    pieces: list[list[UUID]] = []

    def noted(club: Club, rounds: list[UUID]) -> figures.Analysed | None:
        pieces.append(rounds)
        return figures.store_figures(club, rounds)

    with club_scope(place.club.id):
        rounds = [
            round_.id
            for member, player in (
                (place.player_member, place.player),
                (place.other_member, place.other_player),
            )
            for round_ in play_rounds(member, player, 4, handicap=18)
        ]
        analysis.analyse_rounds(rounds)
        at_once = _stored()
        monkeypatch.setattr(analysis, "ROUNDS_AT_ONCE", 3)
        monkeypatch.setattr(analysis, "store_figures", noted)
        analysis.analyse_rounds(reversed(rounds))
        assert _stored() == at_once
    assert sorted(map(sorted, pieces)) == sorted([sorted(rounds[:4]), sorted(rounds[4:])])


def _stored() -> tuple[list[Any], list[Any]]:
    shots = ShotFigures.objects.order_by("shot_id")
    of_rounds = RoundFigures.objects.order_by("round_id")
    return (
        list(shots.values_list("shot_id", "part", "expected_before", "expected_after", "strokes_gained")),
        list(of_rounds.values_list("round_id", "benchmark_version", "version", "total", *PARTS)),
    )


@pytest.mark.parametrize("query", ["", "?benchmark=handicap:14.2", "?benchmark=handicap:%2B2"])
def test_everything_adds_up(place: Place, query: str) -> None:
    with club_scope(place.club.id):
        (round_,) = play_rounds(place.player_member, place.player, 1, handicap=18)
        analysis.analyse_rounds([round_.id])
    answer = read(place, round_, query)
    assert answer["source"] == ("computed for this answer" if query else "stored by the worker")
    for hole in answer["holes"]:
        shots = hole["shots"]
        assert hole["expected_from_tee"] == shots[0]["expected_before"]
        assert sum(s["strokes_gained"] for s in shots) == pytest.approx(hole["strokes_gained"], abs=1e-9)
        assert hole["strokes_gained"] == pytest.approx(hole["expected_from_tee"] - hole["score"], abs=1e-9)
        assert sum(part["strokes_gained"] for part in hole["parts"]) == pytest.approx(
            hole["strokes_gained"], abs=1e-9
        )
        for before, after in pairwise(shots):
            assert before["expected_after"] == pytest.approx(after["expected_before"], abs=1e-9)
    total = answer["total"]
    assert total["strokes_gained"] == pytest.approx(
        sum(h["strokes_gained"] for h in answer["holes"]), abs=1e-9
    )
    parts = total["parts"]
    assert [part["part"] for part in parts] == PARTS
    assert sum(part["strokes_gained"] for part in parts) == pytest.approx(total["strokes_gained"])
    assert sum(part["shots"] for part in parts) == sum(len(h["shots"]) for h in answer["holes"])


def test_stored_figures_are_those_computed(place: Place) -> None:
    round_ = posted(place)
    stored = read(place, round_)
    with club_scope(place.club.id):
        Club.objects.update(benchmark="handicap:5")
    computed = read(place, round_, "?benchmark=professional")
    assert computed["total"] == stored["total"]
    # The club has changed its mind since the worker ran: the answer is measured as the club now wants.
    assert read(place, round_)["benchmark"]["key"] == "handicap:5:women"
    assert read(place, round_)["source"] == "computed for this answer"


def test_pending_and_failed_are_said(place: Place) -> None:
    round_ = posted(place, analysed=False)
    pending = read(place, round_)
    assert (pending["analysis"], pending["total"], pending["holes"]) == ("pending", None, [])
    assert read(place, round_, "?benchmark=handicap:5")["total"]["holes_covered"] == 18
    with club_scope(place.club.id):
        figures.mark_failed(round_.id, "no table for the moon")
    failed = read(place, round_)
    assert failed["analysis"] == "failed"
    assert "no table for the moon" in failed["words"]


def test_holes_without_shots_have_no_strokes_gained(place: Place) -> None:
    holes = factories.round_body()["holes"]
    for hole in holes[:14]:
        hole["shots"], hole["score"] = [], 5
    answer = read(place, posted(place, holes=holes))
    assert answer["holes"][0]["strokes_gained"] is None
    assert not answer["holes"][0]["covered"]
    assert answer["total"]["holes_covered"] == 4
    assert "4 of 18 holes" in answer["total"]["words"]


def test_provenance_is_told(place: Place) -> None:
    benchmark = read(place, posted(place))["benchmark"]
    assert "from memory" in benchmark["provenance"]
    assert "off the green are from memory" in benchmark["caution"]


def test_metres(place: Place) -> None:
    hole = read(place, posted(place), "?unit=metres")["holes"][0]
    assert hole["length"] == pytest.approx(390 * 0.9144, abs=0.01)
    assert hole["shots"][2]["distance"] == pytest.approx(18 * 0.3048, abs=0.01)
    assert hole["shots"][2]["distance_unit"] == "m"


def test_who_may_read(place: Place) -> None:
    round_ = posted(place)
    for stranger in (place.other_member, place.greenkeeper):
        assert client_of(stranger).get(f"/api/v1/rounds/{round_.id}/analysis").status_code == 404


@pytest.mark.parametrize(
    ("query", "pointer"),
    [("?benchmark=club:12", "/benchmark"), ("?benchmark=scratch", "/benchmark"), ("?x=1", "/x")],
)
def test_what_does_not_exist_is_refused(place: Place, query: str, pointer: str) -> None:
    problem = read(place, posted(place), query, status=422)
    assert [fault["pointer"] for fault in problem["errors"]] == [pointer]


def test_queries_do_not_grow_with_shots(place: Place) -> None:
    holes = [{"number": n, "score": 5} for n in range(1, 18)] + [factories.round_body()["holes"][17]]
    counts = []
    for round_ in (posted(place, holes=holes), posted(place)):
        with CaptureQueriesContext(connection) as queries:
            read(place, round_)
        counts.append(len(queries))
    assert counts[0] == counts[1]
