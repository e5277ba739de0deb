import numpy as np
import pytest

from golfstats.calc.putting.outcomes import putting_outcomes
from golfstats.calc.putting.slopes import below_against_above, gained_on_own_putting
from golfstats.calc.simulate.putting import roll
from golfstats.calc.vocabulary import Slope
from tests.calc.record_builder import hole, record_of


def one_putt_holes(slopes, rounds):
    return record_of(
        [
            hole(3, [("tee", 150), ("green", 4, {"slope": slope})], round=round)
            for slope, round in zip(slopes, rounds, strict=True)
        ]
    )


def test_gain_on_ones_own_putting_adds_up():
    # A putt gains its expected putts less one less what is left: 1.6 - 1 - 0 when holed.
    record = record_of(
        [
            hole(3, [("tee", 150), ("green", 10), ("green", 1)]),
            hole(3, [("tee", 150), ("green", 5)], number=2, holed=False),
        ]
    )
    gained = gained_on_own_putting(record, 0.03, 0.12)
    thirty, three = putting_outcomes([30.0, 3.0], 0.03, 0.12).expected_putts
    assert gained[1] == pytest.approx(thirty - 1 - three, abs=2e-3)
    assert gained[2] == pytest.approx(three - 1, abs=2e-3)
    assert np.isnan(gained[[0, 3, 4]]).all()  # tee shots, and a putt that was given up


def test_mean_gain_on_ones_own_putting_is_nothing():
    rng = np.random.default_rng(4)
    feet = np.exp(rng.normal(np.log(12), 0.7, 4_000))
    rolls = roll(feet, 0.03, 0.12, rng)
    record = record_of(
        [
            hole(3, [("green", before / 3), *([] if holed else [("green", after / 3)])], number=1)
            for before, holed, after in zip(feet, rolls.holed, rolls.after_ft, strict=True)
        ]
    )
    first = record.shots.number == 1
    gained = gained_on_own_putting(record, 0.03, 0.12)[first]
    assert abs(np.mean(gained)) < 4 * np.std(gained) / np.sqrt(len(gained))
    assert np.std(gained) > 0.2


def test_below_against_above():
    slopes = ["uphill"] * 40 + ["downhill"] * 30 + ["level"] * 10
    rounds = [*range(8)] * 10
    record = one_putt_holes(slopes, rounds)
    gained = np.random.default_rng(9).normal(0, 0.4, len(record.shots))
    gained[record.shots.slope == Slope.UPHILL] += 0.3
    answer = below_against_above(record, gained)
    assert (answer.below.n, answer.above.n, answer.difference.n) == (40, 30, 70)
    assert answer.difference.value == pytest.approx(answer.below.value - answer.above.value)
    assert answer.difference.low < 0.3 < answer.difference.high


def test_a_kind_of_putt_below_its_minimum_gives_no_comparison():
    record = one_putt_holes(["uphill"] * 40 + ["downhill"] * 19, [*range(10)] * 5 + [*range(9)])
    answer = below_against_above(record, np.zeros(len(record.shots)))
    assert answer.below.enough
    assert not answer.above.enough
    assert not answer.difference.enough


def test_difference_covers_the_truth():
    # 90% interval over 400 simulated records whose rounds share a level; truth 0.05.
    rng = np.random.default_rng(12)
    rounds = np.repeat(np.arange(20), 10)
    slopes = np.where(rng.random(200) < 0.6, "uphill", "downhill").tolist()
    record = one_putt_holes(slopes, rounds.tolist())
    uphill = np.array(slopes) == "uphill"
    inside = 0
    for _ in range(400):
        gained = np.full(len(record.shots), np.nan)
        gained[1::2] = rng.normal(0, 0.4, 200) + rng.normal(0, 0.2, 20)[rounds] + 0.05 * uphill
        difference = below_against_above(record, gained).difference
        inside += difference.low <= 0.05 <= difference.high
    assert 0.87 <= inside / 400 <= 0.93
