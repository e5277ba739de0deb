"""Nine holes that a golfer can check on paper, then rounds of which little was noted.

The holes are so made that every definition has a case that counts and one that does not. The
definitions are common practice, no source, unless one is named in the module.
"""

import numpy as np
import pytest

from golfstats.calc.figures.catalogue import CATALOGUE
from golfstats.calc.vocabulary import UNKNOWN
from tests.calc.record_builder import analysed_of, hole, record_of


def nine_holes(round=0):
    """38 strokes against a par of 36."""
    return [
        # Par: fairway, green, two putts.
        hole(4, [("tee", 400), ("fairway", 150), ("green", 6), ("green", 1)], round=round),
        # Par: bunker, out and one putt.
        hole(3, [("tee", 160), ("sand", 12), ("green", 2)], round=round),
        # Bogey: fairway missed, green hit in three, three putts.
        hole(
            5,
            [("tee", 520), ("rough", 280), ("fairway", 60), ("green", 8), ("green", 1), ("green", 0.3)],
            round=round,
        ),
        # Double bogey: penalty off the tee, then 30 yards in three.
        hole(
            4,
            [("tee", 380, {"penalty": 1}), ("rough", 200), ("rough", 30), ("green", 3), ("green", 0.5)],
            round=round,
        ),
        # Birdie straight after.
        hole(4, [("tee", 350), ("fairway", 100), ("green", 2)], round=round),
        # Par: green hit with the tee shot.
        hole(3, [("tee", 170), ("green", 10), ("green", 1)], round=round),
        # Par: fringe is not the green; chip and a putt.
        hole(4, [("tee", 410), ("rough", 170), ("fringe", 9), ("green", 1)], round=round),
        # Bogey: two bunker shots, two putts.
        hole(
            5,
            [("tee", 500), ("fairway", 250), ("sand", 20), ("sand", 15), ("green", 4), ("green", 0.5)],
            round=round,
        ),
        # Birdie: chipped in.
        hole(4, [("tee", 390), ("fairway", 140), ("rough", 20)], round=round),
    ]


ON_PAPER = {
    "score.par3": 3.0,
    "score.par4": 4.0,
    "score.par5": 6.0,
    "score.to_par": 4.0,  # two over for nine holes
    "score.front_nine": 38.0,
    "score.bounce_back": 2 / 3,  # after holes 3, 4 and 8
    "fairways.hit": 4 / 7,
    "greens.in_regulation": 4 / 9,  # 1, 3, 5, 6
    "saves.par_or_better": 3 / 5,
    "saves.up_and_down": 3 / 5,  # missed at 2, 4, 7, 8, 9
    "saves.sand": 1 / 2,
    "putts.round": 28.0,  # 2 1 3 2 1 2 1 2 0
    "putts.green_in_regulation": 2.0,
    "putts.three": 1 / 9,
    "penalties.round": 2.0,
}


@pytest.mark.parametrize(("key", "expected"), ON_PAPER.items())
def test_nine_holes_played_six_times(key, expected):
    analysed = analysed_of(record_of([built for round in range(6) for built in nine_holes(round)]))
    spec = CATALOGUE[key]
    figure = spec.figure(spec.observe(analysed))
    assert figure.value == pytest.approx(expected)
    assert figure.low <= figure.value + 1e-9
    assert figure.high >= figure.value - 1e-9
    assert figure.unit == spec.unit


def test_one_loop_of_nine_is_too_few_for_a_round_figure():
    spec = CATALOGUE["putts.round"]
    figure = spec.figure(spec.observe(analysed_of(record_of(nine_holes()))))
    assert (figure.value, figure.n) == (None, 9)


def test_figures_lead_to_the_shots_and_holes_behind_them():
    analysed = analysed_of(record_of(nine_holes()))
    saves = CATALOGUE["saves.sand"].observe(analysed)
    assert analysed.record.shots.distance[saves.shot].tolist() == [12, 20]
    assert saves.hole.tolist() == [1, 7]
    bounced = CATALOGUE["score.bounce_back"].observe(analysed)
    assert analysed.record.holes.number[bounced.hole].tolist() == [4, 5, 9]
    assert bounced.shot.tolist() == [UNKNOWN] * 3


def test_bounce_back_does_not_reach_into_the_next_round():
    record = record_of([hole(4, score=6), hole(4, score=3, round=1), hole(4, score=3, round=1)])
    assert len(CATALOGUE["score.bounce_back"].observe(analysed_of(record))) == 0


def test_scorecards_alone_give_scores_and_whatever_was_noted():
    card = record_of(
        [
            hole(4, score=5, putts=2, fairway_hit=0, green_in_regulation=0, penalties=1),
            hole(4, score=4, putts=1, fairway_hit=1, green_in_regulation=0),
            hole(5, score=5, putts=2, green_in_regulation=1),
            hole(3, score=4),
            hole(4, score=8, picked_up=True, putts=1),
        ]
    )
    analysed = analysed_of(card)

    def seen(key):
        return CATALOGUE[key].observe(analysed).value.tolist()

    assert seen("score.par4") == [5, 4, 8]
    assert seen("score.to_par") == [18, 0, 0, 18, 72]
    assert seen("putts.round") == [36, 18, 36], "putts on a hole picked up are not all putts"
    assert seen("putts.green_in_regulation") == [2]
    assert seen("fairways.hit") == [0, 1]
    assert seen("greens.in_regulation") == [0, 0, 1]
    assert seen("saves.par_or_better") == [0, 1]
    assert seen("penalties.round") == [18]
    for key in ("saves.up_and_down", "saves.sand", "gained.total", "misses.green.rate"):
        assert seen(key) == []


def test_what_the_player_noted_stands_against_what_his_shots_suggest():
    shots = [("tee", 400), ("fairway", 150), ("green", 6), ("green", 1)]
    record = record_of([hole(4, shots, fairway_hit=0, green_in_regulation=0, putts=3)])
    analysed = analysed_of(record)
    assert CATALOGUE["fairways.hit"].observe(analysed).value.tolist() == [0]
    assert CATALOGUE["greens.in_regulation"].observe(analysed).value.tolist() == [0]
    assert CATALOGUE["putts.round"].observe(analysed).value.tolist() == [54]


def test_a_hole_given_up_too_late_for_its_green_and_its_save_counts_as_missed():
    """Three strokes on a par four and not on the green; a chip and a concession of a short putt is up and down."""
    lost = hole(
        4, [("tee", 400, {"penalty": 1}), ("rough", 180), ("rough", 30)], holed=False, score=8, picked_up=True
    )
    conceded = hole(4, [("tee", 400), ("rough", 160), ("rough", 20)], holed=False, score=4, picked_up=True)
    analysed = analysed_of(record_of([lost, conceded]))
    assert CATALOGUE["greens.in_regulation"].observe(analysed).value.tolist() == [0, 0]
    assert CATALOGUE["saves.up_and_down"].observe(analysed).value.tolist() == [0, 1]
    assert CATALOGUE["penalties.round"].observe(analysed).value.tolist() == [18, 0]
    assert len(CATALOGUE["putts.round"].observe(analysed)) == 0


def test_a_hole_given_up_counts_only_what_is_certain():
    on_in_two = hole(4, [("tee", 400), ("fairway", 150), ("green", 6)], holed=False, score=6, picked_up=True)
    lost = hole(4, [("tee", 400), ("rough", 180)], holed=False, score=8, picked_up=True)
    analysed = analysed_of(record_of([on_in_two, lost]))
    greens = CATALOGUE["greens.in_regulation"].observe(analysed)
    assert (greens.hole.tolist(), greens.value.tolist()) == ([0], [1])
    assert len(CATALOGUE["putts.round"].observe(analysed)) == 0
    assert CATALOGUE["fairways.hit"].observe(analysed).value.tolist() == [1, 0]


def test_a_drop_on_the_fairway_is_no_fairway_hit_and_delays_the_green():
    shots = [("tee", 400, {"penalty": 1}), ("fairway", 200), ("green", 5), ("green", 1)]
    analysed = analysed_of(record_of([hole(4, shots)]))
    assert CATALOGUE["fairways.hit"].observe(analysed).value.tolist() == [0]
    assert CATALOGUE["greens.in_regulation"].observe(analysed).value.tolist() == [0]


def test_an_eagle_holed_from_the_fairway_is_a_green_in_regulation_without_putts():
    analysed = analysed_of(record_of([hole(4, [("tee", 400), ("fairway", 150)])]))
    assert CATALOGUE["greens.in_regulation"].observe(analysed).value.tolist() == [1]
    assert CATALOGUE["putts.round"].observe(analysed).value.tolist() == [0]


def test_totals_need_every_hole_of_the_round():
    full = [hole(4, score=4 + (number > 9), round=0) for number in range(1, 19)]
    nine = [hole(4, score=4, round=1) for _ in range(9)]
    late = [hole(4, score=5, round=2, number=number) for number in range(10, 19)]
    analysed = analysed_of(record_of(full + nine + late))
    total = CATALOGUE["score.total"].observe(analysed)
    assert (total.round.tolist(), total.value.tolist()) == ([0], [81])
    front = CATALOGUE["score.front_nine"].observe(analysed)
    assert (front.round.tolist(), front.value.tolist()) == ([0, 1], [36, 36])
    back = CATALOGUE["score.back_nine"].observe(analysed)
    assert (back.round.tolist(), back.value.tolist()) == ([0, 2], [45, 45])


def test_a_record_without_any_hole_is_too_few_everywhere():
    analysed = analysed_of(record_of([]))
    for spec in CATALOGUE.values():
        figure = spec.figure(spec.observe(analysed))
        assert not figure.enough
        assert figure.n == 0
    assert np.size(analysed.strokes_gained) == 0
