"""The effect model on invented clubs whose truth is known."""

import json
from dataclasses import replace

import numpy as np
import pytest

from golfstats.calc.greens.disturbance import Work
from golfstats.calc.greens.effect import GreensEffect
from golfstats.calc.greens.estimate import fit_effect
from golfstats.calc.greens.putts import bin_putts
from tests.calc.greens.putting_club import SEASON_START, WORKS, play


def fit(club, works=WORKS, kind=None):
    return fit_effect(bin_putts(club.putts, {0: works}), kind)


@pytest.fixture(scope="module")
def cored_club():
    club = play(np.random.default_rng(11), players=25, rounds=30)
    return club, fit(club)


def test_finds_a_real_effect(cored_club):
    _, effect = cored_club
    direction, distance = effect.growth()
    assert effect.claimed
    assert direction.low < 0.25 < direction.high
    assert distance.low < 0.25 < distance.high


def test_cost_falls_to_nothing_as_the_greens_heal(cored_club):
    club, effect = cored_club
    costs = [effect.strokes_after(day, "coring_medium", severity=1.0) for day in (0, 3, 7, 14, 28)]
    values = [cost.value for cost in costs]
    assert costs[0].low < club.true_strokes(1.0) < costs[0].high
    assert values == sorted(values, reverse=True)
    assert values[-1] == pytest.approx(0, abs=1e-6)


def test_finds_how_long_recovery_takes(cored_club):
    _, effect = cored_club
    recovery = effect.recovery_days("coring_medium")
    assert recovery.low < 10 < recovery.high
    slow = fit(play(np.random.default_rng(12), players=25, rounds=30, recovery=20.0))
    assert slow.recovery_days("coring_medium").value > recovery.value + 4


def test_says_nothing_where_there_is_nothing():
    effect = fit(
        play(np.random.default_rng(13), players=25, rounds=30, direction_effect=0.0, distance_effect=0.0)
    )
    cost = effect.strokes_per_round(1.0)
    assert not effect.claimed
    assert effect.probability < 0.5
    assert cost.low <= 0 <= cost.high


def test_finds_a_cost_that_lies_in_distance_control_alone():
    club = play(np.random.default_rng(14), players=25, rounds=40, direction_effect=0.0, distance_effect=0.3)
    effect = fit(club)
    direction, distance = effect.growth()
    cost = effect.strokes_per_round(1.0)
    assert effect.claimed
    assert distance.low > 0.1
    assert direction.value < 0.1
    assert cost.low < club.true_strokes(1.0) < cost.high


def test_too_few_rounds_say_so():
    club = play(np.random.default_rng(15), players=3, rounds=10)
    effect = fit(club)
    assert not effect.enough
    assert not effect.claimed
    assert effect.strokes_per_round(1.0).value is None
    assert effect.growth()[0].value is None
    assert effect.recovery_days("coring_medium").value is None


def test_no_work_at_all_is_too_few():
    club = play(np.random.default_rng(16), players=10, rounds=20)
    assert fit(club, works=[]).strokes_after(0, "coring_medium").value is None


def test_one_kind_rests_on_the_days_of_that_kind_alone():
    venting = [Work("solid_tine", SEASON_START + day, SEASON_START + day) for day in (10, 105)]
    club = play(np.random.default_rng(17), players=25, rounds=30, works=WORKS)
    both = fit(club, [*WORKS, *venting])
    assert fit(club, [*WORKS, *venting], "coring_medium").rounds < both.rounds
    assert fit(club, [*WORKS, *venting], "solid_tine").rounds < 60


def test_kinds_are_told_apart():
    light = [Work("topdressing_light", SEASON_START + day, SEASON_START + day) for day in range(5, 205, 14)]
    club = play(np.random.default_rng(22), players=25, rounds=30)
    works = [*WORKS, *light]
    overall, coring, sand = (fit(club, works, kind) for kind in (None, "coring_medium", "topdressing_light"))
    assert coring.claimed
    assert not sand.claimed
    assert coring.strokes_after(0, "coring_medium").value > overall.strokes_after(0, "coring_medium").value


def test_days_that_differ_for_other_reasons_widen_the_interval():
    calm = fit(play(np.random.default_rng(18), players=25, rounds=30))
    rough = fit(play(np.random.default_rng(18), players=25, rounds=30, day_sd=0.12))
    assert rough.day_sd == pytest.approx(0.12, abs=0.04)
    assert width(rough.strokes_per_round(1.0)) > 1.15 * width(calm.strokes_per_round(1.0))


def test_green_speed_is_not_taken_for_disturbance():
    rng = np.random.default_rng(19)
    fast = {day: 9.0 if day % 2 else 11.0 for day in range(SEASON_START, SEASON_START + 400)}
    works = [
        Work("coring_medium", day, day, severity=1.0) for day in range(SEASON_START, SEASON_START + 210, 30)
    ]
    club = play(rng, players=25, rounds=30, direction_effect=0.0, distance_effect=0.0, works=works)
    speed = np.array([fast[day] for day in club.putts.day.tolist()])
    effect = fit_effect(bin_putts(replace(club.putts, speed_ft=speed), {0: works}))
    assert not effect.claimed


def test_leaves_that_nobody_recorded_still_leave_an_answer():
    effect = fit(play(np.random.default_rng(20), players=25, rounds=30, leave_recorded=0.0))
    direction, _ = effect.growth()
    assert effect.claimed
    assert direction.low < 0.25 < direction.high


def test_stored_as_json_and_back(cored_club):
    _, effect = cored_club
    back = GreensEffect.restored(json.loads(json.dumps(effect.stored())))
    assert back.strokes_after(3, "coring_medium") == effect.strokes_after(3, "coring_medium")
    assert back.probability == effect.probability


def width(figure):
    return figure.high - figure.low


@pytest.mark.slow
@pytest.mark.parametrize(
    ("players", "rounds", "effect", "clubs"), [(40, 40, 0.25, 20), (8, 25, 0.25, 60), (8, 25, 0.0, 60)]
)
def test_over_many_clubs_intervals_hold_and_alarms_are_true(players, rounds, effect, clubs):
    growth, covered, claimed = [], [], []
    for number in range(clubs):
        rng = np.random.default_rng([21, number])
        club = play(rng, players=players, rounds=rounds, direction_effect=effect, distance_effect=effect)
        found = fit(club)
        figures = found.growth()
        growth.append([figure.value for figure in figures])
        covered.append([figure.low <= effect <= figure.high for figure in figures])
        claimed.append(found.claimed)
    # Four standard errors of a true 90% coverage; with no effect the lump at zero covers nearly always.
    slack = 4 * np.sqrt(0.9 * 0.1 / clubs)
    assert np.mean(covered) > 0.9 - slack
    if effect == 0:
        assert np.mean(claimed) <= 0.10
        assert np.mean(growth) == pytest.approx(0, abs=0.02)
    else:
        assert np.mean(claimed) > 0.6
        assert np.mean(growth) == pytest.approx(effect, abs=0.05)
        assert np.std(np.mean(growth, axis=1)) < (0.035 if rounds == 40 else 0.10)
