"""From an answer to what a picture shows of it. Pages and programs take it here, so that they never disagree."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.text import capfirst
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.calc.units import Unit
from golfstats.ground.club_names import club_words
from players.coaching.comparison import Comparison
from players.coaching.goals import Goal
from players.coaching.priorities import Priorities, RankedGroup
from players.coaching.questions import Outcome
from players.coaching.trends import Trend
from players.coaching.trials import Trial
from players.conditions.answers.rounds import PlayerConditionAdjusted
from players.figures.answers.figures import PlayerFigures
from players.figures.answers.long_game import PlayerApproach, PlayerDistances
from players.figures.answers.misses import MissesOfTarget, PlayerMisses
from players.figures.answers.putting import MadePutts, MissedSides, Putting
from players.figures.answers.summary import GainedByPart, PlayerSummary
from players.golf.answers import NamedFigure
from players.handicap.answers import Handicap
from players.pictures.shapes import Curve, Holed, Point, Row, Rows, Series, Side, Sides, Written

PARTS = (noop("In all"), noop("Tee"), noop("Approach"), noop("Short game"), noop("Putting"))
PART_KINDS = ("bar", "tee", "approach", "short_game", "putting")
LOSES, GAINS = noop("loses strokes"), noop("gains")


def in_parts(gains: GainedByPart) -> list[NamedFigure]:
    """In all, then by part."""
    return [gains.total, gains.tee, gains.approach, gains.short_game, gains.putting]


def parts(answer: PlayerSummary) -> Rows:
    rows = zip(PARTS, in_parts(answer.strokes_gained), PART_KINDS, strict=True)
    return Rows(
        title=gettext("Strokes gained a round by part of the game"),
        rows=[Row(gettext(name), one, kind, words=one.words) for name, one, kind in rows],
        written=Written.GAINED,
        zero=answer.benchmark.name,
        low=gettext(LOSES),
        high=gettext(GAINS),
    )


@dataclass(frozen=True)
class _Between:
    """A value with whatever lies about it, as an interval."""

    value: float | None
    low: float | None
    high: float | None


def clubs(answer: PlayerDistances) -> Rows:
    """Clubs with too few swings to tell their middle half are left out."""
    known = [club for club in answer.clubs if club.lower_quarter.enough]
    return Rows(
        title=gettext("How far each club goes: the middle half of full swings"),
        rows=[
            Row(
                club_words(club.club),
                _Between(club.distance.value, club.lower_quarter.value, club.upper_quarter.value),
                words=club.words,
            )
            for club in known
        ],
        written=Written.WHOLE,
        unit=known[0].distance.unit if known else "",
        bars=gettext("middle half of the swings"),
    )


def approaches(answer: PlayerApproach) -> Rows:
    return Rows(
        title=gettext("Strokes gained a shot by distance"),
        rows=[
            Row(
                gettext("{yards} yards").format(yards=one.band),
                one.figures.gained,
                "approach",
                words=one.figures.gained.words,
            )
            for one in answer.bands
        ],
        written=Written.GAINED,
        zero=answer.benchmark.name,
        low=gettext(LOSES),
        high=gettext(GAINS),
    )


SHORT_GAME = (
    "gained.short_game",
    "saves.up_and_down",
    "saves.sand",
    "saves.par_or_better",
    "greens.in_regulation",
)
"""What is asked of the short game."""


def saves(answer: PlayerFigures) -> Rows:
    """Of the figures of :data:`SHORT_GAME`, the shares."""
    return Rows(
        title=gettext("Shares saved around the green"),
        rows=[
            Row(one.name, one, "short_game", words=one.words)
            for one in answer.figures
            if one.unit == Unit.SHARE
        ],
        written=Written.SHARE,
        is_share=True,
    )


def make_curve(answer: Putting) -> Curve:
    return Curve(
        title=gettext("Share of putts holed by distance"),
        bands=[_holed(one) for one in answer.make_curve],
        unit=answer.make_curve[0].distance_unit if answer.make_curve else "ft",
        benchmark=answer.benchmark.name,
    )


def _holed(one: MadePutts) -> Holed:
    farthest = one.farthest if one.farthest is not None else one.nearest * 1.5
    return Holed(one.nearest, farthest, one, one.n, one.benchmark, one.own_model, words=one.words)


def missed_putts(answer: Putting) -> list[tuple[str, MissedSides]]:
    """Which misses are told by side, and what they came to."""
    return [
        (gettext("Breaking putts missed"), answer.under_reading.breaking_misses),
        (gettext("Put down to the read"), answer.under_reading.read_faults),
    ]


def low_side(answer: Putting) -> Rows:
    return Rows(
        title=gettext("Share of misses on the low side"),
        rows=[Row(name, one.share_low, "putting", words=one.words) for name, one in missed_putts(answer)],
        written=Written.SHARE,
        low=gettext("too much break"),
        high=gettext("too little"),
        is_share=True,
    )


def missed_greens(answer: PlayerMisses) -> Sides:
    return _missed(gettext("Missed greens by side"), "green", answer.green)


def missed_fairways(answer: PlayerMisses) -> Sides:
    return _missed(gettext("Missed fairways by side"), "fairway", answer.fairway)


def _missed(title: str, which: str, answer: MissesOfTarget) -> Sides:
    by_key = {one.key: one for one in answer.figures}
    shown = []
    for side in ("left", "right", "short", "long"):
        one = by_key.get(f"misses.{which}.{side}")
        if one is not None and one.value is not None:
            shown.append(Side(side, one.value, f"{one.name}: {one.words}"))
    return Sides(title=title, sides=shown)


def without_the_greens(answer: PlayerConditionAdjusted) -> Rows:
    putting = answer.putting
    owed = putting.owed
    lost = _Between(*(None if x is None else -x for x in (owed.value, owed.high, owed.low)))
    steps = (
        (gettext("As it was"), putting.raw, putting.raw.words),
        (gettext("The greens"), lost, owed.words),
        (gettext("Without that"), putting.adjusted, putting.adjusted.words),
    )
    return Rows(
        title=gettext("Putting a round as it was, what the greens took, and without that"),
        rows=[Row(name, one, "putting", words=words) for name, one, words in steps],
        written=Written.GAINED,
        zero=gettext("level"),
        low=gettext(LOSES),
        high=gettext(GAINS),
    )


TO = "\N{WORD JOINER}–\N{WORD JOINER}"
"""Between the ends of a distance band, which stay on one line."""


def group_name(one: RankedGroup) -> str:
    """``Approach 125–150 yd``."""
    (name,) = group_names([one])
    return name


def group_names(groups: Sequence[RankedGroup]) -> list[str]:
    """``Putting 3–6, 6–10 ft``: a name for each part, with its distances from short to long."""
    parts: dict[str, list[str]] = {}
    for one in groups:
        part, _, band = one.group.partition(".")
        parts.setdefault(part, [])
        if band:
            parts[part].append(band.replace("-", TO))
    names = {part: capfirst(gettext(part.replace("_", " "))) for part in parts}
    return [_with_distances(names[part], part, sorted(bands, key=_shortest)) for part, bands in parts.items()]


def _with_distances(name: str, part: str, bands: Sequence[str]) -> str:
    if not bands:
        return name
    unit = gettext("ft") if part == "putting" else gettext("yd")
    return f"{name} {', '.join(bands)}\N{NO-BREAK SPACE}{unit}"


def _shortest(band: str) -> float:
    return float(band.rstrip("+").partition(TO)[0])


def worth_working_on(answer: Priorities) -> Rows:
    return Rows(
        title=gettext("Strokes a round to gain"),
        rows=[
            Row(group_name(one), one.to_gain, one.group.partition(".")[0], words=one.words)
            for one in answer.parts
            if one.to_gain.value is not None
        ],
        written=Written.GAINED,
        zero=answer.benchmark,
        low=gettext("nothing to gain"),
        high=gettext("to gain"),
    )


def over_time(answer: Trend) -> Series:
    gained = answer.key.startswith("gained.")
    return Series(
        title=answer.name,
        points=[
            Point(one.played_on, one.value, one.level, one.low, one.high, str(one.round))
            for one in answer.rounds
            if one.value is not None
        ],
        unit=answer.unit,
        written=Written.GAINED if gained else _written(answer.unit),
        downwards=answer.better == "lower",
        zero=gettext("the golfer compared with") if gained else "",
    )


def towards(goal: Goal) -> Series:
    return Series(
        title=goal.figure.name,
        points=[Point(one.day, one.value) for one in goal.history if one.value is not None],
        unit=goal.figure.unit,
        written=Written.GAINED if goal.figure.key.startswith("gained.") else _written(goal.figure.unit),
        downwards=goal.figure.better == "lower",
        aim=goal.target,
    )


def trial(answer: Trial) -> Rows:
    """The two plain means, and their difference with all else allowed for."""
    signed = answer.outcome is Outcome.STROKES_GAINED
    first, second = club_words(answer.a), club_words(answer.b)
    return Rows(
        title=gettext("{a} against {b}").format(a=first, b=second),
        rows=[
            Row(first, answer.first, words=answer.first.words),
            Row(second, answer.second, words=answer.second.words),
            Row(gettext("difference"), answer.difference, "level", words=answer.difference.words),
        ],
        written=Written.GAINED if signed else Written.PLAIN,
        unit=answer.difference.unit.value,
        zero=gettext("no difference"),
    )


def compared(answer: Comparison) -> Rows:
    """The first figure of each player."""
    figure = answer.figures[0]
    signed = figure.key.startswith("gained.")
    return Rows(
        title=figure.name,
        rows=[
            Row(player.name, one, words=f"{player.name}: {one.words}")
            for player, one in zip(answer.players, figure.values, strict=True)
        ],
        written=Written.GAINED if signed else _written(figure.unit),
        unit="" if figure.unit == Unit.SHARE else figure.unit.value,
        zero=answer.benchmark if signed else "",
    )


def index(answer: Handicap) -> Series:
    return Series(
        title=gettext("Handicap index (unofficial)"),
        points=[Point(one.on, float(one.index)) for one in answer.trend if one.index is not None],
        unit=Unit.INDEX,
        written=Written.INDEX,
        downwards=True,
        steps=True,
    )


def _written(unit: Unit) -> Written:
    return Written.SHARE if unit == Unit.SHARE else Written.PLAIN
