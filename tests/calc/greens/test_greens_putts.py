"""From a record to what rounds took beyond expectation: nothing lost, nothing counted twice."""

import numpy as np
import pytest

from golfstats.calc.greens.effect.putts import putts_of
from golfstats.calc.greens.effect.surplus import first_putts_by_distance, round_putts
from tests.calc.greens.putting_club import play
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
    assert putts.holed.tolist() == [False, True, True]
    assert putts.first.tolist() == [True, False, True]
    assert putts.hole.tolist() == [1, 1, 2]
    assert putts.speed_ft.tolist() == [9.5] * 3


def test_every_round_has_its_holes_and_the_club_takes_what_it_usually_takes():
    putts = play(np.random.default_rng(1), players=6, rounds=10).putts
    rounds, holes = round_putts(putts)
    assert rounds.holes.tolist() == [18.0] * 60
    assert len(holes) == 60 * 18
    assert np.mean(rounds.surplus) == pytest.approx(0, abs=0.1)
    assert np.sum(first_putts_by_distance(holes.first_ft)) == pytest.approx(18, abs=1.5)


def test_surplus_is_putts_less_the_clubs_mean_from_there():
    """One distance for all: a round's surplus is its putts less the mean, when no player has a shape of their own."""
    putts = play(np.random.default_rng(2), players=1, rounds=30).putts
    per_round = np.bincount(putts.round)
    same = putts.select(np.ones(len(putts), dtype=np.bool_))
    same.distance_ft[same.first] = 20.0
    rounds, _ = round_putts(same)
    assert rounds.surplus == pytest.approx(per_round - np.mean(per_round), abs=1e-9)


def test_where_a_player_is_weak_is_not_taken_for_a_bad_day():
    """Two rounds of a player, one with long putts only, who is bad at long putts and good at short ones."""
    rng = np.random.default_rng(3)
    putts = play(rng, players=20, rounds=12).putts
    shaped = putts.select(np.ones(len(putts), dtype=np.bool_))
    weak = (shaped.player == 0) & shaped.first & (shaped.distance_ft > 30)
    # Every first putt of theirs from afar is followed by another one.
    extra = shaped.select(weak)
    again = type(putts)(
        **{name: np.concatenate([getattr(shaped, name), getattr(extra, name)]) for name in _columns(putts)}
    )
    again.first[len(shaped) :] = False
    before, _ = round_putts(putts)
    after, _ = round_putts(again)
    own = after.player == 0
    longs = np.bincount(extra.round, minlength=len(after))[own]
    raw = before.surplus[own] + longs
    assert np.polyfit(longs, raw, 1)[0] > 0.6
    assert np.polyfit(longs, after.surplus[own], 1)[0] < np.polyfit(longs, raw, 1)[0] - 0.4


def test_order_of_the_putts_does_not_matter():
    putts = play(np.random.default_rng(4), players=4, rounds=10).putts
    shuffled = putts.select(np.random.default_rng(3).permutation(len(putts)))
    one, _ = round_putts(putts)
    other, _ = round_putts(shuffled)
    assert one.surplus == pytest.approx(other.surplus)
    assert one.day.tolist() == other.day.tolist()


def test_holes_given_up_and_rounds_of_a_few_holes_stay_out():
    putts = play(np.random.default_rng(5), players=2, rounds=3).putts
    given_up = putts.select(~((putts.round == 0) & (putts.hole == 1) & putts.holed))
    rounds, _ = round_putts(given_up)
    assert rounds.holes[0] == 17
    few = putts.select((putts.round != 0) | (putts.hole <= 4))
    assert round_putts(few)[0].round.tolist() == [1, 2, 3, 4, 5]


def test_no_usable_putts_is_an_error():
    putts = play(np.random.default_rng(6), players=1, rounds=1).putts
    with pytest.raises(ValueError, match="putted out"):
        round_putts(putts.select(putts.distance_ft < 0))


def _columns(table):
    return list(table.__dataclass_fields__)
