"""Exports are opened again as other programs would: by Python's csv and json."""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
from typing import Any

from django.db import connection
from django.test.utils import CaptureQueriesContext
from hypothesis import given
from hypothesis import strategies as st

from golfstats.ground.walls.scope import club_scope
from players.conditions import analysis
from players.figures.models import ShotFigures
from players.files.csv_format import plain_text, safe_text
from players.files.outgoing import exports
from players.rounds.models import PlayedHole
from tests.factories import make_round
from tests.players.coaching.seasons import play_season
from tests.players.conftest import Place, client_of

DANGEROUS = ["=1+1", "+cmd", "-2+3", "@SUM(A1)", "\tx", "＝1+1", 'plain, with comma and "quotes"']


def lines_of(member: Any, name: str, **query: str) -> list[dict[str, str]]:
    response = client_of(member).get(f"/api/v1/export/{name}", query)
    assert response.status_code == 200, response.content
    assert response.headers["Content-Type"].startswith("text/csv")
    assert f'filename="{name}"' in response.headers["Content-Disposition"]
    text = response.getvalue().decode()
    assert text.count("\r\n") == text.count("\n")  # RFC 4180: lines end with CRLF
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


def test_rounds_with_the_score_of_each_hole(place: Place) -> None:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 3)
        scores = list(
            PlayedHole.objects.order_by("round__played_on", "number").values_list("score", flat=True)
        )
    lines = lines_of(place.player_member, "rounds.csv")
    assert [int(line[f"score_{hole}"]) for line in lines for hole in range(1, 19)] == scores
    assert {line["player"] for line in lines} == {"Ines Aldana"}
    assert lines == sorted(lines, key=lambda line: line["played_on"])


def test_shots_with_strokes_gained(place: Place) -> None:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 2)
        analysis.analyse_pending()
        total = sum(ShotFigures.objects.values_list("strokes_gained", flat=True))
    lines = lines_of(place.coach, "shots.csv")
    assert abs(sum(float(line["strokes_gained"]) for line in lines) - total) < 0.01
    assert {line["part"] for line in lines} == {"tee", "approach", "short_game", "putting"}
    assert next(line["shot"] for line in lines if line["hole"] == "1") == "1"


def test_no_cell_is_a_formula(place: Place) -> None:
    with club_scope(place.club.id):
        for number, text in enumerate(DANGEROUS):
            make_round(place.manager, place.player, note=text, ball=text, start_time=f"10:{number:02}")
    lines = lines_of(place.manager, "rounds.csv")
    for line in lines:
        assert not line["note"].startswith(("=", "+", "-", "@", "\t", "＝")), line["note"]
    assert "'=1+1" in {line["note"] for line in lines}
    assert DANGEROUS[-1] in {line["ball"] for line in lines}


@given(st.text() | st.from_regex(r"'*[=+@\t\r\n＝＋－＠-].*"))
def test_a_guarded_text_is_given_back_and_begins_no_formula(text: str) -> None:
    assert plain_text(safe_text(text)) == text
    assert not safe_text(text).startswith(("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠"))


def test_json_holds_rounds_that_could_be_posted_again(place: Place) -> None:
    with club_scope(place.club.id):
        make_round(place.manager, place.player)
    response = client_of(place.player_member).get("/api/v1/export/rounds.json")
    (found,) = json.loads(response.getvalue())
    again = client_of(place.player_member).post("/api/v1/rounds", found["round"], format="json")
    assert again.status_code == 201, again.content


def test_everybody_gets_what_he_may_see(place: Place) -> None:
    with club_scope(place.club.id):
        for player in (place.player, place.other_player):
            make_round(place.manager, player)
    seen = {
        member.name: {line["player"] for line in lines_of(member, "rounds.csv")}
        for member in (place.manager, place.coach, place.player_member, place.other_member, place.greenkeeper)
    }
    assert seen == {
        "manager": {"Ines Aldana", "Tomas Rehn"},
        "coach": {"Ines Aldana"},
        "ines": {"Ines Aldana"},
        "tomas": {"Tomas Rehn"},
        "greenkeeper": set(),
    }


def test_filters_apply_and_unknown_ones_are_refused(place: Place) -> None:
    with club_scope(place.club.id):
        make_round(place.manager, place.player)
    assert lines_of(place.coach, "shots.csv", played_from="2026-07-01") == []
    assert client_of(place.coach).get("/api/v1/export/shots.csv", {"colour": "red"}).status_code == 422
    accepting = client_of(place.coach).get("/api/v1/export/rounds.csv", headers={"Accept": "text/csv"})
    assert accepting.status_code == 200


def test_queries_grow_by_chunks_and_not_by_rounds(place: Place) -> None:
    with club_scope(place.club.id):
        make_round(place.manager, place.player)
    with CaptureQueriesContext(connection) as one:
        lines_of(place.coach, "shots.csv")
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 6)
    with CaptureQueriesContext(connection) as seven:
        lines_of(place.coach, "shots.csv")
    assert len(seven) == len(one)


def test_nothing_is_lost_between_chunks(place: Place, monkeypatch: Any) -> None:
    """Five rounds on three days, two at a time."""
    monkeypatch.setattr(exports, "CHUNK", 2)
    with club_scope(place.club.id):
        for number, day in enumerate(["2026-05-01", "2026-05-01", "2026-05-02", "2026-05-02", "2026-05-03"]):
            make_round(place.manager, place.player, dt.date.fromisoformat(day), start_time=f"0{number}:00")
    lines = lines_of(place.coach, "rounds.csv")
    assert len({line["round"] for line in lines}) == len(lines) == 5
