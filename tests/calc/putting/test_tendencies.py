import numpy as np
import pytest
from scipy.stats import fisher_exact

from golfstats.calc.putting.tendencies import FIGURES, break_side, first_putts, under_reading
from golfstats.calc.vocabulary import UNKNOWN, MissSide
from tests.calc.record_builder import analysed_of, hole, record_of


def putts(*strokes, round=0, holed=True):
    """A hole played from the green: (feet, {column: value})."""
    return hole(
        3,
        [("tee", 160), *(("green", feet / 3, options) for feet, options in strokes)],
        round=round,
        holed=holed,
    )


def missed(times, **columns):
    """Holes on which a 9-foot putt is missed in this way and the next one holed."""
    return [putts((9, columns), (1, {}), round=i % 5) for i in range(times)]


def figure(key, holes):
    spec = next(spec for spec in FIGURES if spec.key == key)
    return spec.figure(spec.observe(analysed_of(record_of(holes))))


def test_first_putts_start_on_the_green_once_a_hole():
    record = record_of(
        [
            hole(4, [("tee", 400), ("fringe", 8), ("green", 5), ("fringe", 2), ("green", 1)]),
            hole(3, [("tee", 150), ("sand", 10)], number=2),  # holed from the sand
            hole(3, [("tee", 150), ("green", 9), ("green", 1)], round=1),
        ]
    )
    assert np.flatnonzero(first_putts(record.shots)).tolist() == [2, 8]


def test_length_of_the_first_putt():
    holes = [putts((feet, {}), (2, {}), round=feet % 3) for feet in range(11, 32)]
    answer = figure("putting.first_distance", holes)
    assert (answer.value, answer.n, answer.unit) == (pytest.approx(21.0), 21, "ft")
    assert not figure("putting.first_distance", holes[:17]).enough


def test_lag_putting_counts_first_putts_from_thirty_feet():
    lags = [putts((40, {}), (feet, {}), round=feet) for feet in (1, 2, 3, 4, 5, 6, 7, 8, 9)]
    holed_lag = [putts((35, {}), round=3)]
    # Not lags: too near, a second putt, and one that was given up with the ball anywhere.
    others = [
        putts((29, {}), (8, {})),
        putts((60, {}), (31, {}), (10, {}), round=8),
        putts((50, {}), holed=False),
    ]
    answer = figure("putting.lag.leave", [*lags, *holed_lag, *others])
    assert answer.n == 11
    assert answer.value == pytest.approx(5.0)  # middle of 0 1 2 3 4 5 6 7 8 9 31
    outside = figure("putting.lag.outside", [*lags, *holed_lag, *others])
    assert outside.value == pytest.approx(7 / 11)


@pytest.mark.parametrize(
    ("putt_break", "miss_side", "expected"),
    [
        ("left_to_right", "right", MissSide.LOW),
        ("left_to_right", "left", MissSide.HIGH),
        ("right_to_left", "left", MissSide.LOW),
        ("right_to_left", "right", MissSide.HIGH),
        ("right_to_left", "low", MissSide.LOW),
        ("straight", "left", UNKNOWN),
        ("straight", "low", UNKNOWN),
        (UNKNOWN, "high", MissSide.HIGH),
        (UNKNOWN, "left", UNKNOWN),
        ("left_to_right", UNKNOWN, UNKNOWN),
    ],
)
def test_low_side_is_where_the_putt_breaks_to(putt_break, miss_side, expected):
    record = record_of(missed(1, putt_break=putt_break, miss_side=miss_side))
    assert break_side(record.shots).tolist() == [UNKNOWN, expected, UNKNOWN]


def test_shares_of_misses_by_side_pace_and_fault():
    holes = [
        *missed(9, miss_side="low", fault="read", miss_depth="short"),
        *missed(3, miss_side="high", fault="pace", miss_depth="long"),
        *missed(4, fault="line"),
        *missed(20),  # nothing noted: no evidence either way
    ]
    shares = {spec.key: figure(spec.key, holes) for spec in FIGURES}
    expected = {
        "putting.miss.low": (9 / 12, 12),
        "putting.miss.short": (9 / 12, 12),
        "putting.fault.read": (9 / 16, 16),
        "putting.fault.line": (4 / 16, 16),
        "putting.fault.pace": (3 / 16, 16),
    }
    assert {key: (shares[key].value, shares[key].n) for key in expected} == expected
    assert all(shares[key].low < shares[key].value < shares[key].high for key in expected)


def test_holed_putts_are_no_misses():
    holes = [*missed(10, miss_side="low"), *[putts((4, {"miss_side": "high"})) for _ in range(10)]]
    assert figure("putting.miss.low", holes).value == 1.0


def breaking(times, way, side, **columns):
    return missed(times, putt_break=way, miss_side=side, **({"miss_depth": "long"} | columns))


def test_under_reading_against_chance():
    """Fisher's exact test by SciPy: low is right of a break to the right and left of one to the left."""
    holes = [
        *breaking(8, "left_to_right", "right", fault="read"),
        *breaking(2, "left_to_right", "left", fault="read"),
        *breaking(7, "right_to_left", "low", fault="read"),
        *breaking(3, "right_to_left", "right"),
        *missed(6, fault="read"),
        *missed(5, miss_side="left", putt_break="straight", fault="read"),
    ]
    answer = under_reading(record_of(holes)).breaking_misses
    assert (answer.low, answer.high) == (15, 5)
    assert answer.share_low.value == pytest.approx((0.8 + 0.7) / 2)
    assert answer.share_low.low < 0.75 < answer.share_low.high
    assert answer.p_value == pytest.approx(fisher_exact([[2, 8], [7, 3]]).pvalue)
    assert answer.set_aside == 0


def test_a_player_who_pulls_every_putt_does_not_under_read():
    """Left of everything: low where it breaks left, high where it breaks right."""
    holes = [*breaking(30, "right_to_left", "left"), *breaking(6, "left_to_right", "left")]
    answer = under_reading(record_of(holes)).breaking_misses
    assert (answer.low, answer.high) == (30, 6)
    assert answer.share_low.value == pytest.approx(0.5)
    assert answer.p_value == 1.0


def test_putts_that_die_low_for_want_of_pace_say_nothing_of_the_read():
    holes = [
        *breaking(20, "right_to_left", "low", miss_depth="short"),
        *breaking(20, "left_to_right", "low", miss_depth=UNKNOWN),
        *breaking(9, "left_to_right", "low", miss_depth=UNKNOWN, fault="read"),
    ]
    answer = under_reading(record_of(holes)).breaking_misses
    assert (answer.low, answer.high, answer.set_aside) == (0, 0, 49)
    assert not answer.share_low.enough


def test_what_a_miss_is_put_down_to_decides_nothing():
    """As many miss high as low; the low ones are put down to the read, the high ones to the stroke."""
    holes = [
        *breaking(9, "right_to_left", "low", fault="read"),
        *breaking(9, "right_to_left", "high", fault="line"),
        *breaking(9, "left_to_right", "low", fault="read"),
        *breaking(9, "left_to_right", "high", fault="pace"),
    ]
    answer = under_reading(record_of(holes))
    assert (answer.breaking_misses.low, answer.breaking_misses.high) == (18, 18)
    assert answer.breaking_misses.p_value == 1.0
    assert answer.read_faults.p_value < 0.001


def test_under_reading_needs_enough_misses_with_each_break():
    one_way = [*breaking(12, "left_to_right", "low", fault="read"), *breaking(3, "right_to_left", "low")]
    answer = under_reading(record_of(one_way))
    assert answer.read_faults.low == 12
    assert answer.read_faults.p_value is None
    assert answer.breaking_misses.p_value is None
    assert not answer.breaking_misses.share_low.enough
    assert under_reading(record_of([putts((3, {}))])).breaking_misses.p_value is None


def test_a_putt_from_the_fringe_may_have_a_fault():
    fringe = [
        hole(3, [("tee", 160), ("fringe", 6, {"fault": "pace"}), ("green", 1)], round=i % 5)
        for i in range(12)
    ]
    chips = [hole(3, [("tee", 160), ("fringe", 6), ("green", 1)], round=i % 5) for i in range(4)]
    answer = figure("putting.fault.pace", [*fringe, *chips, *missed(4, fault="read")])
    assert (answer.value, answer.n) == (12 / 16, 16)
