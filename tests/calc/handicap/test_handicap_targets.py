"""What would I need to shoot: the same answer as posting the score and looking."""

from datetime import date, timedelta
from decimal import Decimal
from random import Random

import pytest

from golfstats.calc.handicap import FreezeIndex, Score, build_record, next_index, targets
from tests.calc.handicap.histories import NINES, TEES, random_history
from tests.calc.handicap.weekly import FIRST_DAY, PLAIN, steady


@pytest.mark.parametrize("number", range(60))
def test_each_target_is_what_posting_that_score_gives(number):
    scores, actions, rules = random_history(Random(number))
    record = build_record(scores, actions, rules)
    last_day = max([score.played_on for score in scores] + [action.on for action in actions])
    day = last_day + timedelta(days=3)
    holes, tee = (9, NINES[0]) if number % 3 == 0 and day >= date(2024, 4, 1) else (18, TEES[number % 4])
    if record.index_on(day) is None:
        assert targets(record, tee, day, holes) == ()
        return
    bands = targets(record, tee, day, holes)
    for score in (bands[0].lowest, bands[len(bands) // 2].highest, bands[-1].highest):
        posted = Score("next", day, tee, adjusted_total=score, holes_in_round=holes)
        after = build_record([*scores, posted], actions, rules)
        band = next(band for band in bands if band.lowest <= score <= band.highest)
        assert band.index == after.line("next").index_after


def test_the_bands_of_a_steady_player():
    """Hand-worked, 5.2b and 5.9: any score from 82 leaves 10.0; 81 gives (7 x 10.0 + 9.0) / 8 = 9.875, 9.9;
    76 is 6.0 better and gives 9.25, 9.3; 75 is an exceptional score: 9.125 - 1.0, 8.1.
    """
    day = FIRST_DAY + timedelta(weeks=20)
    bands = targets(build_record(steady()), PLAIN, day)
    by_score = {score: band.index for band in bands for score in range(band.lowest, band.highest + 1)}
    assert (bands[0].lowest, bands[-1].highest) == (72 + 10 - 25, 72 + 10 + 36)
    assert (bands[-1].lowest, bands[-1].index, bands[-1].change) == (82, Decimal("10.0"), 0)
    assert [by_score[score] for score in (81, 76, 75)] == [Decimal(x) for x in ("9.9", "9.3", "8.1")]
    assert [(band.lowest, band.change) for band in bands if band.highest == 81] == [(81, Decimal("-0.1"))]


def test_a_frozen_index_does_not_move():
    day = FIRST_DAY + timedelta(weeks=20)
    record = build_record(steady(), [FreezeIndex(day, Decimal("9.0"), None, "review")])
    assert {band.index for band in targets(record, PLAIN, day)} == {Decimal("9.0")}


def test_a_first_index_is_answered_only_by_the_score_that_gives_it():
    assert next_index(build_record(steady(1)), 90, PLAIN, FIRST_DAY + timedelta(weeks=3)) is None
    assert next_index(build_record(steady(2)), 90, PLAIN, FIRST_DAY + timedelta(weeks=3)) == Decimal("8.0")


def test_the_past_and_a_nine_without_an_index_are_refused():
    with pytest.raises(ValueError, match="before the last one"):
        next_index(build_record(steady()), 80, PLAIN, FIRST_DAY)
    with pytest.raises(ValueError, match="no differential of their own"):
        next_index(build_record([]), 40, NINES[0], FIRST_DAY, holes=9)
