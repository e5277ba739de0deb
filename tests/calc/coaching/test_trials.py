"""Trials: fair when there is no difference, found when there is one, and open about not telling."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats
from statsmodels.regression.linear_model import OLS

from golfstats.calc.coaching.trials import TrialShots, Verdict, run_trial, side_deviation


def simulated(generator, design, effect=0.0, rounds=None, a_round=8):
    """Shots that lose strokes with distance and from rough, with good and bad days and skewed noise."""
    rounds = rounds or int(generator.integers(8, 16))
    round = np.repeat(np.arange(rounds), generator.integers(2, a_round, rounds))
    lie, distance = generator.integers(1, 3, len(round)), generator.uniform(80, 200, len(round))
    if design == "rounds":
        with_first = generator.permutation(rounds) < generator.integers(4, rounds - 3)
        first = with_first[round]
    elif design == "confounded":
        first = generator.random(len(round)) < np.where(distance > 140, 0.7, 0.3)
    else:
        first = generator.random(len(round)) < 0.5
    day = generator.normal(0, 0.2, rounds)[round]
    noise = generator.gamma(2, 0.35, len(round)) - 0.7
    outcome = -0.004 * (distance - 140) - 0.2 * (lie == 2) + day + noise + effect * first
    return TrialShots(outcome, first, round, distance, lie)


def spread_shots(generator):
    """Offline shots whose middle line differs by tag and whose spread does not."""
    shots = simulated(generator, "within")
    offline = generator.normal(0, 8, len(shots.first)) + np.where(shots.first, 6, -6)
    return TrialShots(
        side_deviation(offline, shots.first), shots.first, shots.round, shots.distance, shots.lie
    )


@pytest.mark.parametrize("design", ["within", "confounded", "rounds", "spread"])
def test_p_values_are_uniform_when_the_tags_do_not_differ(design):
    """600 trials a design: Kolmogorov and Smirnov's test, and at most the nominal share of finds."""
    generator = np.random.default_rng(1)
    p_values = []
    for _ in range(600):
        shots = spread_shots(generator) if design == "spread" else simulated(generator, design)
        result = run_trial(shots, "strokes", "higher", generator, permutations=399)
        if result.p_value is not None:
            p_values.append(result.p_value)
    assert len(p_values) > 500
    assert stats.kstest(p_values, "uniform").pvalue > 0.01
    assert np.mean(np.array(p_values) <= 0.1) < 0.13


@pytest.mark.parametrize("design", ["confounded", "rounds"])
def test_interval_covers_the_true_difference_in_nine_of_ten(design):
    generator = np.random.default_rng(2)
    covered = []
    for _ in range(400):
        shots = simulated(generator, design, effect=0.3)
        difference = run_trial(shots, "strokes", "higher", generator, permutations=399).difference
        if difference.enough:
            covered.append(difference.low <= 0.3 <= difference.high)
    assert 0.86 <= np.mean(covered) <= 0.94


def test_adjusted_difference_is_the_regression_coefficient_of_statsmodels():
    shots = simulated(np.random.default_rng(3), "confounded", effect=0.3)
    with_both = [r for r in np.unique(shots.round) if 0 < np.mean(shots.first[shots.round == r]) < 1]
    shots = shots.select(np.isin(shots.round, with_both))
    rounds = (shots.round[:, None] == np.unique(shots.round)).astype(float)
    design = np.column_stack([shots.first, shots.distance, shots.lie == 2, rounds]).astype(float)
    theirs = OLS(shots.outcome, design).fit(cov_type="HC1")
    result = run_trial(shots, "strokes", "higher", np.random.default_rng(0))
    assert result.difference.value == pytest.approx(theirs.params[0])
    # about 1.7 standard errors each way, the quantile coming from permutations
    half_width = result.difference.high - result.difference.value
    assert 1.5 * theirs.bse[0] < half_width < 2.0 * theirs.bse[0]


def test_tag_used_at_longer_distances_is_not_blamed_for_them():
    """Unadjusted means differ by far; what is left after distance does not."""
    generator = np.random.default_rng(4)
    distance = np.r_[generator.uniform(140, 200, 60), generator.uniform(120, 180, 60)]
    first = np.arange(120) < 60
    outcome = -0.02 * (distance - 150) + generator.normal(0, 0.3, 120)
    shots = TrialShots(outcome, first, np.tile(np.arange(12), 10), distance, np.ones(120, dtype=int))
    result = run_trial(shots, "strokes", "higher", generator)
    assert result.second.low > result.first.high
    assert result.verdict is Verdict.CANNOT_TELL


def test_large_difference_is_told_and_named():
    generator = np.random.default_rng(5)
    result = run_trial(simulated(generator, "within", effect=1.0, rounds=15), "strokes", "higher", generator)
    assert result.verdict is Verdict.FIRST
    assert result.p_value < 0.01
    assert result.more_shots is None
    assert result.words("ball A", "ball B").startswith("ball A is better than ball B by ")


def test_when_lower_is_better_the_other_tag_wins():
    generator = np.random.default_rng(5)
    result = run_trial(simulated(generator, "within", effect=1.0, rounds=15), "yards", "lower", generator)
    assert result.verdict is Verdict.SECOND


def test_trial_that_cannot_tell_says_how_many_more_shots_would():
    generator = np.random.default_rng(15)
    shots = simulated(generator, "within", effect=0.15, rounds=12, a_round=10)
    result = run_trial(shots, "strokes", "higher", generator)
    assert result.verdict is Verdict.CANNOT_TELL
    assert result.difference.low < 0 < result.difference.high
    assert f"about {result.more_shots} more shots" in result.words("A", "B")


def test_that_many_more_shots_tell_the_difference_in_four_of_five_trials():
    """The power promised, checked with fresh trials of the promised size."""
    generator = np.random.default_rng(6)
    distance, lie = np.full(60, 150.0), np.ones(60, dtype=int)
    first, round = np.arange(60) % 2 == 0, np.repeat(np.arange(10), 6)
    noise = generator.normal(0, 1, 60)
    pilot = np.where(first, 0.3, 0.0) + (noise - np.mean(noise)) / np.std(noise)
    pilot += np.where(first, 0.3 - (np.mean(pilot[first]) - np.mean(pilot[~first])), 0)
    more = run_trial(TrialShots(pilot, first, round, distance, lie), "x", "higher", generator).more_shots
    n = 60 + more
    told = []
    for _ in range(200):
        tags = np.arange(n) % 2 == 0
        outcome = 0.3 * tags + generator.normal(0, 1, n)
        again = TrialShots(outcome, tags, np.arange(n) // 6, np.full(n, 150.0), np.ones(n, dtype=int))
        result = run_trial(again, "x", "higher", generator, permutations=199)
        told.append(result.verdict is Verdict.FIRST)
    assert 0.70 <= np.mean(told) <= 0.90


def test_rounds_with_one_tag_each_are_compared_as_rounds():
    shots = simulated(np.random.default_rng(7), "rounds", rounds=12)
    result = run_trial(shots, "strokes", "higher", np.random.default_rng(8))
    assert result.unit_of_trial == "round"
    # 12 rounds can be labelled in few ways, so far fewer than the shots' permutations
    assert result.p_value is not None


def test_rounds_all_from_one_place_need_no_adjustment():
    """One distance and one lie: the difference is that of the plain means of the shots."""
    generator = np.random.default_rng(14)
    round = np.repeat(np.arange(12), 5)
    outcome = generator.normal(0, 1, 60)
    shots = TrialShots(outcome, round % 2 == 0, round, np.full(60, 152.4), np.ones(60, dtype=int))
    result = run_trial(shots, "yards", "higher", generator)
    assert result.difference.value == pytest.approx(result.first.value - result.second.value)


def test_three_rounds_with_a_tag_are_too_few_however_many_shots():
    round = np.repeat(np.arange(6), 30)
    shots = TrialShots(
        np.random.default_rng(9).normal(0, 1, 180),
        round < 3,
        round,
        np.full(180, 150.0),
        np.ones(180, dtype=int),
    )
    result = run_trial(shots, "strokes", "higher", np.random.default_rng(0))
    assert result.verdict is Verdict.TOO_FEW
    assert not result.difference.enough
    assert result.words("A", "B") == "Too few shots to compare A with B."


@pytest.mark.parametrize("count", [0, 9])
def test_few_shots_are_too_few(count):
    n = 2 * count
    shots = TrialShots(
        np.arange(float(n)),
        np.arange(n) % 2 == 0,
        np.zeros(n, dtype=int),
        np.full(n, 150.0),
        np.ones(n, dtype=int),
    )
    assert run_trial(shots, "x", "higher", np.random.default_rng(0)).verdict is Verdict.TOO_FEW


def test_shots_without_a_measured_outcome_are_left_out():
    shots = simulated(np.random.default_rng(10), "within", rounds=10)
    outcome = shots.outcome.copy()
    outcome[::3] = np.nan
    result = run_trial(
        TrialShots(outcome, shots.first, shots.round, shots.distance, shots.lie),
        "strokes",
        "higher",
        np.random.default_rng(0),
    )
    assert result.difference.n <= np.sum(np.isfinite(outcome))


def test_tag_that_lie_already_determines_cannot_be_compared():
    shots = simulated(np.random.default_rng(11), "within", rounds=12)
    same = TrialShots(shots.outcome, shots.lie == 1, shots.round, shots.distance, shots.lie)
    assert run_trial(same, "x", "higher", np.random.default_rng(0)).verdict is Verdict.TOO_FEW


def test_side_deviation_does_not_count_a_tag_that_goes_further_left_as_wider():
    offline = np.array([-12.0, -10, -8, 1, 3, 5])
    first = np.array([True, True, True, False, False, False])
    assert side_deviation(offline, first).tolist() == [2, 0, 2, 2, 0, 2]


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10_000), design=st.sampled_from(["within", "rounds"]))
def test_swapping_the_tags_turns_the_difference_round(seed, design):
    shots = simulated(np.random.default_rng(seed), design, effect=0.2, rounds=12)
    swapped = TrialShots(shots.outcome, ~shots.first, shots.round, shots.distance, shots.lie)
    result = run_trial(shots, "x", "higher", np.random.default_rng(0), permutations=199)
    other = run_trial(swapped, "x", "higher", np.random.default_rng(0), permutations=199)
    assert result.difference.enough == other.difference.enough
    if result.difference.enough:
        assert other.difference.value == pytest.approx(-result.difference.value)


def test_same_seed_gives_the_same_answer():
    shots = simulated(np.random.default_rng(12), "within")
    first, second = (run_trial(shots, "x", "higher", np.random.default_rng(3)) for _ in range(2))
    assert first == second
