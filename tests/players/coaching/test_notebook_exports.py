"""What a notebook takes along, opened as a notebook would: by pandas, and by pyarrow for what is within the file."""

from __future__ import annotations

import csv
import io
import json
from typing import Any

import pandas as pd
import pyarrow.parquet as pq
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.conditions import analysis
from players.figures.models import RoundFigures
from players.files.outgoing import exports
from players.rounds.models import Shot
from tests import factories
from tests.players.conftest import Place, client_of
from tests.players.simulated_golf import play_rounds

TABLES = ("rounds", "shots", "figures")


def taken(member: Member, name: str, **query: str) -> bytes:
    response = client_of(member).get(f"/api/v1/export/{name}", query)
    assert response.status_code == 200, response.content
    return response.getvalue()


def frame(member: Member, table: str, **query: str) -> pd.DataFrame:
    return pd.read_parquet(io.BytesIO(taken(member, f"{table}.parquet", **query)))


@pytest.fixture
def played(place: Place) -> Place:
    """Two players' golf, analysed."""
    with club_scope(place.club.id):
        play_rounds(place.player_member, place.player, 3)
        play_rounds(place.other_member, place.other_player, 2)
        analysis.analyse_pending()
    return place


@pytest.mark.parametrize("table", TABLES)
def test_parquet_csv_and_json_hold_the_same(played: Place, table: str) -> None:
    parquet = frame(played.manager, table)
    lines = json.loads(taken(played.manager, f"{table}.json"))
    text = io.StringIO(taken(played.manager, f"{table}.csv").decode(), newline="")
    cells = list(csv.DictReader(text, strict=True))
    assert len(parquet) == len(cells) == len(lines) > 0
    assert set(parquet) <= set(cells[0])
    if table != "rounds":  # whose JSON is the rounds as they are read one by one
        assert list(parquet) == list(lines[0]) == list(cells[0])[: len(parquet.columns)]
    number = {"rounds": "gained_total", "shots": "strokes_gained", "figures": "value"}[table]
    of_csv = sum(float(line[number]) for line in cells if line[number])
    assert parquet[number].sum() == pytest.approx(of_csv, abs=0.01)


def test_shots_have_one_unit_and_what_a_notebook_needs(played: Place) -> None:
    shots = frame(played.manager, "shots")
    with club_scope(played.club.id):
        stored = {str(key): yards for key, yards in Shot.objects.values_list("id", "distance")}
    assert set(shots["distance_unit"]) == {"yd"}
    assert (shots["distance"] - shots["shot_id"].map(stored)).abs().max() < 1e-4
    metres = frame(played.manager, "shots", unit="metres")
    assert set(metres["distance_unit"]) == {"m"}
    assert metres["distance"].sum() == pytest.approx(shots["distance"].sum() * 0.9144)
    assert set(shots["par"]) == {3, 4, 5}
    assert set(shots["player_id"]) == {str(played.player.id), str(played.other_player.id)}
    assert set(shots["benchmark"]) == {"professional"}
    assert shots["benchmark_version"].str.match(r"professional, table [0-9a-f]{8}$").all()
    assert (shots["surface_disturbance"] == 0).all()
    by_round = shots.groupby("round")["strokes_gained"].sum()
    rounds = frame(played.manager, "rounds").set_index("round")
    assert (by_round - rounds["gained_total"]).abs().max() < 1e-9


def test_a_figure_of_a_round_is_what_the_service_tells_of_it(played: Place) -> None:
    """Also where several players are computed at once."""
    figures = frame(played.manager, "figures")
    client = client_of(played.manager)
    compared = 0
    for player in (played.player, played.other_player):
        own = figures[figures["player_id"] == str(player.id)]
        assert not own.duplicated(["round", "key"]).any()
        for key in sorted(set(own["key"])):
            told = client.get(f"/api/v1/players/{player.id}/figures/{key}").json()["rounds"]
            taken_along = own[own["key"] == key].set_index("round")
            assert {one["round"]: (pytest.approx(one["value"]), one["n"]) for one in told} == {
                str(key): (row["value"], row["n"]) for key, row in taken_along.iterrows()
            }, key
            compared += len(told)
    assert compared > 200


@pytest.mark.parametrize("table", TABLES)
def test_the_dictionary_is_in_the_file_and_of_every_column(played: Place, table: str) -> None:
    told = client_of(played.coach).get("/api/v1/export/dictionary").json()
    (own,) = [one for one in told["results"] if one["name"] == table]
    columns = {column["name"]: column for column in own["columns"]}
    schema = pq.read_schema(io.BytesIO(taken(played.manager, f"{table}.parquet")))
    assert schema.names == list(columns)
    assert json.loads(schema.metadata[b"data_dictionary"]) == own["columns"]
    found = frame(played.manager, table)
    for name, column in columns.items():
        assert column["meaning"].endswith("."), name
        assert schema.field(name).metadata[b"meaning"].decode() == column["meaning"]
        assert column["may_be_missing"] or not found[name].isna().any(), name
        words = {code["code"] for code in column["codes"]}
        assert not words or name == "key" or set(found[name].dropna()) <= words, name


def test_lengths_are_told_in_the_unit_asked_for(place: Place) -> None:
    def units(**query: str) -> dict[str, Any]:
        told = client_of(place.coach).get("/api/v1/export/dictionary", query).json()
        return {one["name"]: one["unit"] for one in told["results"][1]["columns"]}

    assert units()["distance"] == "yd"
    assert units(unit="metres") | {} == {
        name: "m" if unit == "yd" else unit for name, unit in units().items()
    }


@pytest.mark.parametrize("table", TABLES)
def test_nothing_to_take_along_is_a_table_without_lines(place: Place, table: str) -> None:
    assert len(frame(place.coach, table)) == 0
    assert json.loads(taken(place.coach, f"{table}.json")) == []


def test_a_file_comes_in_pieces_of_a_hundred_rounds(place: Place, monkeypatch: Any) -> None:
    monkeypatch.setattr(exports, "CHUNK", 2)
    with club_scope(place.club.id):
        for number in range(5):
            factories.make_round(place.manager, place.player, start_time=f"0{number}:00")
    response = client_of(place.coach).get("/api/v1/export/shots.parquet")
    pieces = list(response.streaming_content)
    assert len([piece for piece in pieces if piece]) == 4
    file = pq.ParquetFile(io.BytesIO(b"".join(pieces)))
    assert file.num_row_groups == 3
    assert file.read().num_rows == 5 * sum(factories.PARS)


def test_versions_tell_figures_of_another_benchmark_apart(played: Place) -> None:
    with club_scope(played.club.id):
        RoundFigures.objects.update(
            benchmark_version=""
        )  # as of a round that was analysed before versions were kept
    assert frame(played.manager, "rounds")["benchmark_version"].isna().all()
    changed = client_of(played.manager).patch("/api/v1/club", {"benchmark": "handicap:12"}, format="json")
    assert changed.status_code == 200, changed.content
    worker.drain()
    rounds = frame(played.manager, "rounds")
    assert {version.partition(", table")[0] for version in rounds["benchmark_version"]} == {
        "handicap:12:men",
        "handicap:12:women",
    }


def test_distances_of_any_unit_come_back_in(place: Place) -> None:
    """Shots of another program, with a unit beside each distance, in a club that posts feet on the green."""
    header = ["player", "course", "tee", "played_on", "hole", "lie", "distance", "distance_unit"]
    shots = [("tee", "165", "yd"), ("green", "6.096", "m"), ("green", "1.5", "ft")]
    facts = ["Ines Aldana", "Long course", "White", "2026-05-01"]
    lines = [[*facts, str(hole), *shot] for hole in range(1, 10) for shot in shots]

    def sent(lines: list[list[str]], **more: str) -> Any:
        text = io.StringIO()
        csv.writer(text).writerows([header, *lines])
        form = {"kind": "shots", "file": SimpleUploadedFile("shots.csv", text.getvalue().encode())}
        return client_of(place.manager).post("/api/v1/imports", form | more, format="multipart")

    assert sent(lines).status_code == 202
    worker.drain()
    with club_scope(place.club.id):
        found = Shot.objects.order_by("number").values_list("distance", flat=True)
        assert sorted({round(yards * 3, 2) for yards in found}) == [1.5, 20.0, 495.0]
    lines[1][-1] = "paces"
    (fault,) = sent(lines, dry_run="true").json()["faults"]
    assert (fault["code"], fault["line"], fault["column"]) == ("unknown_unit", 3, 8)


def test_an_export_of_putts_comes_back_to_the_inch(place: Place) -> None:
    feet = [0.3, 0.41, 1.0, 7.0, 7.77, 18.25, 33.33, 61.1, 99.9]
    with club_scope(place.club.id):
        holes = [
            {"number": n + 1, "shots": [{"lie": "tee", "distance": 165}, {"lie": "green", "distance": one}]}
            for n, one in enumerate(feet)
        ]
        factories.make_round(place.manager, place.player, holes=holes)
    text = taken(place.manager, "shots.csv")
    form = {"kind": "shots", "file": SimpleUploadedFile("shots.csv", text), "dry_run": "true"}
    looked = client_of(place.manager).post("/api/v1/imports", form, format="multipart").json()
    assert (looked["faults"], looked["already_there"]) == ([], 1)
    other = factories.make_club("stonebarrow")
    with club_scope(other.id):
        factories.make_tee_set(factories.make_course())
        manager = factories.make_member(Role.MANAGER)
        factories.make_player()
    form["file"].seek(0)
    sent = client_of(manager).post("/api/v1/imports", form | {"dry_run": "false"}, format="multipart")
    assert sent.status_code == 202, sent.content
    worker.drain()
    with club_scope(other.id):
        greens = Shot.objects.filter(lie="green").order_by("played_hole__number")
        assert [round(yards * 3, 4) for yards in greens.values_list("distance", flat=True)] == feet
