"""Planning green work: rounds and events in the way, and the coming days."""

import datetime as dt

import numpy as np
import pytest

from golfstats.calc.greens.planner import Event, coming_days, expected_rounds, plan
from golfstats.calc.greens.surface.disturbance import Work

MONDAY = dt.date(2026, 3, 2).toordinal()


def year_of_rounds(weekday=4, weekend=20, first=MONDAY - 364, last=MONDAY - 1):
    return np.concatenate(
        [
            np.full(weekend if dt.date.fromordinal(day).weekday() >= 5 else weekday, day)
            for day in range(first, last + 1)
        ]
    ), (first, last)


def test_weekday_counts_come_back():
    history, span = year_of_rounds()
    assert expected_rounds(history, *span, np.arange(MONDAY, MONDAY + 7)).tolist() == [4, 4, 4, 4, 4, 20, 20]


def test_the_season_counts():
    first, last = MONDAY - 364, MONDAY - 1
    summer = [day for day in range(first, last + 1) if dt.date.fromordinal(day).month in (6, 7, 8)]
    july = dt.date(2026, 7, 15).toordinal()
    january = dt.date(2027, 1, 13).toordinal()
    counts = expected_rounds(np.repeat(summer, 10), first, last, np.array([july, january]))
    assert counts.tolist() == [10, 0]


def test_a_short_history_says_so():
    history, _ = year_of_rounds(first=MONDAY - 10)
    assert expected_rounds(history, MONDAY - 10, MONDAY - 1, np.array([MONDAY])) is None
    assert (
        plan(Work("venting", MONDAY, MONDAY), [MONDAY], history, (MONDAY - 10, MONDAY - 1), [])[
            0
        ].expected_rounds
        is None
    )


def test_dates_are_weighed_by_rounds_and_events_until_the_greens_are_back():
    history, span = year_of_rounds()
    work = Work("solid_tine", MONDAY, MONDAY)  # recovery 4 days by default
    cup = Event("captain's cup", MONDAY + 5, MONDAY + 6)
    monday, thursday = plan(work, [MONDAY, MONDAY + 3], history, span, [cup])
    assert monday.back == MONDAY + 4
    assert monday.expected_rounds == 16
    assert monday.events == ()
    assert thursday.expected_rounds == 4 + 4 + 20 + 20
    assert thursday.events == ("captain's cup",)
    assert 0 < monday.disturbed_rounds < monday.expected_rounds


def test_the_clubs_own_recovery_lengthens_the_window():
    history, span = year_of_rounds()
    work = Work("solid_tine", MONDAY, MONDAY)
    event = Event("club match", MONDAY + 8, MONDAY + 8)
    assert plan(work, [MONDAY], history, span, [event])[0].events == ()
    assert plan(work, [MONDAY], history, span, [event], {"solid_tine": 9.0})[0].events == ("club match",)


def test_coming_days_fall_back_to_nothing():
    nine = Work("coring_medium", MONDAY + 3, MONDAY + 4, holes=frozenset(range(1, 10)))
    ahead = coming_days([nine], MONDAY, range(1, 19))
    assert len(ahead) == 30
    assert ahead[:3].tolist() == [0, 0, 0]
    assert ahead[3] == pytest.approx(0.45)  # nine of eighteen greens at 0.9
    assert np.all(np.diff(ahead[4:]) <= 0)
    assert ahead[-1] == 0
