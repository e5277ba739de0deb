import numpy as np
import pytest

from golfstats.calc.putting.make_curve import make_curve
from golfstats.calc.putting.make_model import make_probability
from tests.calc.record_builder import hole, record_of


def professional(feet):
    return make_probability(feet, 0.0178, 0.080)


def certain(feet):
    return np.ones_like(feet)


def test_putts_fall_into_bins_with_both_golfers_beside_them():
    record = record_of(
        [
            hole(3, [("tee", 150), ("green", 7 / 3), ("green", 2 / 3)], round=0),
            hole(3, [("tee", 150), ("green", 5 / 3)], round=1),
            hole(3, [("tee", 150), ("green", 6 / 3)], round=2),
            hole(3, [("tee", 150), ("green", 2 / 3)], round=2, number=2),
        ]
    )
    bins = make_curve(record, professional, certain, (0.0, 5.0, 8.0, np.inf))
    assert [(row.low_ft, row.high_ft, row.made.n) for row in bins] == [
        (0.0, 5.0, 2),
        (5.0, 8.0, 3),
        (8.0, np.inf, 0),
    ]
    middle = bins[1]
    assert middle.made.value == pytest.approx(2 / 3)  # 7 ft missed, 5 and 6 ft holed
    assert middle.made.low < 2 / 3 < middle.made.high
    assert middle.benchmark == pytest.approx(np.mean(professional(np.array([7.0, 5.0, 6.0]))))
    assert middle.own_model == 1.0
    assert record.shots.distance[middle.shots].tolist() == pytest.approx([7 / 3, 5 / 3, 6 / 3])
    assert not bins[2].made.enough
    assert bins[2].benchmark is None
