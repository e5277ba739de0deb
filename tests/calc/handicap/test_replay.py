"""The fold over many replays gives, replay by replay, the index of the single record."""

from dataclasses import replace
from datetime import date, timedelta
from random import Random

import numpy as np
import pytest

from golfstats.calc.handicap import HoleScore, PenaltyScore, Score, build_record
from golfstats.calc.handicap.replay.indexes import replayed_index_or_nan, replayed_indexes
from tests.calc.handicap.histories import NINES, PARS, STROKE_INDEXES, TEES, random_history
from tests.counting import calls_of


def changed(score, fewer):
    """The score with so many strokes fewer on each of its holes, or in all."""
    if isinstance(score, PenaltyScore):
        return score
    if score.holes:
        return replace(score, holes=tuple(map(changed_hole, score.holes, fewer.tolist())))
    if score.points is not None:
        return replace(score, points=score.points + int(fewer[0]))
    return replace(score, adjusted_total=score.adjusted_total - int(fewer[0]))


def changed_hole(hole, fewer):
    if hole.strokes is not None:
        return replace(hole, strokes=max(hole.strokes - fewer, 1))
    if hole.most_likely is not None:
        return replace(hole, most_likely=max(hole.most_likely - fewer, 1))
    return hole


def random_fewer(generator, score, draws):
    columns = max(len(score.holes), 1)
    scale = 1 if score.holes else 8
    return generator.integers(-2 * scale, 4 * scale, (draws, columns))


def compare(number, draws):
    scores, actions, rules = random_history(Random(number))
    generator = np.random.default_rng(number)
    fewer = {
        score.key: random_fewer(generator, score, draws)
        for score in scores
        if isinstance(score, Score) and generator.random() < 0.8
    }
    found = replayed_indexes(scores, actions, rules, fewer, draws)
    for draw in range(draws):
        again = [changed(s, fewer[s.key][draw]) if s.key in fewer else s for s in scores]
        exact = build_record(again, actions, rules).calculated_index
        assert (None if found is None else int(found[draw])) == (None if exact is None else int(exact * 10))


@pytest.mark.parametrize("block", range(3))
def test_some_hundred_random_histories(block):
    for number in range(block * 100, block * 100 + 100):
        compare(number, draws=2)


@pytest.mark.slow
@pytest.mark.parametrize("block", range(5))
def test_ten_thousand_random_histories(block):
    for number in range(1000 + block * 2000, 1000 + (block + 1) * 2000):
        compare(number, draws=1)


def long_history(rounds=100):
    """A card twice a week."""
    random = Random(5)
    holes = [
        tuple(
            HoleScore(
                place + 1, PARS[place], STROKE_INDEXES[place], PARS[place] + random.choice((0, 1, 1, 2))
            )
            for place in range(18)
        )
        for _ in range(rounds)
    ]
    day = date(2025, 1, 1)
    return [
        Score(str(number), day + timedelta(days=3 * number), TEES[number % 4], holes=card, nines=NINES)
        for number, card in enumerate(holes)
    ]


def test_four_hundred_replays_of_a_hundred_rounds_cost_less_than_ten_records():
    scores = long_history()
    fewer = {score.key: np.random.default_rng(1).integers(0, 2, (400, 18)) for score in scores}
    ours = calls_of(lambda: replayed_index_or_nan(scores, [], fewer, 400))
    assert ours < 10 * calls_of(lambda: build_record(scores))


def test_without_an_index_there_is_no_number():
    scores = long_history(2)
    assert replayed_indexes(scores, [], build_record(scores).rules, {}, 3) is None
    assert np.isnan(replayed_index_or_nan(scores, [], {}, 3)).all()


def test_two_scores_with_one_key_are_refused():
    scores = long_history(2)
    with pytest.raises(ValueError, match="same key"):
        replayed_index_or_nan([scores[0], scores[0]], [], {}, 1)
