"""The attention list: each rule's two sides, reasons, keys and order."""

import random

import numpy as np
import pytest
from scipy import stats

from golfstats.calc.coaching.attention import (
    AttentionKind,
    Counts,
    cap_item,
    exceptional_score_item,
    goal_item,
    in_order,
    no_round_item,
    rate_figure,
    shift_item,
    tail_chance,
    unusual_rate_item,
)
from golfstats.calc.coaching.goals import GoalState, Progress
from golfstats.calc.coaching.level_shifts import Shift
from golfstats.calc.figure import Figure

INDEX = Figure(12.3, None, None, 20, 3, "index")


def shift(size, day=1000.0):
    return Shift(day, 30, Figure(size, size - 0.5, size + 0.5, 60, 6, "putts"), 20.0)


def goal_progress(chance, state=GoalState.OPEN):
    return Progress(state, Figure(34, 33, 35, 20, 5, "putts"), 5, chance)


def test_shift_says_what_became_worse_and_by_how_much():
    item = shift_item("putts", "Putts a round", shift(1.5), "lower", 1030)
    assert item.reason == "Putts a round has become worse by 1.50 putts"
    assert item.figure.value == 1.5
    assert item.began == 1000
    assert "improved" in shift_item("putts", "Putts a round", shift(-1.5), "lower", 1030).reason
    assert "improved" in shift_item("greens", "Greens", shift(1.5), "higher", 1030).reason


def test_no_item_without_a_shift_or_for_an_old_one():
    assert shift_item("putts", "Putts", None, "lower", 1030) is None
    assert shift_item("putts", "Putts", shift(1.5), "lower", 1121) is None


def test_shift_keeps_its_key_when_another_round_moves_its_day():
    first = shift_item("putts", "Putts", shift(1.5, day=1000), "lower", 1030)
    again = shift_item("putts", "Putts", shift(1.7, day=1007), "lower", 1037)
    back = shift_item("putts", "Putts", shift(-1.7, day=1007), "lower", 1037)
    assert first.key == again.key != back.key


@pytest.mark.parametrize(
    ("progress", "by"),
    [
        (goal_progress(0.25), 1050),
        (goal_progress(None), 1050),
        (goal_progress(0.1), 1100),
        (goal_progress(0.1, GoalState.MET), 1050),
        (goal_progress(0.1, GoalState.CLOSED), 1050),
    ],
)
def test_goal_is_not_at_risk(progress, by):
    assert goal_item("g1", "Putts", progress, by, 1030) is None


def test_goal_at_risk_gives_chance_and_days():
    item = goal_item("g1", "Putts under 33", goal_progress(0.004), 1050, 1030)
    assert item.reason == "Putts under 33: 1% chance of meeting the goal, 20 days left"
    assert item.figure.value == 34


def test_no_round_from_the_28th_day_and_for_a_new_player_from_joining():
    assert no_round_item(1000, 900, 1027) is None
    assert no_round_item(1000, 900, 1028).reason == "no round for 28 days"
    assert no_round_item(None, 1010, 1030) is None
    assert no_round_item(None, 1000, 1030).reason == "no round posted yet"


def test_three_putts_beyond_the_players_own_history():
    usual, recent = Counts(20, 720), Counts(12, 90)
    item = unusual_rate_item("three_putts", "Three-putts", recent, usual, 1000, "binomial")
    assert item.reason == "Three-putts: 12 in the last 90, usually 2.5 in as many"
    assert item.figure.value == pytest.approx(12 / 90)
    assert item.figure.low < 12 / 90 < item.figure.high
    assert unusual_rate_item("three_putts", "Three-putts", Counts(4, 90), usual, 1000, "binomial") is None
    assert unusual_rate_item("three_putts", "Three-putts", Counts(0, 90), usual, 1000, "binomial") is None


@pytest.mark.parametrize(("recent", "before"), [(Counts(0, 0), Counts(3, 90)), (Counts(9, 9), Counts(0, 0))])
def test_rate_without_recent_or_earlier_holes_is_not_judged(recent, before):
    assert unusual_rate_item("penalties", "Penalties", recent, before, 1000, "poisson") is None


def test_short_history_is_no_proof():
    """Five penalties in two rounds after one in two might be chance; after ten in twenty they are not."""
    assert unusual_rate_item("p", "Penalties", Counts(5, 36), Counts(1, 36), 0, "poisson") is None
    assert unusual_rate_item("p", "Penalties", Counts(5, 36), Counts(10, 360), 0, "poisson") is not None


def test_tail_chances_are_those_of_scipys_exact_tests():
    recent, before = Counts(7, 90), Counts(20, 720)
    fisher = stats.fisher_exact([[7, 83], [20, 700]], alternative="greater").pvalue
    conditional = stats.binomtest(7, 27, 90 / 810, alternative="greater").pvalue
    assert tail_chance(recent, before, "binomial") == pytest.approx(fisher)
    assert tail_chance(recent, before, "poisson") == pytest.approx(conditional)


def test_unusual_rates_are_seldom_called_when_nothing_changed():
    generator = np.random.default_rng(1)
    calls = []
    for _ in range(2000):
        recent, before = Counts(int(generator.poisson(5)), 90), Counts(int(generator.poisson(40)), 720)
        calls.append(unusual_rate_item("p", "Penalties", recent, before, 0, "poisson") is not None)
    assert np.mean(calls) <= 0.015


def test_rate_interval_is_garwoods():
    """5 events, exact 90% Poisson interval 1.970 to 10.513 (Garwood 1936's table, from memory)."""
    rate = rate_figure(5, 1)
    assert (rate.low, rate.high) == pytest.approx((1.970, 10.513), abs=1e-3)
    assert rate_figure(0, 90).low == 0


def test_cap_and_exceptional_score():
    assert cap_item(None, INDEX, 1000) is None
    assert cap_item("soft", INDEX, 1000).reason == "the soft cap holds the handicap index back"
    assert exceptional_score_item(0, INDEX, 1000, 1010) is None
    assert exceptional_score_item(1, INDEX, 1000, 1121) is None
    item = exceptional_score_item(2, INDEX, 1000, 1010)
    assert item.reason == "an exceptional score lowered the handicap index by 2"
    assert item.figure is INDEX


def test_order_is_the_same_whatever_the_order_of_finding():
    items = [
        no_round_item(1000, 900, 1040),
        shift_item("putts", "Putts", shift(1.5, 990), "lower", 1040),
        shift_item("greens", "Greens", shift(1.5, 990), "higher", 1040),
        shift_item("score", "Score", shift(1.5, 1000), "lower", 1040),
        cap_item("hard", INDEX, 1000),
        None,
    ]
    expected = in_order(items)
    assert [item.key for item in expected] == [
        "handicap_cap:hard",
        "level_shift:score:up",
        "level_shift:greens:up",
        "level_shift:putts:up",
        "no_round",
    ]
    for seed in range(5):
        random.Random(seed).shuffle(items)
        assert in_order(items) == expected
    assert AttentionKind.HANDICAP_CAP.word == "handicap_cap"
