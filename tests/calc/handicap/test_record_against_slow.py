"""The fold gives, score by score, what working everything out from the whole list gives."""

from decimal import Decimal
from random import Random

import pytest

from golfstats.calc.handicap import build_record
from tests.calc.handicap.histories import random_history
from tests.calc.handicap.slow_record import slow_record


def as_tenths(value: Decimal | None) -> int | None:
    return None if value is None else int(value * 10)


def compare(number: int) -> None:
    scores, actions, rules = random_history(Random(number))
    record = build_record(scores, actions, rules)
    slow = slow_record(scores, actions, rules)
    for line in record.lines:
        outcome = slow.outcomes[line.key]
        found = (
            line.state,
            line.gross and line.gross.score,
            as_tenths(line.differential),
            as_tenths(line.low_index),
            as_tenths(line.exceptional),
            as_tenths(line.calculated_index),
            as_tenths(line.index_in_force),
        )
        expected = (
            outcome.state,
            outcome.gross,
            outcome.raw,
            outcome.low,
            outcome.reduction,
            outcome.index,
            outcome.in_force,
        )
        assert found == expected, f"history {number}, score {line.key} on {line.played_on}"
    assert len(record.lines) == len(scores)
    assert [as_tenths(value) for value in reversed(record.recent_differentials)] == slow.values()
    assert as_tenths(record.calculated_index) == slow.index()
    assert as_tenths(record.low_index) == slow.low(19 if rules.cap_at_20th_score else 20)


@pytest.mark.parametrize("block", range(3))
def test_a_few_hundred_random_histories(block):
    for number in range(block * 100, block * 100 + 100):
        compare(number)


@pytest.mark.slow
@pytest.mark.parametrize("block", range(5))
def test_ten_thousand_random_histories(block):
    for number in range(1000 + block * 2000, 1000 + (block + 1) * 2000):
        compare(number)
