"""Committee actions (Rule 7.1) in a record, worked by hand."""

from datetime import timedelta
from decimal import Decimal

import pytest

from golfstats.calc.handicap import (
    AdjustScores,
    DisregardScores,
    FreezeIndex,
    OverrideCap,
    OverrideExceptional,
    Ratings,
    RemoveTableAdjustment,
    ResetLowIndex,
    Score,
    SetInitialIndex,
    WithdrawIndex,
    build_record,
)
from tests.calc.handicap.weekly import FIRST_DAY, played, steady, week


def rising() -> list[Score]:
    """Index 10.0, then sixteen times 28.0: the average is 19.0, far above the low index."""
    return steady() + [played(f"t{n}", week(20 + n), 100) for n in range(16)]


def test_one_stroke_off_every_differential_takes_one_off_the_index():
    """R&A example of 7.1a: 10.3 becomes 9.3."""
    tee = Ratings(Decimal("71.7"), 113, 72)
    scores = [played(f"s{number}", week(number), 82, tee) for number in range(20)]
    record = build_record(scores, [AdjustScores(week(25), Decimal(-1), "form in unposted rounds")])
    action = record.actions[0]
    assert (action.index_before, action.index_after) == (Decimal("10.3"), Decimal("9.3"))
    assert record.line("s0").differential == Decimal("10.3")
    assert record.line("s0").adjusted_differential == Decimal("9.3")
    assert record.line("s0").adjustments[0].cause == "form in unposted rounds"


def test_an_adjustment_below_one_stroke_is_refused():
    with pytest.raises(ValueError, match="at least 1 stroke"):
        AdjustScores(week(0), Decimal("-0.5"), "form")


def test_an_upward_adjustment_is_capped_unless_exceptional():
    """7.1a: at most 5.0 above the Low Handicap Index (here 8.0, from three scores) except after an illness."""
    usual = build_record(steady(), [AdjustScores(week(25), Decimal(9), "illness")])
    exceptional = build_record(steady(), [AdjustScores(week(25), Decimal(9), "illness", exceptional=True)])
    assert usual.calculated_index == Decimal("13.0")
    assert exceptional.calculated_index == Decimal("19.0")


def test_a_freeze_holds_the_index_until_it_expires():
    """7.1a: on expiry the index is the one the record gives."""
    freeze = FreezeIndex(week(20), Decimal("7.5"), week(22), "review")
    scores = [*steady(), played("during", week(21), 74), played("after", week(23), 82)]
    record = build_record(scores, [freeze])
    during = record.line("during")
    # 74 is 2.0: 5.5 better than 7.5, no exceptional score, though it is 8.0 better than 10.0.
    assert (during.index_in_force, during.exceptional) == (Decimal("7.5"), Decimal("0.0"))
    assert (during.calculated_index, during.index_after) == (Decimal("9.0"), Decimal("7.5"))
    assert record.line("after").index_in_force == Decimal("9.0")
    assert record.index_on(week(22)) == Decimal("7.5")
    assert record.index_on(week(22) + timedelta(days=1)) == Decimal("9.0")


def test_a_freeze_is_at_most_five_above_the_low_index():
    """7.1a; the low index is 8.0."""
    record = build_record(steady(), [FreezeIndex(week(25), Decimal("15.0"), None, "injury")])
    assert record.index_on(week(30)) == Decimal("13.0")
    exceptional = FreezeIndex(week(25), Decimal("15.0"), None, "long illness", exceptional=True)
    assert build_record(steady(), [exceptional]).index_on(week(30)) == Decimal("15.0")


def test_a_withdrawn_index_may_not_be_used_in_its_period():
    record = build_record(steady(), [WithdrawIndex(week(25), week(30), "scores not posted")])
    assert record.index_on(week(30)) is None
    assert record.index_on(week(31)) == Decimal("10.0")


def test_an_initial_index_on_evidence_holds_until_the_record_gives_one():
    """5.2a: three differentials of 20.0 give 18.0."""
    action = SetInitialIndex(FIRST_DAY, Decimal("24.0"), "played elsewhere")
    record = build_record(steady(3, total=92), [action])
    assert [line.index_after for line in record.lines] == [Decimal(x) for x in ("24.0", "24.0", "18.0")]


def test_a_changed_initial_index_keeps_its_distance():
    """5.2a: 18.0 becomes 15.0; the next 20.0 is the fourth: the lowest, 17.0, less 1.0."""
    action = SetInitialIndex(week(2) + timedelta(days=1), Decimal("15.0"), "evidence")
    record = build_record([*steady(3, total=92), played("next", week(4), 92)], [action])
    assert record.actions[0].index_after == Decimal("15.0")
    assert record.calculated_index == Decimal("16.0")


def test_the_table_adjustment_can_be_removed():
    """5.2a/2, R&A example: 40.7, 42.4, 36.1 give 34.1, without the adjustment 36.1."""
    scores = [
        played(key, week(number), total, Ratings(Decimal(rating), 113, 72))
        for number, (key, total, rating) in enumerate(
            [("a", 108, "71.9"), ("b", 114, "71.6"), ("c", 112, "71.3")]
        )
    ]
    assert build_record(scores).calculated_index == Decimal("34.1")
    removed = build_record(scores, [RemoveTableAdjustment(week(4), "distorts the index")])
    assert removed.calculated_index == Decimal("36.1")


def test_an_exceptional_reduction_can_be_overridden_before_and_after():
    """5.9: 75 is 7.0 better than 10.0; with the reduction the index is 8.1, without it 9.1."""
    scores = [*steady(), played("low", week(20), 75)]
    before = build_record(scores, [OverrideExceptional(week(20), "low", "forward tees")])
    after = build_record(scores, [OverrideExceptional(week(21), "low", "forward tees")])
    assert before.line("low").exceptional == 0
    assert after.line("low").exceptional == Decimal("-1.0")
    assert after.line("low").calculated_index == Decimal("8.1")
    assert before.calculated_index == after.calculated_index == Decimal("9.1")


def test_caps_can_be_set_aside_for_a_period():
    """5.8: without cap 19.0, with the hard cap 13.0 over the low index of 8.0."""
    assert build_record(rising()).calculated_index == Decimal("13.0")
    record = build_record(rising(), [OverrideCap(week(30), week(36), "injury")])
    assert record.calculated_index == Decimal("19.0")
    assert record.lines[-1].cap_set_aside


def test_a_reset_low_index_moves_the_caps():
    """7.1: low index 15.0 instead of 8.0 on the last day: 19.0 is +4.0, soft cap 18.5."""
    record = build_record(rising(), [ResetLowIndex(week(35), "injury", Decimal("15.0"))])
    assert record.lines[-1].low_index == Decimal("15.0")
    assert record.calculated_index == Decimal("18.5")


def test_scores_before_a_lasting_change_can_be_disregarded():
    """7.1: only four of 28.0 remain: the lowest less 1.0, and no low index to cap it."""
    record = build_record(rising(), [DisregardScores(week(36), week(32), "lasting injury")])
    assert record.calculated_index == Decimal("27.0")
    assert record.recent_keys == ("t15", "t14", "t13", "t12")
    assert record.low_index is None


def test_actions_come_before_the_scores_of_their_day():
    record = build_record(steady(), [AdjustScores(week(19), Decimal(-2), "form")])
    assert record.line("s19").index_in_force == record.actions[0].index_after
