"""Loaded golf is what is stored, row by row, however it travels from the database."""

from __future__ import annotations

import datetime as dt
import math
import random
from typing import Any
from uuid import UUID

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from golfstats.calc.vocabulary import UNKNOWN
from golfstats.ground.walls.scope import club_scope
from players.golf import packed
from players.golf.bare import load_bare
from players.golf.loading import LoadedRecord, load_record
from players.golf.packed import Ids
from players.rounds.fields import SHOT_FIELDS, Kind, ShotField
from players.rounds.models import PlayedHole, Shot
from tests import factories
from tests.players.conftest import Place


def anything(of: ShotField, rng: random.Random) -> Any:
    """A value that the field's column may hold, none among them."""
    if of.words is not None:
        return rng.choice(["", *of.words.words()] if of.name != "lie" else of.words.words())
    if of.kind in (Kind.LENGTH, Kind.NUMBER):
        return rng.choice([None, 0.0, -12.75, 1 / 3, 1999.99])
    if of.kind == Kind.FLAG:
        return rng.choice([None, True, False])
    if of.kind == Kind.TEXT:
        return rng.choice(["", "driver", "7i", "Großvaters Holz", "a'b\\c"])
    return rng.choice([[], ["windy"], ["windy", "später", "\\x41"]])


def play(place: Place, rng: random.Random) -> None:
    """Three rounds of two players, whose shots say whatever shots can say."""
    for player, day in ((place.player, 3), (place.other_player, 1), (place.player, 2)):
        factories.make_round(place.manager, player, dt.date(2026, 6, day))
    free = [one for one in SHOT_FIELDS if one.kind not in (Kind.DISTANCE, Kind.HOLED, Kind.COUNT)]
    for shot in Shot.objects.all():
        for one in free:
            setattr(shot, one.stored_in, anything(one, rng))
        shot.save()
    for hole in PlayedHole.objects.all():
        hole.putts, hole.penalties = rng.choice([None, 0, 3]), rng.choice([None, 0, 2])
        hole.fairway_hit = rng.choice([None, True, False])
        hole.save()


def told(of: ShotField, value: Any) -> Any:
    """What an array says of a value."""
    if of.words is not None:
        return of.words.of(value) if value else UNKNOWN
    if value is None:
        return UNKNOWN if of.kind == Kind.FLAG else math.nan
    return float(value)


def is_as_stored(loaded: LoadedRecord) -> None:
    in_order = ("played_hole__round__player_id", "played_hole__round__played_on")
    stored = list(Shot.objects.order_by(*in_order, "played_hole__number", "number"))
    assert list(loaded.shot_ids) == [shot.id for shot in stored]
    shots = loaded.record.shots
    for row, shot in enumerate(stored):
        assert loaded.shot_ids[row] == shot.id
        assert loaded.hole_ids[int(shots.hole[row])] == shot.played_hole_id
        assert shots.number[row] == shot.number
        assert list(loaded.shot_tags[row]) == shot.tags
        club = int(shots.club[row])
        assert ("" if club == UNKNOWN else loaded.clubs[club]) == shot.club_used
        for one in SHOT_FIELDS:
            if one.array_is_plain:
                found = getattr(shots, one.counted_in)[row]
                assert found == pytest.approx(told(one, getattr(shot, one.stored_in)), abs=0, nan_ok=True), (
                    one
                )
    holes = loaded.record.holes
    for row, hole in enumerate(
        PlayedHole.objects.in_bulk(list(loaded.hole_ids))[one] for one in loaded.hole_ids
    ):
        assert loaded.round_ids[int(holes.round[row])] == hole.round_id
        assert (holes.number[row], holes.score[row]) == (hole.number, hole.score)
        assert (holes.par[row], holes.length[row]) == (
            factories.PARS[hole.number - 1],
            factories.LENGTHS[hole.number - 1],
        )
        for name in ("putts", "penalties", "fairway_hit", "green_in_regulation"):
            value = getattr(hole, name)
            assert getattr(holes, name)[row] == (UNKNOWN if value is None else value), name
        assert holes.complete[row]


@pytest.mark.parametrize("seed", range(3))
def test_every_value_of_every_shot_arrives(place: Place, seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    with club_scope(place.club.id):
        play(place, random.Random(seed))
        is_as_stored(load_record())
        monkeypatch.setattr(packed, "KEYS_AT_ONCE", 7)
        is_as_stored(load_record())


def test_the_bare_read_says_the_same_of_what_it_reads(place: Place) -> None:
    with club_scope(place.club.id):
        play(place, random.Random(4))
        PlayedHole.objects.filter(number=3).update(picked_up=True)
        Shot.objects.filter(played_hole__number=3).update(holed=False)
        Shot.objects.filter(played_hole__number=5, number=1).update(penalty_strokes=2)
        bare, full = load_bare(), load_record()
    assert (bare.players, bare.courses, bare.round_ids) == (full.players, full.courses, full.round_ids)
    assert bare.women.tolist() == full.women.tolist()
    read = {
        "rounds": ("player", "course", "day"),
        "holes": ("round", "number", "score", "picked_up", "complete"),
        "shots": (
            *("round", "hole", "number", "lie", "distance", "lie_after"),
            *("distance_after", "holed", "penalty"),
        ),
    }
    for table, columns in read.items():
        for column in columns:
            ours, theirs = (getattr(getattr(golf.record, table), column) for golf in (bare, full))
            np.testing.assert_array_equal(ours, theirs, err_msg=column)


def test_the_bare_read_leaves_out_what_came_while_it_read(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A round that is posted between the statements: its holes and shots belong to nothing that was read."""
    with club_scope(place.club.id):
        factories.make_round(place.manager, place.player, dt.date(2026, 6, 2))
        read_all = packed.read_all
        before = load_bare().record

        def meanwhile(of: Any, columns: Any) -> packed.Table:
            factories.make_round(place.manager, place.player, dt.date(2026, 6, 1 if of is Shot else 3))
            return read_all(of, columns)

        monkeypatch.setattr(packed, "read_all", meanwhile)
        during = load_bare().record
    np.testing.assert_array_equal(during.holes.score, before.holes.score)
    np.testing.assert_array_equal(during.shots.distance, before.shots.distance)
    np.testing.assert_array_equal(during.shots.hole, before.shots.hole)


def test_nobody_has_no_golf(place: Place) -> None:
    with club_scope(place.club.id):
        loaded, bare = load_record(), load_bare().record
    assert (len(bare.rounds), len(bare.holes), len(bare.shots)) == (0, 0, 0)
    assert (len(loaded.shot_ids), len(loaded.record.holes), len(loaded.record.shots)) == (0, 0, 0)


@given(st.lists(st.uuids(), unique=True), st.randoms())
def test_keys_find_their_rows(among: list[UUID], rng: random.Random) -> None:
    asked = [rng.choice(among) for _ in range(20)] if among else []
    rows = Ids.of(asked).rows_in(Ids.of(among))
    assert [among[row] for row in rows] == asked


@given(st.lists(st.uuids(), unique=True, min_size=1))
def test_a_key_of_no_row_is_refused(among: list[UUID]) -> None:
    with pytest.raises(KeyError):
        Ids.of(among).rows_in(Ids.of(among[1:]))
