"""The record as a player reads it: hand-worked histories, the rule beside each."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from golfstats.calc.handicap import (
    PRESETS,
    PUBLISHED,
    HandicapRules,
    HoleScore,
    PenaltyScore,
    Ratings,
    Score,
    build_record,
)
from tests.calc.handicap.weekly import (
    AGS_SCORES,
    PLAIN,
    card,
    played,
    starts_with,
    steady,
    week,
)

# Adjusted gross score


def test_the_adjusted_gross_score_is_shown_hole_by_hole_with_each_maximum():
    """Case AGS-01 (Rule 3.1b, computed): Course Handicap 12, 97 strokes."""
    record = build_record([Score("a", week(1), PLAIN, holes=card())], starts_with("12.0"))
    gross = record.line("a").gross
    assert (gross.course_handicap, gross.score, gross.holes_played) == (12, 97, 18)
    second, eleventh = gross.holes[1], gross.holes[10]
    assert (second.score, second.maximum, second.adjusted) == (9, 8, 8)
    assert second.maximum_why == "net double bogey: par + 2 + 1 received"
    assert second.note == "9 reduced to the maximum"
    assert (eleventh.strokes_received, eleventh.maximum, eleventh.adjusted) == (0, 5, 5)


def test_before_an_index_the_maximum_is_par_and_five():
    """Rule 3.1a."""
    scores = [*AGS_SCORES[:-1], 14]
    line = build_record([Score("a", week(1), PLAIN, holes=card(scores))]).line("a")
    last = line.gross.holes[-1]
    assert (last.maximum, last.adjusted, last.maximum_rule) == (10, 10, "3.1a")
    assert line.gross.course_handicap is None


def test_a_picked_up_hole_counts_the_lower_of_most_likely_and_maximum():
    """Rule 3.3; Germany counts net double bogey whatever was most likely."""
    holes = [*card()[:17], HoleScore(18, 5, 14, picked_up=True, most_likely=6)]
    score = Score("a", week(1), PLAIN, holes=tuple(holes))
    published = build_record([score], starts_with("12.0")).line("a").gross.holes[-1]
    german = build_record([score], starts_with("12.0"), PRESETS["germany"]).line("a").gross.holes[-1]
    assert (published.adjusted, german.adjusted) == (6, 7)


def test_points_become_strokes_by_the_course_handicap():
    """Case SD18-09 (Rule 5.1a, Stableford form): 33 points off 18, differential 19.6; and 3 down is 33."""
    tee = Ratings(Decimal("71.3"), 125, 72)
    scores = [Score("a", week(1), tee, points=33), Score("b", week(1), tee, sequence=1, holes_up=-3)]
    record = build_record(scores, starts_with("16.9"))
    assert record.line("a").gross.course_handicap == 18
    assert [line.differential for line in record.lines] == [Decimal("19.6")] * 2


# The index


def test_the_record_shows_the_recent_twenty_and_the_best_eight():
    """Rules 5.2b, 5.5: 25 scores rising by one stroke; the 20 newest are 85 to 104, the best 85 to 92."""
    scores = [played(f"s{number}", week(number), 80 + number) for number in range(25)]
    record = build_record(scores, rules=HandicapRules(low_index_days=1))
    assert [line.key for line in record.lines if line.counts_today] == [f"s{n}" for n in range(5, 13)]
    assert record.line("s24").place == 1
    assert record.line("s5").place == 20
    assert record.line("s4").place is None
    assert record.lines[-1].calculation.average == Decimal("16.5")


def test_both_rounds_of_a_day_are_measured_by_the_index_in_force_that_morning():
    """Rules 5.4, 5.9: index 10.0; two scores of 75 are each 7.0 better, -1 twice.

    1.0, 2.0 and six times 8.0 give 51 / 8 = 6.375.
    """
    day = week(30)
    record = build_record([*steady(), played("am", day, 75), played("pm", day, 75, sequence=1)])
    morning, afternoon = record.line("am"), record.line("pm")
    assert morning.index_in_force == afternoon.index_in_force == Decimal("10.0")
    assert afternoon.index_before == morning.calculated_index == Decimal("8.1")
    assert (morning.exceptional, afternoon.exceptional) == (Decimal("-1.0"), Decimal("-1.0"))
    assert (morning.adjusted_differential, afternoon.adjusted_differential) == (
        Decimal("1.0"),
        Decimal("2.0"),
    )
    assert record.calculated_index == Decimal("6.4")
    assert (morning.needs_review, afternoon.needs_review) == (False, True)


def test_a_late_playing_conditions_figure_recomputes_the_day_and_what_follows():
    """Rules 5.1a, 5.6, 5.9: 76 is 6.0 better than 10.0; with conditions +1 it is 7.0 better."""
    plain = build_record([*steady(), played("a", week(30), 76)])
    adjusted = build_record([*steady(), played("a", week(30), 76, pcc=1)])
    assert plain.line("a").exceptional == 0
    assert adjusted.line("a").exceptional == Decimal("-1.0")
    assert adjusted.line("a").differential == Decimal("3.0")
    assert adjusted.calculated_index == Decimal("8.1")


def test_conditions_are_ignored_while_switched_off():
    """Swedish Golf Federation: none from 20 May 2020 to 12 Jan 2022."""
    scores = [played("a", date(2022, 1, 12), 90, pcc=2), played("b", date(2022, 1, 13), 90, pcc=2)]
    record = build_record(scores, rules=PRESETS["sweden"])
    assert [line.differential for line in record.lines] == [Decimal("18.0"), Decimal("16.0")]


def test_the_low_index_is_that_of_the_year_before_the_last_score_on_record():
    """R&A interpretation 5.7/1: 10.6 set on 1 Mar 2020 is still used on 1 Apr 2021, and not after it."""
    tee = Ratings(Decimal("71.4"), 113, 71)
    early = [played(f"s{n:02}", date(2020, 2, 11) + timedelta(days=n), 82, tee) for n in range(20)]
    assert early[-1].played_on == date(2020, 3, 1)
    days = [date(2021, 1, 1), date(2021, 4, 1), date(2021, 4, 2)]
    late = [played(str(day), day, 95, tee) for day in days]
    record = build_record(early + late, rules=HandicapRules(low_index_counts_early=False))
    assert record.line("s19").calculated_index == Decimal("10.6")
    assert record.line("2021-01-01").low_index == Decimal("10.6")
    assert record.line("2021-04-01").low_index == Decimal("10.6")
    assert record.line("2021-04-02").low_index == record.line("2021-01-01").calculated_index


def test_rising_scores_meet_the_soft_and_then_the_hard_cap():
    """Rule 5.8. Index 10.0 from twenty differentials; from then on 100 every week.

    Twelve of 28.0 leave eight of 10.0. Thirteen: (7 x 10.0 + 28.0) / 8 = 12.25. The early index of 8.0
    is set aside, so the low index is 10.0. Fourteen: 14.5, soft cap 13.75. Fifteen: 16.75 -> 16.8, +6.8,
    14.9. Sixteen: 19.0 is +9.0: hard cap 15.0.
    """
    rules = HandicapRules(low_index_counts_early=False)
    scores = steady() + [played(f"t{n}", week(20 + n), 100) for n in range(16)]
    record = build_record(scores, rules=rules)
    found = [record.line(f"t{n}").calculated_index for n in (11, 12, 13, 14, 15)]
    assert found == [Decimal(text) for text in ("10.0", "12.3", "13.8", "14.9", "15.0")]
    last = record.line("t15").calculation
    assert (last.average, last.soft_cap, last.hard_cap) == (Decimal("19.0"), True, True)


def test_the_first_calculation_with_twenty_scores_is_not_capped():
    """Danish Golf Union: caps start once a Low Handicap Index is there. A setting says otherwise.

    An 84 (12.0, index 10.0 in force from three scores) and then 100s: the 20th average is free.
    """
    scores = steady(3) + [played(f"t{n}", week(3 + n), 100) for n in range(17)]
    free = build_record(scores).lines[-1]
    capped = build_record(scores, rules=HandicapRules(cap_at_20th_score=True)).lines[-1]
    # 3 x 10.0 and 5 x 28.0 give 21.25; the lowest index so far is 10.0 - 2.0 = 8.0, hard cap 13.0.
    assert free.calculated_index == Decimal("21.3")
    assert capped.calculated_index == Decimal("13.0")


def test_a_score_posted_late_stands_where_it_was_played_and_recomputes_what_follows():
    """Rule 4.3."""
    scores = steady()
    without = build_record(scores)
    late = build_record([*scores, played("late", week(5) + timedelta(days=2), 92)])
    keys = [line.key for line in late.lines]
    assert keys.index("late") == keys.index("s5") + 1
    assert late.line("s5").index_after == without.line("s5").index_after
    assert late.line("s19").calculation.on_record == 20
    assert late.line("late").place == 15


def test_no_index_is_above_the_maximum():
    """Rule 5.3."""
    record = build_record(steady(3, total=140))
    assert record.calculated_index == Decimal("54.0")
    assert record.lines[-1].calculation.limited


def test_a_penalty_score_equals_the_lowest_differential_and_takes_a_place():
    """Rule 7.1b."""
    scores = [played(str(total), week(number), total) for number, total in enumerate((90, 88, 95))]
    penalty = PenaltyScore("p", week(10), "low", "round not posted")
    record = build_record([*scores, penalty])
    assert record.line("p").differential == Decimal("16.0")
    assert record.line("p").state == "penalty"
    # Four differentials: the lowest less 1.0.
    assert record.calculated_index == Decimal("15.0")


def test_the_trend_names_day_index_and_score():
    record = build_record(steady(4))
    assert [(point.on, point.index, point.key) for point in record.trend] == [
        (week(2), Decimal("8.0"), "s2"),
        (week(3), Decimal("9.0"), "s3"),
    ]


def test_input_that_makes_no_sense_is_refused():
    with pytest.raises(ValueError, match="same key"):
        build_record([played("a", week(0), 90), played("a", week(1), 90)])
    with pytest.raises(ValueError, match="either its holes or exactly one total"):
        Score("a", week(0), PLAIN)
    with pytest.raises(ValueError, match="playing conditions"):
        played("a", week(0), 90, pcc=4)
    with pytest.raises(ValueError, match="Slope Rating"):
        Ratings(Decimal("72.0"), 54, 72)
    with pytest.raises(ValueError, match="occur once"):
        Score("a", week(0), PLAIN, holes=(HoleScore(1, 4, 1, 5), HoleScore(2, 4, 1, 5)))
    with pytest.raises(ValueError, match="order of their dates"):
        HandicapRules(editions=tuple(reversed(PUBLISHED.editions)))
