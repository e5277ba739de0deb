"""Which scores count, and what nines and missing holes count: hand-worked, the rule beside each."""

from datetime import date
from decimal import Decimal

import pytest

from golfstats.calc.handicap import (
    PRESETS,
    HandicapRules,
    HoleScore,
    Ratings,
    Score,
    SetInitialIndex,
    build_record,
)
from tests.calc.handicap.weekly import (
    AGS_INDEXES,
    AGS_PARS,
    NINE,
    PLAIN,
    card,
    nine,
    played,
    starts_with,
    steady,
    week,
)


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
