"""Peers: each player against a golfer of their own handicap and gender, on the course as it is rated."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from golfstats.calc.strokes.benchmark import professional
from golfstats.calc.strokes.gained import strokes_gained
from golfstats.calc.strokes.handicap_golfer import handicap_golfer
from golfstats.calc.strokes.peer import RatedTees, peer, peer_handicap, peers, strokes_a_yard
from golfstats.calc.vocabulary import Lie

HOLE = (4, [(Lie.TEE, 420.0, 0), (Lie.ROUGH, 160.0, 0), (Lie.FAIRWAY, 20.0, 0), (Lie.GREEN, 2.0, 0)], True)
LENGTHS = np.array([400, 360, 510, 170, 420, 390, 150, 540, 430] * 2, dtype=float)


def two_players(make_record):
    record = make_record([[HOLE], [HOLE]])
    return replace(record, rounds=replace(record.rounds, player=np.array([0, 1])))


def test_each_player_is_measured_against_their_own_golfer(make_record):
    record = two_players(make_record)
    own = [handicap_golfer(5.0, "men"), handicap_golfer(24.0, "women")]
    gained = strokes_gained(record, peers(own))
    for player, golfer in enumerate(own):
        mine = record.shots.round == player
        np.testing.assert_allclose(gained[mine], strokes_gained(record, golfer)[mine])


def test_a_course_harder_than_it_is_long_is_allowed_for(make_record):
    """Rating + 1.04 × handicap × slope / 113 + 2.4: the published simplified expected score (German golf union 2024)."""
    golfer = handicap_golfer(15.0, "men")
    tees = RatedTees(course_rating=73.5, slope_rating=134.0, lengths=LENGTHS)
    extra = strokes_a_yard(golfer, 15.0, tees)
    measure = peers([golfer], np.array([extra]))
    holes = [(4, [(Lie.TEE, float(yards), 0)], True) for yards in LENGTHS]
    from_tees = measure.expected_in(make_record([holes]))
    assert from_tees.sum() == pytest.approx(73.5 + 1.04 * 15 * 134 / 113 + 2.4)
    assert extra > 0


def test_obstacles_cost_the_long_game_alone(make_record):
    golfer = handicap_golfer(15.0)
    record = make_record([[HOLE]])
    plain, hard = (strokes_gained(record, peers([golfer], extra)) for extra in (None, np.array([0.001])))
    np.testing.assert_allclose(hard - plain, [0.001 * 260, 0.001 * 110, 0.0, 0.0], atol=1e-12)


def test_a_nine_hole_course_has_half_the_handicap():
    golfer = handicap_golfer(15.0)
    nine = RatedTees(36.0, 120.0, LENGTHS[:9])
    eighteen = RatedTees(72.0, 120.0, LENGTHS)
    assert strokes_a_yard(golfer, 15.0, nine) == pytest.approx(strokes_a_yard(golfer, 15.0, eighteen))


def test_the_benchmark_of_one_player_keeps_the_name_of_its_golfer():
    alone = peers([handicap_golfer(12.0, "women")])
    assert (alone.key, alone.name) == ("handicap:12:women", "Woman of handicap 12")
    assert peers([professional(), handicap_golfer(12.0)]).key == "peer"
    assert alone.expected(np.array([Lie.GREEN]), np.array([3.0])) == handicap_golfer(12.0, "women").expected(
        np.array([Lie.GREEN]), np.array([3.0])
    )


@pytest.mark.parametrize(
    ("index", "gender", "whole"),
    [
        (17.4, "men", 17.0),
        (-2.6, "women", -3.0),
        (-7.0, "men", -5.0),
        (-0.2, "men", 0.0),
        (None, "women", 24.0),
    ],
)
def test_a_peer_has_the_handicap_to_the_whole_stroke(index, gender, whole):
    assert peer_handicap(index, gender) == whole
    assert peer(index, gender) is handicap_golfer(whole, gender)
