"""Allowances, presets and playing handicaps: Appendix C, and what unions have published."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from golfstats.calc.handicap import PRESETS, PUBLISHED, Ratings, handicaps_on
from golfstats.calc.handicap.card.hole_scores import most_likely_range
from golfstats.calc.handicap.playing.course_handicap import course_handicap_same_nine_twice
from golfstats.calc.handicap.playing.playing_handicap import strokes_in_match

TEE = Ratings(Decimal("71.0"), 125, 71)
TODAY = date(2025, 6, 1)

APPENDIX_C = {
    "stroke_play": (95,),
    "stableford": (95,),
    "par_bogey": (95,),
    "maximum_score": (95,),
    "match_play": (100,),
    "four_ball_stroke_play": (85,),
    "four_ball_stableford": (85,),
    "four_ball_par_bogey": (90,),
    "four_ball_match_play": (90,),
    "foursomes": (50, 50),
    "greensomes": (60, 40),
    "pinehurst": (60, 40),
    "best_1_of_4_stroke_play": (75,),
    "best_2_of_4_stroke_play": (85,),
    "best_3_of_4_stroke_play": (100,),
    "all_4_of_4_stroke_play": (100,),
    "best_1_of_4_par_bogey": (75,),
    "best_2_of_4_par_bogey": (80,),
    "best_3_of_4_par_bogey": (90,),
    "all_4_of_4_par_bogey": (100,),
    "scramble_4": (25, 20, 15, 10),
    "scramble_3": (30, 20, 10),
    "scramble_2": (35, 15),
    "total_of_2_match_play": (100,),
}


def test_the_allowances_are_those_of_appendix_c():
    """USGA Rules of Handicapping web text, Appendix C."""
    assert {key: allowance.percents for key, allowance in PUBLISHED.allowances.items()} == APPENDIX_C


@pytest.mark.parametrize(("index", "course", "playing"), [("8.6", 10, 8), ("10.3", 11, 10)])
def test_course_and_playing_handicap_on_a_tee(index, course, playing):
    """USGA example of 6.2a/1: 71.0 / 125 / 71 at 85%."""
    found = handicaps_on(Decimal(index), TEE, TODAY)
    assert found.course_handicap == course
    assert found.playing_handicaps["four_ball_stroke_play"] == playing
    assert "foursomes" not in found.playing_handicaps


def test_great_britain_and_ireland_changed_both_formulas_in_april_2024():
    """National notices: Course Rating - par was added, and the Playing Handicap no longer rounds twice."""
    rules = PRESETS["great_britain_and_ireland"]
    tee = Ratings(Decimal("73.0"), 125, 71)
    before = handicaps_on(Decimal("8.6"), tee, date(2024, 3, 31), rules)
    after = handicaps_on(Decimal("8.6"), tee, date(2024, 4, 1), rules)
    # 8.6 x 125 / 113 = 9.513; with 73.0 - 71 it is 11.513. 85% of 10 is 8.5, of 11.513 is 9.786.
    assert (before.course_handicap, after.course_handicap) == (10, 12)
    assert before.playing_handicaps["four_ball_stroke_play"] == 9
    assert after.playing_handicaps["four_ball_stroke_play"] == 10


@pytest.mark.parametrize(
    ("preset", "change"),
    [
        ("published", date(2024, 1, 1)),
        ("germany", date(2024, 4, 1)),
        ("great_britain_and_ireland", date(2024, 4, 1)),
    ],
)
def test_the_2024_edition_came_into_force_on_its_day(preset, change):
    """USGA from 1 Jan 2024; Great Britain and Ireland and Germany from 1 Apr 2024."""
    rules = PRESETS[preset]
    assert rules.edition_for(change).name == "2024"
    assert rules.edition_for(date.fromordinal(change.toordinal() - 1)).name.startswith("2020")
    assert rules.edition_for(date(2015, 1, 1)).name.startswith("2020")


def test_match_play_gives_each_his_allowance_or_the_share_of_the_difference():
    """Appendix C: 90% of 10 and 15 is 9 and 14 (13.5 up), so 5; an English notice: 90% of the difference, 4.5 up."""
    assert strokes_in_match([10, 15], "four_ball_match_play") == (0, 5)
    on_difference = replace(PUBLISHED, match_play_on_difference=True)
    assert strokes_in_match([10, 21], "four_ball_match_play") == (0, 10)
    assert strokes_in_match([3, 19], "four_ball_match_play") == (0, 14)
    assert strokes_in_match([13, 19], "four_ball_match_play") == (0, 5)
    assert strokes_in_match([14, 20], "four_ball_match_play") == (0, 5)
    assert strokes_in_match([15, 21], "four_ball_match_play", on_difference) == (0, 5)
    # 90% of 16 and 26 is 14.4 and 23.4: 14 and 23; 90% of 5 and 8 is 4.5 and 7.2: 5 and 7, but 2.7 is 3.
    assert strokes_in_match([5, 8], "four_ball_match_play") == (0, 2)
    assert strokes_in_match([5, 8], "four_ball_match_play", on_difference) == (0, 3)


def test_the_most_likely_score_adds_what_the_distance_says():
    """Rule 3.3, USGA web text: 1 up to 5 ft on the green, 2 or 3 up to 20 yd, 3 or 4 beyond."""
    distances = ("up_to_5ft_on_green", "5ft_to_20yd", "over_20yd")
    assert [most_likely_range(d, 4, 10) for d in distances] == [(5, 5), (6, 7), (7, 8)]


def test_a_nine_played_twice_uses_the_nine_hole_slope_and_twice_the_rating():
    """From memory, 6.1: 18.0 x 125 / 113 + 70.4 - 72 = 18.31."""
    assert course_handicap_same_nine_twice(Decimal("18.0"), Ratings(Decimal("35.2"), 125, 36)) == 18
