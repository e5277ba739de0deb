"""From a record to binned putts: nothing lost, nothing counted twice."""

import numpy as np
import pytest

from golfstats.calc.greens.disturbance import Work
from golfstats.calc.greens.putts import bin_putts, putts_of
from tests.calc.greens.putting_club import WORKS, play
from tests.calc.record_builder import hole, record_of


def test_putts_of_a_record_in_feet():
    record = record_of(
        [
            hole(4, [("tee", 400), ("fairway", 150), ("green", 8), ("green", 1)], number=1),
            hole(3, [("tee", 160), ("green", 4)], number=2),
        ]
    )
    putts = putts_of(record, speed_by_round_ft=np.array([9.5]))
    assert putts.distance_ft.tolist() == [24, 3, 12]
    assert putts.leave_ft.tolist() == [3, 0, 0]
    assert putts.holed.tolist() == [False, True, True]
    assert putts.first.tolist() == [True, False, True]
    assert putts.hole.tolist() == [1, 1, 2]
    assert putts.speed_ft.tolist() == [9.5] * 3


def test_binning_keeps_every_putt_of_use():
    putts = play(np.random.default_rng(1), players=6, rounds=10).putts
    bins = bin_putts(putts, {0: WORKS})
    used = putts.select((putts.distance_ft >= 2) & (putts.distance_ft < 100))
    assert np.sum(bins.sums.tries) == len(used)
    assert np.sum(bins.sums.makes) == np.sum(used.holed)
    assert np.sum(bins.sums.leave_sum) == pytest.approx(np.sum(np.log1p(used.leave_ft)))
    assert bins.players == 6
    # Eighteen first putts a round, less the few from inside 2 ft.
    assert 16.5 < np.sum(bins.first_putts) <= 18


def test_order_of_the_putts_does_not_matter():
    putts = play(np.random.default_rng(2), players=4, rounds=10).putts
    shuffled = putts.select(np.random.default_rng(3).permutation(len(putts)))
    one, other = bin_putts(putts, {0: WORKS}), bin_putts(shuffled, {0: WORKS})
    assert np.array_equal(one.sums.tries, other.sums.tries)
    assert np.array_equal(one.conditions.disturbance(), other.conditions.disturbance())


def test_work_on_another_course_disturbs_nothing():
    putts = play(np.random.default_rng(4), players=4, rounds=10).putts
    assert np.max(bin_putts(putts, {0: WORKS}).conditions.disturbance()) > 0
    assert np.max(bin_putts(putts, {7: WORKS}).conditions.disturbance(), initial=0) == 0


def test_greens_in_different_states_on_one_day_are_kept_apart():
    putts = play(np.random.default_rng(5), players=4, rounds=20).putts
    day = int(putts.day[0])
    front = Work("coring_large", day, day, holes=frozenset(range(1, 10)))
    conditions = bin_putts(putts.select(putts.day == day), {0: [front]}).conditions
    assert sorted(conditions.disturbance().tolist()) == [0, 1]


def test_no_usable_putts_is_an_error():
    putts = play(np.random.default_rng(6), players=1, rounds=1).putts
    with pytest.raises(ValueError):
        bin_putts(putts.select(putts.distance_ft < 1), {0: WORKS})
