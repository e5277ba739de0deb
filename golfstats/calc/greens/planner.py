"""Planning green work: who would meet it, and what the coming days look like."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from golfstats.calc.greens.surface.disturbance import Recovery, Work, recovery_days, surface_disturbance
from golfstats.calc.record import Floats, Ints

DAYS_AHEAD = 30
SEASON_DAYS = 21
"""Rounds of past years count as "this season" within so many days either side of the date."""
DAYS_A_YEAR = 365.25
MINIMUM_HISTORY_DAYS = 28


@dataclass(frozen=True)
class Event:
    """A competition or club event on the course, both days included (``date.toordinal()``)."""

    name: str
    start: int
    end: int


@dataclass(frozen=True)
class PlannedDay:
    """What work started on a candidate day would meet, from its start until the greens are back."""

    start: int
    back: int
    """First day on which the greens are back to undisturbed."""
    expected_rounds: float | None
    """Rounds expected in those days; ``None`` when the history is too short to tell."""
    disturbed_rounds: float | None
    """The same rounds, each counted by the day's disturbance: 10 rounds at 0.5 are 5."""
    events: tuple[str, ...]


def expected_rounds(history_day: Ints, first_day: int, last_day: int, days: Ints) -> Floats | None:
    """Expected rounds on each of ``days`` from one course's history of rounds (one day number a round).

    The history covers ``first_day`` … ``last_day``. A day's expectation is the mean count on the same weekday
    within 21 days of the same date in the years on record; where none of that is on record, the mean count of that
    weekday over all the history. ``None`` when less than four weeks are on record.
    """
    if last_day - first_day + 1 < MINIMUM_HISTORY_DAYS:
        return None
    recorded = np.arange(first_day, last_day + 1)
    counts = np.bincount(
        history_day[(history_day >= first_day) & (history_day <= last_day)] - first_day,
        minlength=len(recorded),
    )
    return np.array([_usual_count(recorded, counts, day) for day in np.asarray(days).tolist()])


def _usual_count(recorded: Ints, counts: Ints, day: int) -> float:
    same_weekday = recorded % 7 == day % 7
    through_year = np.abs((recorded - day + DAYS_A_YEAR / 2) % DAYS_A_YEAR - DAYS_A_YEAR / 2)
    in_season = same_weekday & (through_year <= SEASON_DAYS)
    return float(np.mean(counts[in_season if np.any(in_season) else same_weekday]))


def plan(
    work: Work,
    starts: Sequence[int],
    history_day: Ints,
    history: tuple[int, int],
    events: Sequence[Event],
    recovery: Recovery | None = None,
) -> list[PlannedDay]:
    """What the same work would meet on each candidate start day. Events count until the day before ``back``."""
    length, heal = work.end - work.start, recovery_days(work.kind, recovery)
    planned = []
    for start in starts:
        moved = Work(work.kind, start, start + length, work.holes, work.severity)
        back = max(start + length + int(np.ceil(heal)), start + length + 1)
        days = np.arange(start, back)
        hole = min(work.holes) if work.holes else 1
        disturbance = surface_disturbance([moved], days, np.full(len(days), hole), recovery)
        rounds = expected_rounds(history_day, *history, days)
        met = tuple(event.name for event in events if event.start < back and event.end >= start)
        planned.append(
            PlannedDay(
                start=start,
                back=back,
                expected_rounds=None if rounds is None else float(np.sum(rounds)),
                disturbed_rounds=None if rounds is None else float(np.sum(rounds * disturbance)),
                events=met,
            )
        )
    return planned


def coming_days(
    works: Sequence[Work],
    today: int,
    holes: Sequence[int],
    recovery: Recovery | None = None,
    days: int = DAYS_AHEAD,
) -> Floats:
    """Expected surface disturbance of a course, mean over its greens, today and on the days that follow."""
    day = np.repeat(np.arange(today, today + days), len(holes))
    hole = np.tile(np.asarray(holes), days)
    by_day: Floats = surface_disturbance(works, day, hole, recovery).reshape(days, len(holes)).mean(axis=1)
    return by_day
