"""Shrinkage: against the exact normal-normal answer, and what is believed about the first of equal groups."""

import numpy as np
import pytest

from golfstats.calc.coaching.shrinkage import judge_together


def test_a_group_alone_keeps_its_estimate_and_students_interval():
    together = judge_together(np.array([0.7]), np.array([[0.04]]), 9, np.random.default_rng(0), 200_000)
    half = 1.8331 * 0.2  # t quantile, 9 degrees of freedom, from tables
    assert together.mean[0] == pytest.approx(0.7, abs=0.01)
    assert together.quantile(0.95)[0] == pytest.approx(0.7 + half, abs=0.01)


def test_equal_estimates_stay_and_far_ones_are_told_apart():
    generator = np.random.default_rng(1)
    alike = judge_together(np.full(5, 0.4), np.eye(5) * 0.01, 60, generator)
    assert alike.mean == pytest.approx(np.full(5, 0.4), abs=0.01)
    assert alike.chance_first() == pytest.approx(np.full(5, 0.2), abs=0.05)
    apart = judge_together(np.array([0.0, 0.1, 3.0]), np.eye(3) * 0.01, 60, generator)
    assert 0.999 < apart.chance_first()[2] < 1  # draws that agree are no certainty
    assert 0.999 < apart.chance_positive()[2] < 1
    assert np.sum(apart.chance_first()) == pytest.approx(1)
    assert apart.mean[2] == pytest.approx(3.0, abs=0.05)
    assert apart.chance_above()[2].tolist() == [1, 1, 0]


def test_what_all_share_widens_costs_but_not_their_order():
    generator = np.random.default_rng(2)
    estimate = np.array([0.0, 0.3, 0.6, 0.9])
    own = judge_together(estimate, 0.01 * np.eye(4), 60, generator, 20_000)
    shared = judge_together(estimate, 0.01 * np.eye(4) + 0.08, 60, generator, 20_000)
    assert np.std(shared.draws[:, 0]) > 2 * np.std(own.draws[:, 0])
    assert shared.chance_first() == pytest.approx(own.chance_first(), abs=0.05)


def test_the_first_of_groups_drawn_alike_costs_what_is_said():
    """800 times ten groups spread as much as they are measured: Morris 1983 has the first's interval cover."""
    generator = np.random.default_rng(3)
    covered, raw = [], []
    for _ in range(800):
        truth = generator.normal(0.5, 0.3, 10)
        found = truth + generator.normal(0, 0.3, 10)
        together = judge_together(found, 0.09 * np.eye(10), 60, generator, 500)
        first = int(np.argmax(together.mean))
        covered.append(together.quantile(0.05)[first] <= truth[first] <= together.quantile(0.95)[first])
        raw.append(abs(found[first] - truth[first]) <= 1.671 * 0.3)
    assert np.mean(covered) >= 0.87
    assert np.mean(raw) < 0.87
