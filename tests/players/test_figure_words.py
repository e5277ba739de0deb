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
from golfstats.calc.units import Unit
from golfstats.doors.pages.shown import told
from players.figures.answers.squads import average
from players.figures.putts_made import made_spec
from players.golf.answers import figure, figure_name
from players.golf.words import by_chance_words, figure_words


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


@pytest.mark.parametrize(
    ("low", "value", "high", "unit", "words"),
    [
        (-0.09, 19.17, 38.43, Unit.STROKES, "19 strokes (0 to 38), 7 rounds"),
        (-1.98, 0.57, 3.12, Unit.STROKES_A_ROUND, "0.6 strokes a round (−2.0 to 3.1), 7 rounds"),
        (1.62, 3.23, 4.83, Unit.STROKES_A_ROUND, "3.23 strokes a round (1.62 to 4.83), 7 rounds"),
        (0.021, 0.024, 0.027, Unit.STROKES_A_SHOT, "0.024 strokes a shot (0.021 to 0.027), 7 rounds"),
        (0.0001, 0.002, 0.0049, Unit.SHARE, "<1% (<1% to <1%), 7 rounds"),
        (0.0, 0.0, 0.12, Unit.SHARE, "0% (0% to 12%), 7 rounds"),
        (0.9, 0.999, 1.0, Unit.SHARE, ">99% (90% to 100%), 7 rounds"),
    ],
)
def test_a_figure_is_told_as_finely_as_its_interval_deserves(
    low: float, value: float, high: float, unit: Unit, words: str
) -> None:
    assert figure_words(Figure(value, low, high, 7, 5, unit), of="round") == words


def test_pages_tell_it_alike_and_programs_get_the_numbers_exactly() -> None:
    answer = figure(Figure(19.17, -0.09, 38.43, 7, 5, Unit.STROKES), of="round")
    shown = told(answer)
    assert (shown.value, shown.interval, shown.sample) == ("19", "0 to 38", "7 rounds")
    assert (answer.value, answer.low, answer.high) == (19.17, -0.09, 38.43)


@pytest.mark.parametrize(
    ("p_value", "words"),
    [
        (0.11, "in 11 of 100 cases"),
        (0.0997, "in 10 of 100 cases"),
        (0.02, "in 20 of 1,000 cases"),
        (0.0004, "in fewer than 1 of 1,000 cases"),
        (1.0, "in nearly all cases"),
    ],
)
def test_a_p_value_is_told_as_how_often_chance_does_as_much(p_value: float, words: str) -> None:
    assert by_chance_words(p_value) == words


def test_a_chance_that_rounding_made_nothing_is_not_told_as_none() -> None:
    """A three-putt from 3 ft: the answer has four decimals, and the page said "0% (0% to 0%)"."""
    shown = told(figure(Figure(0.00002, 0.00001, 0.00004, 400, 10, Unit.SHARE), of="putt"))
    assert (shown.value, shown.interval) == ("<1%", "<1% to <1%")
    none_seen = told(figure(Figure(0.0, 0.0, 0.2, 12, 10, Unit.SHARE), of="putt"))
    assert (none_seen.value, none_seen.interval) == ("0%", "0% to 20%")


def test_the_average_of_a_squad_has_an_interval_and_counts_the_players() -> None:
    """Variances of independent figures add up, so equal widths shrink by the root of their number."""
    wide = [
        figure(Figure(value, value - 1, value + 1, 50, 18, Unit.STROKES_A_ROUND)) for value in (-1.0, 0, 1, 2)
    ]
    found = average([*wide, figure(Figure.too_few(3, 18, Unit.STROKES_A_ROUND))])
    assert (found.value, found.low, found.high, found.n) == (0.5, 0.0, 1.0, 4)
    assert found.words == "+0.50 strokes a round (0.00 to +1.00), 4 players"
    assert average([figure(Figure.too_few(3, 18, Unit.STROKES_A_ROUND))]) is None
