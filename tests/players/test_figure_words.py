"""What a figure says in words when it is too few to be told."""

import numpy as np

from golfstats.calc.figure import Figure, clustered_mean_figure
from players.golf.words import figure_words


def test_below_the_minimum_the_words_count_both():
    assert figure_words(Figure.too_few(4, 10, "strokes"), of="shot") == "too few: 4 of at least 10 shots"


def test_many_shots_of_one_round_are_too_few_rounds():
    """No interval comes from one round, however many its shots: "40 of at least 10" would make no sense."""
    figure = clustered_mean_figure(np.linspace(-1, 1, 40), np.zeros(40, dtype=int), "strokes", 10)
    assert figure_words(figure, of="shot") == "too few rounds or players: 40 shots"


def test_many_rounds_of_few_days_are_not_said_to_be_too_few_rounds():
    assert figure_words(Figure.too_few(24, 12, "strokes"), of="round") == (
        "too few days, or too much alike: 24 rounds"
    )
