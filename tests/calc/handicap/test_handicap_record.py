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
    SetInitialIndex,
    build_record,
)

PLAIN = Ratings(Decimal("72.0"), 113, 72)
"""A course of standard difficulty: a differential is the score less 72."""
NINE = Ratings(Decimal("36.0"), 113, 36)
FIRST_DAY = date(2025, 1, 6)

AGS_PARS = [4, 5, 3, 4, 4, 4, 3, 5, 4, 4, 3, 5, 4, 4, 4, 3, 4, 5]
AGS_INDEXES = [7, 3, 17, 1, 11, 9, 15, 5, 13, 8, 18, 4, 2, 10, 12, 16, 6, 14]
AGS_SCORES = [5, 9, 4, 8, 4, 6, 3, 6, 5, 5, 6, 7, 9, 4, 5, 3, 8, 6]


def week(number: int) -> date:
    return FIRST_DAY + timedelta(weeks=number)


def played(key: str, day: date, total: int, ratings: Ratings = PLAIN, **more) -> Score:
    return Score(key, day, ratings, adjusted_total=total, **more)


def nine(key: str, day: date, total: int, **more) -> Score:
    return played(key, day, total, NINE, holes_in_round=9, **more)


def steady(scores: int = 20, total: int = 82) -> list[Score]:
    """The same score every week: twenty differentials of 10.0 give an index of 10.0."""
    return [played(f"s{number}", week(number), total) for number in range(scores)]


def card(scores=AGS_SCORES, holes: int = 18) -> tuple[HoleScore, ...]:
    columns = zip(AGS_PARS, AGS_INDEXES, scores, strict=True)
    return tuple(
        HoleScore(number, par, index, strokes)
        for number, (par, index, strokes) in enumerate(columns, start=1)
        if number <= holes
    )


def starts_with(index: str) -> list[SetInitialIndex]:
    return [SetInitialIndex(FIRST_DAY, Decimal(index), "transferred")]


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


# Nine holes, missing holes, editions


def test_nine_holes_get_the_expected_value_of_the_index_in_force():
    """Case SD9-01: 45 on 35.2 / 125 with an index of 18.0 gives 19.4."""
    score = Score("a", week(1), Ratings(Decimal("35.2"), 125, 36), adjusted_total=45, holes_in_round=9)
    line = build_record([score], starts_with("18.0")).line("a")
    assert line.differential == Decimal("19.4")
    assert line.differential_parts.expected == Decimal("10.56")
    assert not line.differential_parts.estimated


def test_nines_before_the_first_index_are_added_in_pairs():
    """Rule 4.5: 54 holes in any mix. 46 + 47 on par 36 is 21.0; 90 and 92 are 18.0 and 20.0; 18.0 - 2.0."""
    record = build_record(
        [played("a", week(0), 90), nine("b", week(1), 46), played("c", week(2), 92), nine("d", week(3), 47)]
    )
    assert [line.state for line in record.lines] == ["counts", "paired", "counts", "counts"]
    assert record.line("b").paired_with == "d"
    assert record.line("d").differential == Decimal("21.0")
    assert [line.index_after for line in record.lines] == [None, None, None, Decimal("16.0")]


def test_a_nine_without_a_partner_gets_its_expected_value_once_there_is_an_index():
    """Our reading of Rule 4.5. Three of 18.0 give 16.0, so 46 counts as 10.0 + (1.04 x 16.0 + 2.4) / 2 =
    19.52. With four differentials the index is the lowest less 1.0.
    """
    scores = [nine("n", week(0), 46), *[played(key, week(1), 90) for key in "abc"]]
    assert build_record(scores[:3]).line("n").state == "held"
    record = build_record(scores)
    assert record.line("c").index_after == Decimal("16.0")
    assert (record.line("n").state, record.line("n").differential) == ("counts", Decimal("19.5"))
    assert record.line("n").index_after == record.calculated_index == Decimal("17.0")
    assert record.recent_keys == ("c", "b", "a", "n")


def test_one_nine_gives_the_first_index_in_denmark():
    """Danish Golf Union manual: Rule 4.5 and table row for one differential, -2.0."""
    record = build_record([nine("a", week(0), 50)], rules=PRESETS["denmark"])
    assert record.line("a").differential == Decimal("28.0")
    assert record.line("a").differential_parts.estimated
    assert record.calculated_index == Decimal("26.0")


def test_a_round_is_computed_by_the_edition_in_force_when_it_was_played():
    """Rule 3.2: net par on missing holes until 2023 (14 holes needed), expected value from 2024."""
    holes = tuple(
        HoleScore(number, par, index, par + 1 if number <= 15 else None)
        for number, (par, index) in enumerate(zip(AGS_PARS, AGS_INDEXES, strict=True), start=1)
    )
    actions = [SetInitialIndex(date(2023, 1, 1), Decimal("18.0"), "transferred")]
    score = {"ratings": PLAIN, "holes": holes, "valid_reason": "darkness"}
    old = build_record([Score("a", date(2023, 12, 31), **score)], actions).line("a")
    new = build_record([Score("a", date(2024, 1, 1), **score)], actions).line("a")
    assert (old.standing, new.standing) == ("18_hole_with_net_par", "18_hole_with_expected")
    # One over everywhere, and one stroke received on each missing hole: 18 over par.
    assert old.differential == Decimal("18.0")
    # 15 over on the played holes; (1.04 x 18.0 + 2.4) x 3 / 18 = 3.52.
    assert new.differential == Decimal("18.5")
    assert new.differential_parts.estimated


def test_the_european_text_of_2020_added_a_stroke():
    """Danish manual, 3.2: 12 holes played, net par on six and one stroke; nine holes were net par and one.

    Index 18.0: 12 over on the holes played, 6 received, one more: 19.0. Nine: 10.0 over and 10.0.
    """
    holes = tuple(
        HoleScore(number, par, index, par + 1 if number <= 12 else None)
        for number, (par, index) in enumerate(zip(AGS_PARS, AGS_INDEXES, strict=True), start=1)
    )
    day = date(2023, 7, 1)
    scores = [
        Score("a", day, PLAIN, holes=holes, valid_reason="darkness"),
        nine("b", day, 46, sequence=1),
    ]
    actions = [SetInitialIndex(date(2023, 1, 1), Decimal("18.0"), "transferred")]
    record = build_record(scores, actions, PRESETS["denmark"])
    assert [line.differential for line in record.lines] == [Decimal("19.0"), Decimal("20.0")]
    notes = [hole.note for hole in record.line("a").gross.holes[12:]]
    assert (
        notes
        == ["not played: net par and one stroke more (Rule 3.2)"] + ["not played: net par (Rule 3.2)"] * 5
    )


def test_a_closed_hole_is_net_par_only_where_the_association_allows_it():
    """Interpretation 3.2/2: 17 over on 17 holes and one stroke received: 18.0; else the expected value."""
    holes = tuple(
        HoleScore(number, par, index, par + 1 if number < 18 else None, out_of_play=number == 18)
        for number, (par, index) in enumerate(zip(AGS_PARS, AGS_INDEXES, strict=True), start=1)
    )
    score = Score("a", week(1), PLAIN, holes=holes)
    allowed = build_record([score], starts_with("18.0"), HandicapRules(out_of_play_net_par=True)).line("a")
    usual = build_record([score], starts_with("18.0")).line("a")
    assert (allowed.standing, allowed.differential) == ("18_hole", Decimal("18.0"))
    # 17.0 and (1.04 x 18.0 + 2.4) / 18 = 1.17.
    assert (usual.standing, usual.differential) == ("18_hole_with_expected", Decimal("18.2"))


def test_the_expected_value_can_be_rounded_before_the_sum():
    """German notice: two decimals. Index 17.3: the expected 10.196 is 10.20."""
    tee = Ratings(Decimal("36.15"), 113, 36)
    score = Score("a", week(1), tee, adjusted_total=46, holes_in_round=9)
    exact = build_record([score], starts_with("17.3")).line("a")
    rounded = build_record([score], starts_with("17.3"), HandicapRules(expected_places=2)).line("a")
    # 9.85 + 10.196 = 20.046; 9.85 + 10.20 = 20.05.
    assert (exact.differential, rounded.differential) == (Decimal("20.0"), Decimal("20.1"))


def test_the_open_band_of_the_exceptional_score_is_a_setting():
    """5.9: a gap of 9.95 lies between 9.9 and 10.0. A differential of 0.05 against 10.0."""
    tee = Ratings(Decimal("71.95"), 113, 72)
    low = Score("low", week(30), tee, adjusted_total=72)
    one = build_record([*steady(), low]).line("low")
    two = build_record([*steady(), low], rules=HandicapRules(exceptional_two_above="9.9")).line("low")
    assert (one.exceptional, two.exceptional) == (Decimal("-1.0"), Decimal("-2.0"))


def test_solo_rounds_count_unless_the_jurisdiction_says_otherwise():
    """Rule 2.1."""
    score = played("a", week(0), 90, alone=True)
    assert build_record([score]).line("a").state == "counts"
    assert build_record([score], rules=HandicapRules(solo_rounds_count=False)).line("a").state != "counts"


@pytest.mark.parametrize(
    ("holes", "more", "words"),
    [
        (8, {"valid_reason": "darkness"}, "8 holes played"),
        (15, {}, "without a valid reason"),
        (18, {"certified": False}, "not certified"),
        (18, {"format": "scramble_4"}, "not authorised"),
        (18, {"disqualified_with_advantage": True}, "significant scoring advantage"),
    ],
)
def test_a_score_that_does_not_count_says_why_and_leaves_the_index(holes, more, words):
    """Rules 2.1, 2.1a, 2.1b, 2.2, 3.2a."""
    card_played = tuple(
        hole if hole.number <= holes else HoleScore(hole.number, hole.par, hole.stroke_index)
        for hole in card()
    )
    record = build_record([Score("a", week(1), PLAIN, holes=card_played, **more)], starts_with("12.0"))
    line = record.line("a")
    assert line.state == "not_acceptable"
    assert words in line.reason
    assert line.index_after == record.calculated_index == Decimal("12.0")


def test_nine_of_eighteen_holes_count_as_nine_where_the_nine_has_ratings():
    """Rules 2.2a and 2.2b, 2024."""
    card_played = tuple(
        hole if hole.number <= 9 else HoleScore(hole.number, hole.par, hole.stroke_index) for hole in card()
    )
    score = Score("a", week(1), PLAIN, holes=card_played, nines=(NINE, NINE))
    line = build_record([score], starts_with("12.0")).line("a")
    assert line.standing == "9_hole"
    assert line.gross.course_handicap == 6
    assert len(line.gross.holes) == 9


def test_rounds_in_the_inactive_season_do_not_count():
    """Rule 2.1: here from November into March."""
    rules = HandicapRules(inactive_season=((11, 1), (3, 31)))
    days = [date(2025, 10, 31), date(2025, 11, 1), date(2026, 3, 31), date(2026, 4, 1)]
    record = build_record([played(str(day), day, 90) for day in days], rules=rules)
    assert [line.state for line in record.lines] == ["counts", "not_acceptable", "not_acceptable", "counts"]


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
