"""Putting or chipping from just off a disturbed green."""

import numpy as np
import pytest

from golfstats.calc.greens.around_the_green import NearShots, disturbed_days, putting_against_chipping
from golfstats.calc.greens.effect.posterior import MINIMUM_DISTURBANCE
from golfstats.calc.greens.surface.disturbance import Work, surface_disturbance
from golfstats.calc.vocabulary import Lie


def shots(rng, n=800, advantage=0.15, players=20, skill_bias=0.0):
    player = rng.integers(0, players, n)
    skill = rng.standard_normal(players)
    # Good players may choose the putter more often, and short shots are putted more often.
    distance = rng.uniform(2, 15, n)
    chance = 1 / (1 + np.exp(-(skill_bias * skill[player] + (8 - distance) / 4)))
    putted = rng.random(n) < chance
    gained = 0.2 * skill[player] - 0.03 * distance + advantage * putted + 0.5 * rng.standard_normal(n)
    return NearShots(
        player, np.arange(n), np.full(n, int(Lie.FRINGE)), distance, putted, gained, np.full(n, 0.5)
    )


def test_finds_the_better_way():
    found = putting_against_chipping(shots(np.random.default_rng(1)))
    assert found.low < 0.15 < found.high
    assert found.n == 800


def test_good_players_choosing_the_putter_do_not_decide():
    found = [
        putting_against_chipping(shots(np.random.default_rng(seed), advantage=0.0, skill_bias=2.0)).value
        for seed in range(20)
    ]
    assert np.mean(found) == pytest.approx(0, abs=0.05)


def test_only_disturbed_greens_count():
    some = shots(np.random.default_rng(2))
    calm = NearShots(**{**vars(some), "disturbance": np.zeros(len(some))})
    assert putting_against_chipping(calm).value is None


def test_no_green_is_disturbed_on_a_day_that_is_left_out():
    works = [
        Work("coring_medium", 100, 101),
        Work("coring_medium", 108, 108, holes=frozenset({4, 5})),
        Work("rolling", 300, 300, severity=0.5),
        Work("coring_large", 400, 400, holes=frozenset({9})),
    ]
    recovery = {"coring_medium": 33.3}
    days = disturbed_days(works, recovery)
    every = np.arange(0, 600)
    worst = np.max(
        [surface_disturbance(works, every, np.full(len(every), hole), recovery) for hole in range(1, 19)],
        axis=0,
    )
    assert set(every[worst >= MINIMUM_DISTURBANCE]) <= set(days)
    # On few others, or nothing would be saved.
    assert set(days) <= set(every[worst > 0])
    assert len(disturbed_days([], {})) == 0


def test_too_few_of_one_way():
    some = shots(np.random.default_rng(3))
    rows = np.concatenate([np.flatnonzero(~some.putted), np.flatnonzero(some.putted)[:10]])
    found = putting_against_chipping(some.select(rows))
    assert found.value is None
    assert found.n == 10


@pytest.mark.slow
def test_the_interval_holds_the_truth_nine_times_in_ten():
    found = [putting_against_chipping(shots(np.random.default_rng(seed))) for seed in range(300)]
    assert 0.84 < np.mean([f.low <= 0.15 <= f.high for f in found]) < 0.96
