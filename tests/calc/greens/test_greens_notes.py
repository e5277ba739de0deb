"""Condition notes say what the figures say."""

from dataclasses import replace

import numpy as np
import pytest

from golfstats.calc.figure import Figure
from golfstats.calc.greens.adjusted import AdjustedPutting
from golfstats.calc.greens.effect.healing import KIND_KNOTS, KNOTS, default_decay
from golfstats.calc.greens.effect.posterior import Placebo, too_few_effect, widened
from golfstats.calc.greens.notes import WorkThen, course_day_note, round_note
from golfstats.calc.greens.surface.disturbance import Work
from golfstats.ground.words import signed_number

DAY = 738_000
CORED = Work("coring_medium", DAY - 6, DAY - 6)
UNIT = "strokes a round"


def figure(value, low, high, n=41):
    return Figure(value, low, high, n, 12, UNIT)


def effect(strokes=1.5, sd=0.2):
    """A club that knows what coring at home costs on the first day, to this standard deviation."""
    decay = default_decay(KNOTS)
    none = len(KIND_KNOTS) + 1
    mean = np.concatenate([strokes * decay, np.zeros(none)])
    covariance = np.zeros((len(mean), len(mean)))
    covariance[: len(KNOTS), : len(KNOTS)] = sd**2 * np.outer(decay, decay)
    mean, covariance = widened(mean, covariance, ("coring_medium",), ("home",))
    return replace(
        too_few_effect(41, 9, 30_000),
        by_kind={"coring_medium": 41},
        by_course={"home": 41},
        by_course_and_kind={"home": {"coring_medium": 41}},
        mean=mean,
        covariance=covariance,
    )


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
    # Severity 0.9 of what fresh work may cost where nothing is known.
    assert "unknown, perhaps 0.0 to 1.8 strokes a round at first" in note
    assert "lose" not in note


def test_a_course_without_rounds_is_not_told_what_holds_at_home():
    note = course_day_note(THEN, 0.3, COST, effect(), "another course")
    assert "What such work costs on this course is unknown (0 rounds after it)" in note
    assert "perhaps" in note
    assert "lose" not in note
    assert "lose 0.9" in course_day_note(THEN, 0.3, COST, effect(), "home")


def test_a_kind_of_work_without_rounds_is_unknown_at_home_too():
    slit = WorkThen.on([Work("slicing", DAY, DAY, severity=0.5)], DAY)
    assert "is unknown (0 rounds after it)" in course_day_note(slit, 0.3, COST, effect(), "home")


def test_a_cost_too_uncertain_for_a_size_is_still_a_cost():
    note = course_day_note(THEN, 0.3, Figure.too_few(41, 12, UNIT), effect())
    assert (
        "Such work costs members here strokes; too few rounds to say how many (41 rounds on 9 days)" in note
    )
    doubtful = course_day_note(THEN, 0.3, Figure.too_few(41, 12, UNIT), effect(sd=2.0))
    assert "Too few rounds to say what it costs (41 rounds on 9 days)" in doubtful


def test_a_spell_of_bad_golf_is_named_instead_of_a_size():
    worse_at_everything = replace(effect(), tee_to_green=(2.0, 0.5))
    note = course_day_note(THEN, 0.3, Figure.too_few(41, 12, UNIT), worse_at_everything)
    assert "cannot be told: in those days members lost more strokes from tee to green too" in note


def test_what_is_seen_without_work_is_named_instead_of_a_size():
    seen = replace(effect(), placebo=Placebo((DAY - 90, DAY - 50), (1.2, 1.5), (0.4, 0.5)))
    note = course_day_note(THEN, 0.3, Figure.too_few(41, 12, UNIT), seen)
    assert "What it costs cannot be told: on dates without work something is seen here too." in note


def test_nothing_is_put_down_to_greens_of_which_the_cost_is_unknown():
    """What was owed on another course comes from home alone: the note that calls it unknown gives it no part."""
    note = round_note(THEN, 0.5, COST, effect(), putting(-2.0, 1.5, 0.9, 2.1), course="another course")
    assert "What such work costs on this course is unknown" in note
    assert note.endswith(
        "2.0 strokes lost against the benchmark; what part of it was the greens is unknown here."
    )
    assert "mostly" not in note


def test_no_claim_without_an_effect():
    note = course_day_note(THEN, 0.3, figure(0.1, -0.2, 0.4), effect(strokes=0.0))
    assert "do not show" in note
    assert "chance that it costs any 50%" in note


def test_no_chance_is_told_as_none():
    note = course_day_note(THEN, 0.3, figure(0.1, -0.2, 0.4), effect(strokes=-3.0))
    assert "chance that it costs any 1%" in note


def test_greens_that_putt_better_after_work_say_so():
    note = course_day_note(THEN, 0.3, figure(-0.8, -1.2, -0.3), effect(strokes=-1.0))
    assert "members here gain 0.8 putts a round, 90% interval 0.3 to 1.2, from 41 rounds" in note


@pytest.mark.parametrize(
    ("cost", "said"),
    [
        (figure(-0.1, -0.5, 0.3), "At this stage it costs members here next to nothing (−0.1 putts a round"),
        (
            figure(-0.7, -2.3, 0.9),
            "Whether it still costs members here strokes at this stage cannot be told (−0.7",
        ),
        # An interval that holds zero has no "lose", on whichever side its middle lies.
        (
            figure(0.9, -0.9, 2.8),
            "Whether it still costs members here strokes at this stage cannot be told (0.9",
        ),
    ],
)
def test_nothing_is_said_to_cost_what_its_interval_leaves_open(cost, said):
    assert said in course_day_note(THEN, 0.3, cost, effect())


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


def test_a_round_as_usual_needs_no_explanation():
    note = round_note(THEN, 0.5, COST, effect(), putting(-3.1, 1.5, 0.9, 2.1), usual=-3.0)
    assert "0.1 worse than this player's usual, although the greens account for 1.5 strokes" in note
    assert "mostly" not in note


def test_greens_that_may_have_had_no_part_are_no_excuse_for_a_usual_round():
    note = round_note(THEN, 0.5, COST, effect(), putting(-3.1, 0.3, -0.4, 1.0), usual=-3.0)
    assert "0.1 worse than this player's usual (the greens account for 0.3 strokes, 90% interval −0.4" in note
    assert "although" not in note


def test_putting_better_than_usual_is_no_ones_fault():
    note = round_note(THEN, 0.5, COST, effect(), putting(-1.0, 1.5, 0.9, 2.1), usual=-3.0)
    assert "2.0 better than this player's usual, although the greens account for 1.5 strokes" in note
    assert "mostly" not in note


@pytest.mark.parametrize(
    ("raw", "owed", "verdict"),
    [
        (-2.0, (1.5, 0.9, 2.1), "mostly the greens"),
        (-4.0, (0.8, 0.4, 1.2), "mostly not the greens"),
        (-4.0, (2.0, 0.5, 3.5), "in part the greens, how much of it cannot be told"),
        (-4.0, (1.5, -0.5, 3.5), "whether the greens had a part in it cannot be told"),
        # Seven strokes lost of which the greens explain at most a fifth of one: that is no doubt at all.
        (-7.0, (0.1, 0.0, 0.2), "not the greens"),
        (-7.0, (-0.4, -1.5, 0.7), "not the greens"),
    ],
)
def test_the_verdict_is_what_the_interval_allows(raw, owed, verdict):
    note = round_note(THEN, 0.5, COST, effect(), putting(raw, *owed))
    said = note.split("against the benchmark")[1]
    assert said[2:].startswith(f"{verdict} (the greens account for {signed_number(owed[0], 1)} strokes")


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
