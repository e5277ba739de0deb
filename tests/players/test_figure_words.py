"""What a figure says in words when it is too few to be told."""

from math import inf

import numpy as np
import pytest
from django.utils.translation import override

from golfstats.calc.figure import Figure, clustered_mean_figure
from golfstats.calc.figures import distances
from golfstats.calc.figures.approach import Band
from golfstats.calc.figures.catalogue import figure_named
from golfstats.calc.observations import FigureSpec
from players.figures.putts_made import made_spec
from players.golf.answers import figure_name
from players.golf.words import figure_words


def test_below_the_minimum_the_words_count_both():
    assert figure_words(Figure.too_few(4, 10, "strokes"), of="shot") == "too few: 4 of at least 10 shots"


def test_below_the_minimum_a_german_reads_a_number_in_its_case():
    with override("de"):
        told = figure_words(Figure.too_few(14, 18, "strokes"), of="hole")
        assert told == "zu wenige: 14, nötig sind mindestens 18 Löcher"


def test_many_shots_of_one_round_are_too_few_rounds():
    """No interval comes from one round, however many its shots: "40 of at least 10" would make no sense."""
    figure = clustered_mean_figure(np.linspace(-1, 1, 40), np.zeros(40, dtype=int), "strokes", 10)
    assert figure_words(figure, of="shot") == "too few rounds or players: 40 shots"


def test_many_rounds_of_few_days_are_not_said_to_be_too_few_rounds():
    assert figure_words(Figure.too_few(24, 12, "strokes"), of="round") == (
        "too few days, or too much alike: 24 rounds"
    )


@pytest.mark.parametrize(
    ("spec", "english", "german"),
    [
        (
            figure_named("approach.50-125.proximity"),
            "Median distance left from 50-125 yards",
            "Rest aus 50-125 Yards, Median",
        ),
        (
            figure_named("approach.200+.gained"),
            "Strokes gained a shot from 200+ yards",
            "Gewonnene Schläge je Schlag aus 200+ Yards",
        ),
        (made_spec(Band(3.0, 5.0)), "Putts holed from 3 to 5 feet", "Gelochte Putts aus 3 bis 5 Fuß"),
        (made_spec(Band(30.0, inf)), "Putts holed from 30 feet and beyond", "Gelochte Putts ab 30 Fuß"),
        (distances.specs(3, "7-iron")[0], "Distance with the 7-iron", "Weite mit Eisen 7"),
        (
            figure_named("gained.putting"),
            "Strokes gained putting a round",
            "Gewonnene Schläge beim Putten je Runde",
        ),
    ],
)
def test_a_figure_of_any_band_or_club_has_its_name_in_each_language(
    spec: FigureSpec, english: str, german: str
) -> None:
    assert figure_name(spec, "yards").name == english
    with override("de"):
        assert figure_name(spec, "yards").name == german
