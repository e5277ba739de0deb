"""From an answer to what a picture shows of it. Pages and programs take it here, so that they never disagree."""

from __future__ import annotations

from dataclasses import dataclass

from golfstats.calc.units import Unit
from players.coaching.goals import Goal
from players.coaching.priorities import Priorities, RankedGroup
from players.coaching.trends import Trend
from players.conditions.answers.rounds import PlayerConditionAdjusted
from players.figures.answers.figures import PlayerFigures
from players.figures.answers.long_game import PlayerApproach, PlayerDistances
from players.figures.answers.misses import MissesOfTarget, PlayerMisses
from players.figures.answers.putting import MadePutts, MissedSides, Putting
from players.figures.answers.summary import GainedByPart, PlayerSummary
from players.golf.answers import NamedFigure
from players.handicap.answers import Handicap
from players.pictures.shapes import Curve, Holed, Point, Row, Rows, Series, Side, Sides, Written

PARTS = ("In all", "Tee", "Approach", "Short game", "Putting")
PART_KINDS = ("bar", "tee", "approach", "short_game", "putting")
LOSES, GAINS = "loses strokes", "gains"


def in_parts(gains: GainedByPart) -> list[NamedFigure]:
    """In all, then by part."""
    return [gains.total, gains.tee, gains.approach, gains.short_game, gains.putting]


def parts(found: PlayerSummary) -> Rows:
    rows = zip(PARTS, in_parts(found.strokes_gained), PART_KINDS, strict=True)
    return Rows(
        title="Strokes gained a round by part of the game",
        rows=[Row(name, one, kind, said=one.words) for name, one, kind in rows],
        written=Written.GAINED,
        zero=found.benchmark.name,
        low=LOSES,
        high=GAINS,
    )


@dataclass(frozen=True)
class _Between:
    """A value with whatever lies about it, as an interval."""

    value: float | None
    low: float | None
    high: float | None


def clubs(found: PlayerDistances) -> Rows:
    """Clubs with too few swings are left out."""
    known = [club for club in found.clubs if club.distance.enough]
    return Rows(
        title="How far each club goes: the middle half of full swings",
        rows=[
            Row(
                club.club,
                _Between(club.distance.value, club.lower_quarter.value, club.upper_quarter.value),
                said=club.words,
            )
            for club in known
        ],
        written=Written.WHOLE,
        unit=known[0].distance.unit if known else "",
        bars="middle half of the swings",
    )


def approaches(found: PlayerApproach) -> Rows:
    return Rows(
        title="Strokes gained a shot by distance",
        rows=[
            Row(f"{one.band} yards", one.figures.gained, "approach", said=one.figures.gained.words)
            for one in found.bands
        ],
        written=Written.GAINED,
        zero=found.benchmark.name,
        low=LOSES,
        high=GAINS,
    )


SHORT_GAME = (
    "gained.short_game",
    "saves.up_and_down",
    "saves.sand",
    "saves.par_or_better",
    "greens.in_regulation",
)
"""What is asked of the short game."""


def saves(found: PlayerFigures) -> Rows:
    """Of the figures of :data:`SHORT_GAME`, the shares."""
    return Rows(
        title="Shares saved around the green",
        rows=[
            Row(one.name, one, "short_game", said=one.words)
            for one in found.figures
            if one.unit == Unit.SHARE
        ],
        written=Written.SHARE,
        is_share=True,
    )


def make_curve(found: Putting) -> Curve:
    return Curve(
        title="Share of putts holed by distance",
        bands=[_holed(one) for one in found.make_curve],
        unit=found.make_curve[0].distance_unit if found.make_curve else "ft",
        benchmark=found.benchmark.name,
    )


def _holed(one: MadePutts) -> Holed:
    farthest = one.farthest if one.farthest is not None else one.nearest * 1.5
    return Holed(one.nearest, farthest, one, one.n, one.benchmark, one.own_model, said=one.words)


def missed_putts(found: Putting) -> list[tuple[str, MissedSides]]:
    """Which misses are told by side, and what they came to."""
    return [
        ("Breaking putts missed", found.under_reading.breaking_misses),
        ("Put down to the read", found.under_reading.read_faults),
    ]


def low_side(found: Putting) -> Rows:
    return Rows(
        title="Share of misses on the low side",
        rows=[Row(name, one.share_low, "putting", said=one.words) for name, one in missed_putts(found)],
        written=Written.SHARE,
        low="too much break",
        high="too little",
        is_share=True,
    )


def missed_greens(found: PlayerMisses) -> Sides:
    return _missed("Missed greens", "green", found.green)


def missed_fairways(found: PlayerMisses) -> Sides:
    return _missed("Missed fairways", "fairway", found.fairway)


def _missed(title: str, which: str, found: MissesOfTarget) -> Sides:
    by_key = {one.key: one for one in found.figures}
    shown = []
    for side in ("left", "right", "short", "long"):
        one = by_key.get(f"misses.{which}.{side}")
        if one is not None and one.value is not None:
            shown.append(Side(side, one.value, f"{one.name}: {one.words}"))
    return Sides(title=f"{title} by side", sides=shown)


def without_the_greens(found: PlayerConditionAdjusted) -> Rows:
    putting = found.putting
    owed = putting.owed
    lost = _Between(*(None if x is None else -x for x in (owed.value, owed.high, owed.low)))
    steps = (
        ("As it was", putting.raw, putting.raw.words),
        ("The greens", lost, owed.words),
        ("Without that", putting.adjusted, putting.adjusted.words),
    )
    return Rows(
        title="Putting a round as it was, what the greens took, and without that",
        rows=[Row(name, one, "putting", said=said) for name, one, said in steps],
        written=Written.GAINED,
        zero="level",
    )


def group_name(one: RankedGroup) -> str:
    """``Approach 125-150``."""
    part, _, band = one.group.partition(".")
    return part.replace("_", " ").capitalize() + (f" {band}" if band else "")


def worth_working_on(found: Priorities) -> Rows:
    return Rows(
        title="Strokes a round to gain",
        rows=[
            Row(group_name(one), one.to_gain, one.group.partition(".")[0], said=one.words)
            for one in found.parts
            if one.to_gain.value is not None
        ],
        written=Written.GAINED,
        zero=found.benchmark,
        high="more to gain",
    )


def over_time(found: Trend) -> Series:
    gained = found.key.startswith("gained.")
    return Series(
        title=found.name,
        points=[
            Point(one.played_on, one.value, one.level, one.low, one.high, str(one.round))
            for one in found.rounds
            if one.value is not None
        ],
        unit=found.unit,
        written=Written.GAINED if gained else _written(found.unit),
        downwards=found.better == "lower",
        zero="the golfer compared with" if gained else "",
    )


def towards(goal: Goal) -> Series:
    return Series(
        title=goal.figure.name,
        points=[Point(one.day, one.value) for one in goal.history if one.value is not None],
        unit=goal.figure.unit,
        written=_written(goal.figure.unit),
        downwards=goal.figure.better == "lower",
        aim=goal.target,
    )


def index(found: Handicap) -> Series:
    return Series(
        title="Handicap index (unofficial)",
        points=[Point(one.on, float(one.index)) for one in found.trend if one.index is not None],
        unit=Unit.INDEX,
        written=Written.INDEX,
        downwards=True,
        steps=True,
    )


def _written(unit: Unit) -> Written:
    return Written.SHARE if unit == Unit.SHARE else Written.PLAIN
