"""What pictures of greens and holes show, from the answers: pages and programs take it here."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from django.utils.translation import gettext

from courses.calendars.models import Event
from courses.greens.answers import known_kinds
from courses.greens.condition import CourseDay
from courses.greens.models import GreenWork, WorkStatus
from golfstats.ground.words import day_words, percent_words
from players.conditions.answers.by_green import CostByGreen
from players.conditions.answers.effects import CostOnCourse, EffectOfKind, PlaceboDate
from players.golf.answers import Figure
from players.pictures.shapes import (
    Coming,
    Felt,
    Mark,
    Recovery,
    Row,
    Rows,
    Season,
    Thing,
    Things,
    Window,
    Written,
)
from players.plans.costs.course_costs import HoleForTheClub

BEFORE, AHEAD = dt.timedelta(days=270), dt.timedelta(days=95)
"""The season about today."""
THE_GRID = 0.02
"""Strokes that the grid of places is good for: nothing smaller is told from nothing."""


@dataclass(frozen=True)
class Between:
    """A value with its interval."""

    value: float | None
    low: float | None
    high: float | None


def dated(events: Sequence[Event]) -> list[Mark]:
    return [Mark(one.starts_on, one.name) for one in events]


def season(
    work: Sequence[GreenWork],
    events: Sequence[Event],
    recovery: Mapping[str, float],
    today: dt.date,
    addresses: Mapping[UUID, str],
) -> Season:
    """``recovery``: days by kind where the club knows its own; ``addresses`` where each piece of work is corrected."""
    first, last = today - BEFORE, today + AHEAD
    felt = [
        Felt(
            row.starts_on,
            row.ends_on,
            row.ends_on
            + dt.timedelta(days=round(recovery.get(row.kind, known_kinds()[row.kind].recovery_days))),
            gettext(known_kinds()[row.kind].words),
            addresses.get(row.id, ""),
        )
        for row in work
        if row.status != WorkStatus.CANCELLED
    ]
    shown = sorted(
        (one for one in felt if one.back_on >= first and one.starts_on <= last), key=lambda one: one.starts_on
    )
    title = gettext("Green work from {first} to {last}: {shown} pieces of work").format(
        first=day_words(first), last=day_words(last), shown=len(shown)
    )
    marks = [one for one in dated(events) if first <= one.day <= last]
    return Season(title=title, first=first, last=last, today=today, work=shown, events=marks)


def coming(days: Sequence[CourseDay], events: Sequence[Event]) -> Coming:
    shares = [(one.day, one.mean) for one in days]
    title = gettext("Expected disturbance of the greens from {day}: {first} to {last}").format(
        day=day_words(shares[0][0]), first=percent_words(shares[0][1]), last=percent_words(shares[-1][1])
    )
    within = {day for day, _ in shares}
    return Coming(title=title, days=shares, events=[one for one in dated(events) if one.day in within])


def recovery(kind: EffectOfKind, placebo: Sequence[PlaceboDate]) -> Recovery:
    """``placebo``: none but for the work of which dates without it were asked."""
    return Recovery(
        title=gettext("Strokes a round after {kind}, by days since").format(kind=kind.words),
        kind=kind.words,
        windows=[Window(one.first_day, one.last_day, one.strokes, one.strokes.words) for one in kind.windows],
        placebo=[Between(one.strokes, one.low, one.high) for one in placebo],
    )


def placebo_of(cost: CostOnCourse, kind: EffectOfKind) -> Sequence[PlaceboDate]:
    """Dates without work are asked of the usual work alone."""
    return cost.placebo.dates if cost.placebo is not None and kind.kind == cost.usual_kind else []


def turned(figure: Figure) -> Between:
    """Strokes lost as strokes gained."""
    if figure.value is None or figure.low is None or figure.high is None:
        return Between(None, None, None)
    return Between(0.0 - figure.value, 0.0 - figure.high, 0.0 - figure.low)


def by_green(costs: CostByGreen) -> Rows:
    return Rows(
        title=gettext("Strokes each time a green is played in the first days after the work"),
        rows=[
            Row(
                gettext("green {green}").format(green=one.green),
                turned(one.strokes),
                "putting",
                words=one.strokes.words,
            )
            for one in costs.results
        ],
        written=Written.GAINED,
        zero=gettext("undisturbed"),
        low=gettext("loses strokes"),
    )


def things(hole: HoleForTheClub) -> Things:
    """The tee, the pins and the bunkers, each with its costs in the order of the golfers."""
    return Things(
        title=gettext(
            "Strokes that each thing costs golfers of three handicaps; the numbers stand in the table below"
        ),
        things=things_of(hole),
        handicaps=[one.handicap for one in hole.golfers],
        unsure=THE_GRID,
    )


def no_things() -> Things:
    """Before a hole is worked out."""
    title = gettext("What lies on a hole, and what it costs whom")
    return Things(title=title, things=[], handicaps=[], unsure=THE_GRID)


def things_of(hole: HoleForTheClub) -> list[Thing]:
    golfers = hole.golfers
    if not golfers:
        return []
    shown = [Thing(gettext("last 20 yards"), tuple(one.tee for one in golfers))]
    for place, pin in enumerate(golfers[0].pins):
        shown.append(
            Thing(
                gettext("pin {what}").format(what=gettext(pin.what)),
                tuple(one.pins[place].strokes for one in golfers),
            )
        )
    for place, bunker in enumerate(golfers[0].bunkers):
        where = bunker.what.replace(gettext(" yards from the tee"), f" {gettext('yd')}")
        where = where.replace(gettext("in the middle"), gettext("middle"))
        shown.append(Thing(where, tuple(one.bunkers[place].strokes for one in golfers)))
    return shown
