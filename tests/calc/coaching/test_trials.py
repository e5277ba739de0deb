"""Trials: fair when there is no difference, found when there is one, and open about not telling."""

import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.regression.linear_model import OLS

from golfstats.calc.coaching.sequential import Evidence, precision_for
from golfstats.calc.coaching.trials import TrialShots, TrialWarning, Verdict, run_trial, side_deviation


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
def test_fewer_than_five_in_a_hundred_looks_tell_what_is_not_there(design):
    """600 trials a design, each looked at once; as the test allows for many looks, one look tells less often."""
    generator = np.random.default_rng(1)
    p_values = []
    for _ in range(600):
        shots = spread_shots(generator) if design == "spread" else simulated(generator, design)
        result = run_trial(shots, "strokes", "higher")
        if result.p_value is not None:
            p_values.append(result.p_value)
    assert len(p_values) > 450
    assert np.mean(np.array(p_values) <= 0.05) < 0.03


@pytest.mark.parametrize("design", ["within", "rounds"])
def test_looking_after_every_other_round_tells_what_is_not_there_in_at_most_five_of_a_hundred_trials(design):
    generator = np.random.default_rng(2)
    told = []
    for _ in range(120):
        shots = simulated(generator, design, rounds=40)
        looks = (run_trial(shots.select(shots.round < n), "x", "higher").verdict for n in range(8, 41, 2))
        told.append(any(verdict in (Verdict.FIRST, Verdict.SECOND) for verdict in looks))
    assert np.mean(told) <= 0.05


@pytest.mark.parametrize("design", ["confounded", "rounds"])
def test_interval_covers_the_true_difference_in_nine_of_ten_at_least(design):
    """One look at an interval that holds at all times together."""
    generator = np.random.default_rng(2)
    covered = []
    for _ in range(400):
        difference = run_trial(simulated(generator, design, effect=0.3), "strokes", "higher").difference
        if difference.enough:
            covered.append(difference.low <= 0.3 <= difference.high)
    assert np.mean(covered) >= 0.93


def test_evidence_has_expectation_one_for_normal_errors_whatever_the_errors_spread():
    """The mean of the likelihood ratio over trials without a difference, by definition at most 1."""
    generator = np.random.default_rng(3)
    tag = np.tile([0.5, -0.5], 12)
    found = []
    for _ in range(20_000):
        outcome = generator.normal(0, 3, 24)
        outcome = outcome - outcome.mean()
        slope = tag @ outcome / (tag @ tag)
        left = outcome - slope * tag
        error = np.sqrt(left @ left / 22 / (tag @ tag))
        found.append(Evidence(slope, error, 22, tag @ tag, precision_for(6.0, 0.05)).against_none())
    assert np.mean(found) == pytest.approx(1.0, abs=0.08)


def test_interval_is_where_the_evidence_stays_below_its_bar():
    evidence = Evidence(0.0, 0.4, 20, 5.0, 0.7)
    half = evidence.half_width(0.1)
    assert Evidence(half, 0.4, 20, 5.0, 0.7).against_none() == pytest.approx(10)
    assert Evidence(1.0, 0.4, 2, 5.0, 0.7).half_width(0.001) is None


def test_many_degrees_of_freedom_give_the_formula_for_a_known_spread():
    """sqrt(r / (V + r)) exp(S² / (2 (V + r))) of Howard et al. 2021, with S = ratio × sqrt(V)."""
    ratio, information, precision = 2.5, 40.0, 6.0
    exact = np.sqrt(precision / (information + precision)) * np.exp(
        ratio**2 * information / (2 * (information + precision))
    )
    assert Evidence(ratio, 1.0, 1e7, information, precision).against_none() == pytest.approx(exact, rel=1e-4)


def test_adjusted_difference_is_the_regression_coefficient_of_statsmodels():
    shots = simulated(np.random.default_rng(3), "confounded", effect=0.3)
    with_both = [r for r in np.unique(shots.round) if 0 < np.mean(shots.first[shots.round == r]) < 1]
    shots = shots.select(np.isin(shots.round, with_both))
    rounds = (shots.round[:, None] == np.unique(shots.round)).astype(float)
    away = (shots.distance - 140) / 40
    design = np.column_stack([shots.first, away, away**2, shots.lie == 2, rounds]).astype(float)
    theirs = OLS(shots.outcome, design).fit(cov_type="HC1")
    result = run_trial(shots, "strokes", "higher")
    assert result.difference.value == pytest.approx(theirs.params[0])
    # an interval for all times is half as wide again as one for a single look, and more
    half_width = result.difference.high - result.difference.value
    assert 1.5 * 1.645 * theirs.bse[0] < half_width < 2.5 * 1.645 * theirs.bse[0]


def test_tag_used_at_longer_distances_is_not_blamed_for_them():
    """Unadjusted means differ by far; what is left after distance does not."""
    generator = np.random.default_rng(4)
    distance = np.r_[generator.uniform(140, 200, 60), generator.uniform(120, 180, 60)]
    first = np.arange(120) < 60
    outcome = -0.02 * (distance - 150) + generator.normal(0, 0.3, 120)
    shots = TrialShots(outcome, first, np.tile(np.arange(12), 10), distance, np.ones(120, dtype=int))
    result = run_trial(shots, "strokes", "higher")
    assert result.second.low > result.first.high
    assert result.verdict is Verdict.CANNOT_TELL


def test_large_difference_is_told_and_named():
    generator = np.random.default_rng(5)
    result = run_trial(simulated(generator, "within", effect=1.0, rounds=20), "strokes", "higher")
    assert result.verdict is Verdict.FIRST
    assert result.p_value < 0.01
    assert result.more_shots is None
    size, n = result.difference, result.difference.n
    told = re.fullmatch(
        r"ball A is better than ball B by ([\d.]+) strokes \(([\d.]+) to ([\d.]+)\), (\d+) shots\.",
        result.words("ball A", "ball B"),
    )
    assert told
    assert [float(one) for one in told.groups()] == pytest.approx(
        [size.value, size.low, size.high, n], abs=0.006
    )


def test_the_size_of_a_difference_is_told_the_same_whichever_tag_comes_first():
    generator = np.random.default_rng(5)
    result = run_trial(simulated(generator, "within", effect=1.0, rounds=20), "strokes", "higher")
    size = result.difference
    turned = replace(
        result,
        difference=replace(size, value=-size.value, low=-size.high, high=-size.low),
        verdict=Verdict.SECOND,
    )
    assert turned.words("B", "A") == result.words("A", "B")


def test_when_lower_is_better_the_other_tag_wins():
    generator = np.random.default_rng(5)
    result = run_trial(simulated(generator, "within", effect=1.0, rounds=15), "yards", "lower")
    assert result.verdict is Verdict.SECOND


def test_trial_that_cannot_tell_says_how_many_more_shots_would():
    generator = np.random.default_rng(15)
    shots = simulated(generator, "within", effect=0.3, rounds=12, a_round=12)
    result = run_trial(shots, "strokes", "higher")
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
    more = run_trial(TrialShots(pilot, first, round, distance, lie), "x", "higher").more_shots
    n = 60 + more
    told = []
    for _ in range(200):
        tags = np.arange(n) % 2 == 0
        outcome = 0.3 * tags + generator.normal(0, 1, n)
        again = TrialShots(outcome, tags, np.arange(n) // 6, np.full(n, 150.0), np.ones(n, dtype=int))
        result = run_trial(again, "x", "higher")
        told.append(result.verdict is Verdict.FIRST)
    assert 0.70 <= np.mean(told) <= 0.90


def test_rounds_with_one_tag_each_are_compared_as_rounds():
    shots = simulated(np.random.default_rng(7), "rounds", rounds=12)
    result = run_trial(shots, "strokes", "higher")
    assert result.unit_of_trial == "round"
    assert result.p_value is not None


def test_rounds_all_from_one_place_need_no_adjustment():
    """One distance and one lie: the difference is that of the plain means of the shots."""
    generator = np.random.default_rng(14)
    round = np.repeat(np.arange(12), 5)
    outcome = generator.normal(0, 1, 60)
    shots = TrialShots(outcome, round % 2 == 0, round, np.full(60, 152.4), np.ones(60, dtype=int))
    result = run_trial(shots, "yards", "higher")
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
    result = run_trial(shots, "strokes", "higher")
    assert result.verdict is Verdict.TOO_FEW
    assert not result.difference.enough
    assert result.words("A", "B").startswith("Too few shots to compare A with B.")


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
    assert run_trial(shots, "x", "higher").verdict is Verdict.TOO_FEW


def test_shots_without_a_measured_outcome_are_left_out():
    shots = simulated(np.random.default_rng(10), "within", rounds=10)
    outcome = shots.outcome.copy()
    outcome[::3] = np.nan
    result = run_trial(
        TrialShots(outcome, shots.first, shots.round, shots.distance, shots.lie),
        "strokes",
        "higher",
    )
    assert result.difference.n <= np.sum(np.isfinite(outcome))


def test_tag_that_lie_already_determines_cannot_be_compared():
    shots = simulated(np.random.default_rng(11), "within", rounds=12)
    same = TrialShots(shots.outcome, shots.lie == 1, shots.round, shots.distance, shots.lie)
    assert run_trial(same, "x", "higher").verdict is Verdict.TOO_FEW


def test_side_deviation_does_not_count_a_tag_that_goes_further_left_as_wider():
    offline = np.array([-12.0, -10, -8, 1, 3, 5])
    first = np.array([True, True, True, False, False, False])
    assert side_deviation(offline, first).tolist() == [2, 0, 2, 2, 0, 2]


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10_000), design=st.sampled_from(["within", "rounds"]))
def test_swapping_the_tags_turns_the_difference_round(seed, design):
    shots = simulated(np.random.default_rng(seed), design, effect=0.2, rounds=12)
    swapped = TrialShots(shots.outcome, ~shots.first, shots.round, shots.distance, shots.lie)
    result = run_trial(shots, "x", "higher")
    other = run_trial(swapped, "x", "higher")
    assert result.difference.enough == other.difference.enough
    if result.difference.enough:
        assert other.difference.value == pytest.approx(-result.difference.value)


def of_rounds(tags, outcome, **known):
    """Six shots a round from one place."""
    n = 6 * len(tags)
    round = np.repeat(np.arange(len(tags)), 6)
    return TrialShots(
        outcome, np.asarray(tags)[round], round, np.full(n, 150.0), np.ones(n, dtype=int), **known
    )


def test_tags_that_ran_in_blocks_are_not_compared_though_they_differ():
    generator = np.random.default_rng(16)
    outcome = np.repeat([1.0] * 12 + [0.0] * 12, 6) + generator.normal(0, 0.3, 144)
    result = run_trial(of_rounds(np.arange(24) < 12, outcome), "strokes", "higher")
    assert result.difference.low > 0
    assert result.verdict is Verdict.CANNOT_TELL
    assert TrialWarning.IN_BLOCKS in result.warnings
    assert "form and season" in result.words("A", "B")
    outcome = np.tile(np.repeat([1.0, 0.0], 6), 12) + generator.normal(0, 0.3, 144)
    mixed = run_trial(of_rounds(np.arange(24) % 2 == 0, outcome), "strokes", "higher")
    assert TrialWarning.IN_BLOCKS not in mixed.warnings
    assert mixed.verdict is Verdict.FIRST


def test_one_tag_always_first_within_rounds_is_a_block_too():
    generator = np.random.default_rng(17)
    n = 120
    shots = TrialShots(
        generator.normal(0, 1, n),
        np.arange(n) % 10 < 5,
        np.arange(n) // 10,
        np.full(n, 150.0),
        np.ones(n, dtype=int),
    )
    assert TrialWarning.IN_BLOCKS in run_trial(shots, "x", "higher").warnings


def test_wind_that_goes_with_a_tag_is_not_blamed_on_it():
    """Half a stroke a shot is lost to wind, and A is played in it three times in four."""
    generator = np.random.default_rng(18)
    windy = np.arange(40) % 2 == 0
    tags = np.where(generator.random(40) < 0.75, windy, ~windy)
    wind = np.repeat(np.where(windy, 20.0, 4.0), 6)
    outcome = -0.5 * (wind > 10) + generator.normal(0, 0.4, 240) + np.repeat(generator.normal(0, 0.1, 40), 6)
    blind, seeing = (
        run_trial(of_rounds(tags, outcome, wind=known), "strokes", "higher")
        for known in (np.full(240, np.nan), wind)
    )
    assert blind.difference.value < -0.15
    assert TrialWarning.WIND_NOT_KNOWN in blind.warnings
    assert seeing.difference.low < 0 < seeing.difference.high
    assert seeing.warnings == ()


def test_clubs_are_compared_on_the_same_holes():
    """Driver on the four easy holes and mostly 3-wood on the two hard ones; on each the driver is better by 0.4."""
    generator = np.random.default_rng(19)
    n = 6 * 60
    hole, round = np.tile(np.arange(6), 60), np.repeat(np.arange(60), 6)
    driver = generator.random(n) < np.where(hole < 4, 0.8, 0.1)
    outcome = 0.4 * driver - 1.0 * (hole < 4) + generator.normal(0, 0.3, n)
    lengths = generator.uniform(380, 420, n)  # tell nothing of the holes
    shots = TrialShots(outcome, driver, round, lengths, np.zeros(n, dtype=int))
    blind, seeing = (run_trial(replace(shots, hole=known), "strokes", "higher") for known in (None, hole))
    assert blind.difference.high < 0.2
    assert seeing.verdict is Verdict.FIRST
    assert seeing.difference.low < 0.4 < seeing.difference.high
    apart = run_trial(replace(shots, first=hole < 4, hole=hole), "strokes", "higher")
    assert apart.verdict is Verdict.TOO_FEW
    assert TrialWarning.DIFFERENT_HOLES in apart.warnings
