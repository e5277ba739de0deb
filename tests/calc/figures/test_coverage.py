"""Do the 90% intervals hold the truth nine times in ten? 400 made-up players whose rounds differ in form."""

import numpy as np
import pytest

from golfstats.calc.figures.approach import bands
from golfstats.calc.figures.catalogue import CATALOGUE
from tests.calc.figures.simulated_player import APPROACH_GAINED, HIT_GREEN, MISS_COST, simulated_player

PLAYERS, ROUNDS = 400, 40
TRUTHS = (
    {"misses.green.cost": MISS_COST, "misses.green.rate": 1 - HIT_GREEN}
    | {"misses.green.shot_after": 0.0, "misses.green.cost_with_shot_after": MISS_COST}
    | {f"approach.{band.word}.gained": APPROACH_GAINED for band in bands()[1:]}
    | {f"approach.{band.word}.green_hit": HIT_GREEN for band in bands()[1:]}
)


@pytest.fixture(scope="module")
def covered():
    """Share of the players whose interval holds the truth, by figure."""
    rng = np.random.default_rng(2026)
    held = dict.fromkeys(TRUTHS, 0)
    for _ in range(PLAYERS):
        analysed = simulated_player(rng, ROUNDS)
        for key, truth in TRUTHS.items():
            figure = CATALOGUE[key].figure(CATALOGUE[key].observe(analysed))
            held[key] += figure.low <= truth <= figure.high
    return {key: count / PLAYERS for key, count in held.items()}


@pytest.mark.slow
def test_the_cost_of_a_miss_is_covered(covered):
    for name in ("cost", "shot_after", "cost_with_shot_after"):
        assert 0.87 <= covered[f"misses.green.{name}"] <= 0.93, name


@pytest.mark.slow
def test_the_means_of_the_bands_are_covered(covered):
    gained = [share for key, share in covered.items() if key.endswith(".gained")]
    assert 0.87 <= np.mean(gained) <= 0.93
    assert all(0.86 <= share <= 0.94 for share in gained), "one band of six may stray by chance"


@pytest.mark.slow
def test_shares_are_covered(covered):
    shares = [covered["misses.green.rate"], *(v for k, v in covered.items() if k.endswith(".green_hit"))]
    assert 0.87 <= np.mean(shares) <= 0.94
