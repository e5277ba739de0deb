"""Green work against published figures; the sources stand in the tables beside this file."""

import csv
from pathlib import Path

import numpy as np
import pytest

from golfstats.calc.greens.surface.disturbance import share_left
from golfstats.calc.greens.surface.stimpmeter import read_speed, sloped_green_speed
from golfstats.calc.greens.surface.work_types import coring_area_percent, work_types

HERE = Path(__file__).parent


def rows(name):
    with (HERE / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", rows("green_coring_area.csv"), ids=lambda row: row["source"])
def test_coring_area_agrees_with_published_figures(row):
    area = coring_area_percent(
        float(row["diameter_in"]), float(row["spacing_in"]), float(row["spacing_across_in"])
    )
    assert area == pytest.approx(float(row["percent"]), rel=0.01)


@pytest.mark.parametrize(("up", "down", "speed"), [(10, 12, 10.91), (8, 14, 10.18)])
def test_sloped_green_speed(up, down, speed):
    # Formula: Brede, Green Section Record 28(6), 1990, and the Course Rating System Manual.
    assert sloped_green_speed(up, down) == pytest.approx(speed, abs=0.005)


def test_sloped_green_speed_undoes_the_slope():
    # Physics: with friction f and slope s the two distances go as 1/(f + s) and 1/(f - s); level is 1/f.
    friction, slope = 0.1, 0.03
    assert sloped_green_speed(1 / (friction + slope), 1 / (friction - slope)) == pytest.approx(1 / friction)


@pytest.mark.parametrize(
    ("one_way", "other_way", "doubtful"),
    [
        ([10, 10, 10], [11.4, 11.4, 11.4], False),
        ([10, 10, 10], [11.6, 11.6, 11.6], True),  # ways more than 18 in apart
        ([10, 10, 10.6], [10, 10, 10], False),
        ([10, 10, 10.7], [10, 10, 10], True),  # balls more than 8 in apart
    ],
)
def test_doubtful_readings_by_the_stimpmeter_booklet(one_way, other_way, doubtful):
    # USGA Stimpmeter booklet, as quoted by others: repeat over 8 in between balls, doubt over 18 in between ways.
    reading = read_speed(np.array(one_way), np.array(other_way))
    assert reading.doubtful is doubtful
    assert bool(reading.doubts) is doubtful


def test_decay_follows_published_green_cover():
    at_once, day_7 = rows("green_cover_after_coring.csv")
    bare = [(1 - float(r["green_cover_max"]), 1 - float(r["green_cover_min"])) for r in (at_once, day_7)]
    lowest, highest = bare[1][0] / bare[0][1], bare[1][1] / bare[0][0]
    # Half-inch hollow tines healed in 10 to 14 days (club greenkeeping note, Greens aeration, 2013).
    assert lowest < share_left(np.array([7.0]), 12.0)[0] < highest


def test_every_kind_names_its_source_and_lies_within_its_range():
    for work in work_types().values():
        assert work.source
        low, high = work.recovery_days_range
        assert low <= work.recovery_days <= high, work.kind


def test_area_ranges_of_coring_follow_from_the_usual_tines():
    kinds = work_types()
    assert coring_area_percent(0.25, 1.5) == pytest.approx(
        kinds["coring_small"].area_percent_range[0], abs=0.05
    )
    low, high = kinds["coring_medium"].area_percent_range
    assert coring_area_percent(3 / 8, 1.5) == pytest.approx(low, abs=0.05)
    assert coring_area_percent(1 / 2, 1.5) == pytest.approx(high, abs=0.05)
