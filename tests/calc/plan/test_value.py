"""Cases whose answer is known without the machinery: symmetry, trouble on one side, nothing that scatters."""

from dataclasses import replace

import numpy as np
import pytest

from golfstats.calc.plan import value
from golfstats.calc.plan.choices import choice_sentence, tee_choices
from golfstats.calc.plan.greens import Greens
from golfstats.calc.plan.hole.drawing import Surface
from golfstats.calc.plan.hole.generic import generic_hole
from golfstats.calc.plan.kernels import Plane
from golfstats.calc.plan.options import options_from, plain_tee_shot, valued
from golfstats.calc.plan.play import play_hole
from golfstats.calc.plan.shots.pattern import (
    HALF_WITHIN,
    NINE_TENTHS_WITHIN,
    WIDE,
    WIDE_SHARE,
    Spread,
    drawn_errors,
    finish,
)
from golfstats.calc.plan.shots.prior import usual_bag, usual_putting
from golfstats.calc.plan.value import best_play
from golfstats.calc.vocabulary import Lie
from tests.calc.plan.forecasts import at_the_flag
from tests.calc.plan.holes import box, shape, strip_hole

BAG = usual_bag(12)
GREENS = Greens(*usual_putting(12))
COARSE = 4.0


def solve(drawing, bag=BAG, step=COARSE):
    return best_play(shape(drawing, step=step), bag, GREENS)


def best_tee(best, bag=BAG):
    options = options_from(best, bag, best.shape.tee, Lie.TEE)
    row = options.best
    x = options.length[row] * np.sin(options.direction[row])
    return options, row, float(x)


def test_a_filter_is_the_expectation_over_the_pattern():
    # Against drawing the pattern itself, on a map that is not smooth.
    spread = Spread(along=9.0, across=6.0, mishit=0.08, length=150.0)
    rows, columns, step = 160, 70, 2.0
    y, x = step * np.arange(rows), step * np.arange(columns)
    values = np.where((x[None, :] > 60) ^ (y[:, None] > 240), 1.0, 0.0) + 0.01 * y[:, None]
    plane = Plane(rows, columns, step, 80.0)
    direction = 0.4
    mean = plane.expectations(plane.waves(values, 0.0), plane.filters(spread, [direction]))[0]
    n = 400_000
    along, across = finish(
        np.array(9.0),
        np.array(6.0),
        np.array(0.08),
        np.array(150.0),
        drawn_errors(n, np.random.default_rng(5)),
    )
    for row, column in ((118, 32), (125, 30), (90, 40)):
        end_x = x[column] + along * np.sin(direction) + across * np.cos(direction)
        end_y = y[row] + along * np.cos(direction) - across * np.sin(direction)
        at = np.floor(end_y / step + 0.5).astype(int), np.floor(end_x / step + 0.5).astype(int)
        drawn = values[np.clip(at[0], 0, rows - 1), np.clip(at[1], 0, columns - 1)].mean()
        assert mean[row, column] == pytest.approx(drawn, abs=0.006)


def test_a_shot_the_other_way_is_the_shot_on_the_hole_turned_round():
    spread, plane = Spread(along=9.0, across=6.0, mishit=0.08, length=120.0), Plane(150, 130, 2.0, 80.0)
    values = np.zeros((150, 130))
    values[70:78, 60:68] = np.random.default_rng(2).random((8, 8))

    def played(direction, there):
        return plane.expectations(plane.waves(there, 0.0), plane.filters(spread, [direction]))[0]

    ahead = played(0.4, values)
    assert ahead.max() > 0.05
    for direction, turned in (
        (-0.4, np.s_[:, ::-1]),
        (np.pi - 0.4, np.s_[::-1]),
        (0.4 - np.pi, np.s_[::-1, ::-1]),
    ):
        assert played(direction, values[turned])[turned] == pytest.approx(ahead, abs=1e-5)


def test_a_hole_alike_on_both_sides_is_aimed_at_its_middle():
    best = solve(strip_hole())
    _, _, x = best_tee(best)
    assert abs(x) <= COARSE
    assert np.nanmax(np.abs(best.value - best.value[:, ::-1])) < 0.005


def test_water_on_one_side_moves_the_aim_away_and_more_for_a_wider_pattern():
    # Mown grass without end on the left, water on the right: only the water says where to aim.
    drawing = strip_hole(
        extra=(box(Surface.FAIRWAY, -71.5, 0, 100, 360), box(Surface.WATER, 20, 71.5, 120, 360))
    )
    moved = []
    for wider in (0.5, 0.8, 1.2):
        bag = BAG.scaled(across=wider)
        best = solve(drawing, bag)
        options = options_from(best, bag, best.shape.tee, Lie.TEE)
        row = options.best_of_club(0)
        moved.append(float(options.length[row] * np.sin(options.direction[row])))
    assert moved[0] < -1
    assert moved[2] < moved[1] - 2 < moved[0] - 4


def test_a_pattern_without_width_moves_from_nothing():
    # Everything goes where it is meant to: the straight line stays the best, hazard or not.
    bag = replace(BAG.scaled(along=0.02, across=0.02), mishit=0.0, short_mishit=0.0)
    best = solve(strip_hole(extra=(box(Surface.WATER, 20, 70, 120, 360),)), bag)
    options = options_from(best, bag, best.shape.tee, Lie.TEE)
    straight = valued(best, bag, best.shape.tee, Lie.TEE, np.array([bag.drive]), np.array([0.0]))
    assert straight.expected[0] == pytest.approx(options.expected[options.best], abs=0.02)


def test_out_of_bounds_costs_the_stroke_and_the_distance():
    # One club, one direction, chance G to be gone: E = (1 + B + G) / (1 - G) is the sum of the series of replays.
    best = solve(strip_hole(extra=(box(Surface.OUT, 22, 70, -20, 420),)))
    shot = valued(best, BAG, best.shape.tee, Lie.TEE, np.array([BAG.drive]), np.array([0.05]))
    gone = float(shot.gone[0])
    assert gone > 0.1
    cost, out = best.landed()
    rng = np.random.default_rng(3)
    n = 200_000
    along, across = finish(
        *BAG.spreads(Lie.TEE, np.array([BAG.drive])), np.array([BAG.drive]), drawn_errors(n, rng)
    )
    ahead = BAG.drive + along
    x, y = ahead * np.sin(0.05) + across * np.cos(0.05), ahead * np.cos(0.05) - across * np.sin(0.05)
    lost = best.shape.look_up(out, x, y, 1.0)
    kept = best.shape.look_up(cost, x, y, 0.0)[lost == 0].mean()
    replays = gone / (1 - gone)
    assert shot.expected[0] == pytest.approx(1 + kept + 2 * replays, abs=0.02)


def test_a_tie_is_called_a_tie():
    # A flag between two clubs, a little nearer the longer one's length: mis-hits make every club play shorter.
    between = 0.3 * BAG.clubs[5].length + 0.7 * BAG.clubs[4].length
    choices = tee_choices(solve(strip_hole(between), step=2.0), [BAG])
    assert {choices[0].club, choices[1].club} == {"5-iron", "6-iron"}
    assert choices[1].tie
    assert "take the one you like" in choice_sentence(choices)
    assert not choices[-1].tie


def test_doubt_about_the_patterns_makes_more_ties():
    best = solve(strip_hole())
    draws = [BAG.scaled(length=1.0 + 0.001 * k) for k in range(-2, 3)]
    # In the second set the driver is what is not known: now 30 yards longer, now shorter than believed.
    wild = [
        replace(BAG, clubs=(replace(BAG.clubs[0], length=BAG.drive + 15 * k), *BAG.clubs[1:]))
        for k in range(-2, 3)
    ]
    sure, unsure = tee_choices(best, [BAG, *draws]), tee_choices(best, [BAG, *wild])
    assert sure[1].worse == pytest.approx(unsure[1].worse)
    assert unsure[1].doubt > 5 * sure[1].doubt
    assert not sure[1].tie
    assert unsure[1].tie


def test_a_start_from_double_cells_and_fewer_shots_tried_lose_nothing(monkeypatch):
    drawing = strip_hole(extra=(box(Surface.WATER, 22, 70, 190, 360), box(Surface.SAND, -30, -20, 200, 230)))
    quick = solve(drawing, step=2.0)
    monkeypatch.setattr(value, "FINE", 0.0)
    thorough = solve(drawing, step=2.0)
    assert np.nanmax(np.abs(quick.value - thorough.value)) < 0.02
    assert best_tee(quick)[0].expected.min() == pytest.approx(best_tee(thorough)[0].expected.min(), abs=0.002)


def test_the_value_falls_towards_the_hole():
    best = solve(strip_hole())
    on_line = best.value[:, best.shape.column(np.array(0.0))]
    fairway = best.shape.lie[:, best.shape.column(np.array(0.0))] == Lie.FAIRWAY
    assert np.all(np.diff(on_line[fairway]) < 0.005)


@pytest.mark.parametrize("length", [150.0, 380.0])
def test_played_by_its_plan_a_hole_costs_what_the_plan_says(length):
    drawing = strip_hole(
        length, extra=(box(Surface.WATER, 22, 70, length * 0.5, length - 20),), falls_to=(0.0, -0.02)
    )
    best = solve(drawing, step=2.0)
    options, row, _ = best_tee(best)
    shot = float(options.length[row]), float(options.direction[row])
    played = play_hole(best, BAG, GREENS, shot, 100_000, np.random.default_rng(11))
    error = played.score.std() / np.sqrt(len(played))
    assert played.score.mean() == pytest.approx(options.expected[row], abs=0.012 + 3 * error)
    # And it is never worse than the longest sensible club at the flag all the way.
    plain = plain_tee_shot(best.shape, BAG)
    flag = play_hole(best, BAG, GREENS, plain, 100_000, np.random.default_rng(12), at_the_flag(best, BAG))
    assert played.score.mean() < flag.score.mean() + 3 * error


@pytest.mark.parametrize(("within", "share"), [(HALF_WITHIN, 0.5), (NINE_TENTHS_WITHIN, 0.9)])
def test_the_rings_of_a_pattern_hold_the_share_that_they_name(within: float, share: float) -> None:
    usual, wide = (1 - np.exp(-(within**2) / (2 * scatter**2)) for scatter in (1.0, WIDE))
    assert (1 - WIDE_SHARE) * usual + WIDE_SHARE * wide == pytest.approx(share, abs=0.001)


@pytest.mark.parametrize("length", [45, 50, 55])
def test_a_hole_that_is_shorter_than_most_clubs_can_be_planned(length):
    """All aims of a long club lie beyond the drawing from wherever it is tried."""
    expected = []
    for handicap in (0, 10, 24):
        bag = usual_bag(handicap)
        options, row, _ = best_tee(solve(generic_hole(3, length), bag), bag)
        expected.append(options.expected[row])
    assert 2.0 < expected[0] < expected[1] < expected[2] < 4.5
