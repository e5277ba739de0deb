"""The court itself: it must convict what is wrong and acquit what is right."""

import io

import numpy as np
import pytest

from golfstats.calc.figure import Figure, mean_figure
from tests.worlds.court import Told, World, all_worlds, as_text, play_world, write_csv


def mean_of_normals(shift=0.0, shrink=1.0):
    """A 90% interval for the mean of 20 normals; told to be shifted or too narrow."""

    def play(rng):
        figure = mean_figure(3 + rng.standard_normal(20), "strokes")
        half = shrink * (figure.high - figure.low) / 2
        value = figure.value + shift
        return {"mean": Told(3.0, value, value - half, value + half, claimed=value - half > 3.0, is_so=False)}

    return World("normals", "a mean's interval", "20", play)


def test_an_honest_interval_holds():
    (row,) = play_world("here", mean_of_normals(), 400)
    assert row.coverage == pytest.approx(0.9, abs=0.05)
    assert row.bias == pytest.approx(0, abs=0.05)
    assert (row.refused, row.failings) == (0, [])


@pytest.mark.parametrize("wrong", [{"shift": 0.5}, {"shrink": 0.5}])
def test_a_false_one_is_convicted(wrong):
    (row,) = play_world("here", mean_of_normals(**wrong), 100)
    assert row.failings


def test_what_is_refused_is_not_judged_by_its_coverage():
    def play(rng):
        return {"mean": Told.of(Figure.too_few(3, 12, "strokes"), truth=1.0)}

    (row,) = play_world("here", World("nothing", "", "1", play), 5)
    assert (row.coverage, row.bias, row.refused, row.failings) == (None, None, 1.0, [])


def test_tries_draw_the_same_golf_whatever_else_is_played():
    (once,), (again,) = (play_world("here", mean_of_normals(), 3) for _ in range(2))
    assert once.bias == again.bias
    (other,) = play_world("here", mean_of_normals(), 3, first=3)
    assert other.bias != once.bias


def test_the_table_is_text_and_data():
    rows = play_world("here", mean_of_normals(), 3)
    assert "normals" in as_text(rows)
    file = io.StringIO()
    write_csv(rows, file)
    head, line = file.getvalue().splitlines()
    assert len(head.split(",")) == len(line.split(",")) == 14
    assert "\r" not in file.getvalue()


def test_names_of_worlds_say_which_is_which():
    names = [(subject, one.name, one.size) for subject, worlds in all_worlds().items() for one in worlds]
    assert len(set(names)) == len(names)


def test_generators_differ_between_worlds():
    seen = []
    for name in ("one", "other"):
        play_world("here", World(name, "", "1", lambda rng: seen.append(rng.random()) or {}), 1)
    assert seen[0] != seen[1]
    assert isinstance(np.float64(seen[0]), float)
