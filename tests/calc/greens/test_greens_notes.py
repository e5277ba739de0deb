"""Condition notes say what the figures say."""

from dataclasses import replace

import numpy as np

from golfstats.calc.figure import Figure
from golfstats.calc.greens.adjusted import AdjustedPutting
from golfstats.calc.greens.disturbance import Work
from golfstats.calc.greens.effect import Components, too_few_effect
from golfstats.calc.greens.notes import WorkThen, course_day_note, round_note

DAY = 738_000
CORED = Work("coring_medium", DAY - 6, DAY - 6)
UNIT = "strokes a round"


def figure(value, low, high, n=41):
    return Figure(value, low, high, n, 12, UNIT)


def effect(probability=0.99, growth=0.25):
    parts = Components(np.array([probability]), np.full((1, 2), growth), 1e-4 * np.eye(2)[None], np.ones(1))
    return replace(too_few_effect(41, 9, 30_000), first_putts=np.full(14, 18 / 14), components=parts)


def putting(raw, owed, low, high):
    return AdjustedPutting(
        Figure(raw, raw, raw, 1, 1, UNIT), figure(owed, low, high), figure(raw + owed, raw + low, raw + high)
    )


THEN = WorkThen.on([CORED], DAY)
COST = figure(0.9, 0.4, 1.4)


def test_the_note_gives_the_figures_it_rests_on():
    assert course_day_note(THEN, 0.3, COST, effect()) == (
        "Coring, medium tines on all greens 6 days before. "
        "At this stage members here lose 0.9 putts a round, 90% interval 0.4 to 1.4, from 41 rounds."
    )


def test_too_few_rounds_give_no_number_of_putts():
    note = course_day_note(THEN, 0.3, Figure.too_few(5, 12, UNIT), too_few_effect(5, 2, 4000))
    assert "too few rounds" in note.lower()
    assert "5 rounds on 2 days" in note
    assert "lose" not in note


def test_no_claim_without_an_effect():
    note = course_day_note(THEN, 0.3, figure(0.1, 0.0, 0.4), effect(probability=0.3))
    assert "do not show" in note
    assert "30%" in note


def test_greens_that_putt_better_after_work_say_so():
    note = course_day_note(THEN, 0.3, figure(-0.8, -1.2, -0.3), effect(growth=-0.2))
    assert "members here gain 0.8 putts a round, 90% interval 0.3 to 1.2, from 41 rounds" in note


def test_undisturbed_greens_have_no_note():
    assert course_day_note(THEN, 0.0, COST, effect()) == ""
    assert round_note([], 0.0, COST, effect(), putting(-3.0, 0.0, 0.0, 0.0)) == ""


def test_a_round_that_was_mostly_the_greens():
    note = round_note(THEN, 0.5, COST, effect(), putting(-2.0, 1.5, 0.9, 2.1))
    assert "2.0 strokes lost against the benchmark: mostly the greens" in note
    assert "the greens account for 1.5 strokes, 90% interval 0.9 to 2.1" in note


def test_the_greens_are_weighed_against_the_players_own_usual_putting():
    """A golfer who loses 3 strokes a round to the benchmark anyway lost 2 more: of those 1.5 were the greens."""
    note = round_note(THEN, 0.5, COST, effect(), putting(-5.0, 1.5, 0.9, 2.1), usual=-3.0)
    assert "2.0 worse than this player's usual: mostly the greens" in note


def test_putting_better_than_usual_is_no_ones_fault():
    note = round_note(THEN, 0.5, COST, effect(), putting(-1.0, 1.5, 0.9, 2.1), usual=-3.0)
    assert "2.0 better than this player's usual, although the greens account for 1.5 strokes" in note
    assert "mostly" not in note


def test_a_round_that_was_not():
    assert "mostly not the greens" in round_note(THEN, 0.2, COST, effect(), putting(-4.0, 0.8, 0.4, 1.2))


def test_a_round_of_which_it_cannot_be_told():
    assert "cannot be told" in round_note(THEN, 0.2, COST, effect(), putting(-4.0, 0.2, 0.0, 0.6))


def test_a_good_round_on_bad_greens_blames_nothing():
    note = round_note(THEN, 0.5, COST, effect(), putting(1.2, 0.8, 0.4, 1.2))
    assert "1.2 strokes gained" in note
    assert "mostly" not in note


def test_greens_are_counted_and_days_spelled():
    works = [
        Work("venting", DAY, DAY, frozenset({4})),
        Work("topdressing_light", DAY - 1, DAY - 1, frozenset({1, 2, 3})),
        Work("coring_large", DAY + 1, DAY + 1),
    ]
    note = course_day_note(WorkThen.on(works, DAY), 0.3, COST, effect())
    assert "Venting on green 4 that day; light topdressing on 3 greens the day before." in note
    assert "coring" not in note.lower()
