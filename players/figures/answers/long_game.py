"""Shots at the green by distance band with how they changed, and how far each club goes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

import numpy as np
from django.utils.translation import gettext

from golfstats.calc.coaching.series import Series
from golfstats.calc.coaching.trends import MINIMUM_ROUNDS, Trend, fit_trends
from golfstats.calc.figure import percent
from golfstats.calc.figures import approach as calc
from golfstats.calc.figures import plays_like
from golfstats.calc.figures.distances import ClubDistance, bag, gaps
from golfstats.calc.figures.distances import Gap as CalcGap
from golfstats.calc.observations import FigureSpec, Observations
from golfstats.calc.units import Unit
from golfstats.ground.answers import OneOf, up_to
from golfstats.ground.club_names import club_words
from golfstats.ground.clubs.models import DistanceUnit
from golfstats.ground.operations import Asker
from golfstats.ground.words import spoken
from players.golf.analysed import Golf
from players.golf.answers import AboutPlayer, Figure, NamedFigure, Teller, about, in_shown_unit
from players.golf.one_player import golf_of_each
from players.golf.questions import WindowQuery
from players.people.models import Player

HITS_AND_MISSES = 5
"""A share moves by a round's luck alone where it has fewer of either (common practice)."""


@dataclass(frozen=True)
class ChangingFigure(NamedFigure):
    """A figure, and how its level moved from the first round of the window to the last."""

    change: Figure | None
    """Level at the last round less that at the first; ``n`` counts rounds."""
    chance_better: float | None
    """Chance that it got better; null for the number of shots, of which more is neither better nor worse."""
    trend: str
    """The change in words, or why there is none to tell."""


@dataclass(frozen=True)
class BandFigures:
    """The figures of a distance band."""

    shots: ChangingFigure
    """Number of shots."""
    green_hit: ChangingFigure
    """Share that finished on the green."""
    proximity: ChangingFigure
    """Median distance left."""
    mean_proximity: ChangingFigure
    """Mean distance left."""
    gained: ChangingFigure
    """Strokes gained a shot."""


@dataclass(frozen=True)
class ApproachBand:
    """Shots at the green from a range of distances."""

    band: str
    """For example 75-100, or 200+ for the last one."""
    from_yards: float
    """Least distance to the hole."""
    to_yards: float | None
    """Null for the last band, which has no end."""
    figures: BandFigures
    """The figures of the band."""


@dataclass(frozen=True, kw_only=True)
class PlayerApproach(AboutPlayer):
    """A player's shots at the green by distance."""

    bands: list[ApproachBand] = up_to(8)
    """By distance, nearest first."""


class FullSwings(StrEnum):
    """How full swings were told from part swings."""

    ESTIMATED = "estimated"
    """By the lengths: part swings are too seldom marked."""
    MARKED = "marked by the player"
    """By what was posted of each shot."""


@dataclass(frozen=True)
class ClubLength:
    """How far full swings with one club go."""

    club: str
    distance: Figure
    """Median."""
    distance_spread: Figure
    """Robust standard deviation of the distance."""
    side_yards: Figure
    """Robust standard deviation of the finish to the side, from measured shots."""
    side_degrees: Figure
    """The same as an angle."""
    plays_like: Figure
    """Median in calm air at 70 °F and sea level to a level target."""
    lower_quarter: Figure
    """A quarter of the swings went shorter."""
    upper_quarter: Figure
    """A quarter of the swings went longer."""
    plays_like_range: list[float] | None
    """The span of the same with half, all and one and a half of the correction; null with too few shots."""
    conditions_known: int
    """How many shots have wind, height, temperature or altitude recorded; 0 means nothing was corrected."""
    measured: int
    """How many shots were measured; the others are inferred."""
    full_swings: Annotated[str, OneOf(FullSwings)]
    """How full swings were told from part swings."""
    words: str


@dataclass(frozen=True)
class ClubGap:
    """Two neighbouring clubs by median distance."""

    longer: str
    """Name of the longer club."""
    shorter: str
    """Name of the shorter club."""
    gap: Figure
    """How much farther the longer club goes: the difference of the medians of full swings. Even steps leave no
    distance without a club.
    """
    overlap: Figure
    """What the middle halves (25-75%) of the two clubs' full swings share; negative is open ground that neither
    covers.
    """
    words: str


@dataclass(frozen=True, kw_only=True)
class PlayerDistances(AboutPlayer):
    """How far a player's clubs go."""

    caution: str
    """What keeps these lengths from being those of a launch on flat ground."""
    clubs: list[ClubLength] = up_to(14)
    """Longest first; clubs with too few shots last."""
    gaps: list[ClubGap] = up_to(13)
    """From each club to the next shorter one."""


def approach(asker: Asker, players: Sequence[Player], query: WindowQuery) -> list[PlayerApproach]:
    unit = query.shown_unit(asker)
    return [
        PlayerApproach(
            **vars(about(player, golf)),
            bands=_bands(golf, Teller(player.id, query, unit)),
        )
        for player, golf in zip(players, golf_of_each(asker, players, query), strict=True)
    ]


def distances(asker: Asker, players: Sequence[Player], query: WindowQuery) -> list[PlayerDistances]:
    unit = query.shown_unit(asker)
    return [
        _distances(player, golf, Teller(player.id, query, unit))
        for player, golf in zip(players, golf_of_each(asker, players, query), strict=True)
    ]


def _bands(golf: Golf, tell: Teller) -> list[ApproachBand]:
    specs = [spec for band in golf.bands for spec in calc.specs(band)]
    changing = iter(_changing(golf, specs, tell))
    return [_band(band, [next(changing) for _ in calc.specs(band)]) for band in golf.bands]


def _band(band: calc.Band, changing: list[ChangingFigure]) -> ApproachBand:
    farthest = None if np.isinf(band.high) else band.high
    return ApproachBand(band.word, band.low, farthest, BandFigures(*changing))


def _changing(golf: Golf, specs: list[FigureSpec], tell: Teller) -> list[ChangingFigure]:
    """The figures and how their levels moved; trends of the same rounds are cheaper fitted side by side."""
    observed = [spec.observe(golf.analysed) for spec in specs]
    series = [_series(golf, *one) for one in zip(specs, observed, strict=True)]
    trends = iter(fit_trends([one for one in series if isinstance(one, Series)]))
    return [
        _told(
            spec,
            tell.named(spec, spec.figure(of_spec)),
            next(trends) if isinstance(one, Series) else one,
            tell,
        )
        for spec, of_spec, one in zip(specs, observed, series, strict=True)
    ]


def _series(golf: Golf, spec: FigureSpec, observed: Observations) -> Series | str:
    """The figure round by round, or why it has no trend."""
    if spec.unit == Unit.SHARE and _fewer_of_either(observed) < HITS_AND_MISSES:
        few = gettext("too few for a trend: fewer than {least} hits or misses")
        return few.format(least=HITS_AND_MISSES)
    days = Series.of(observed, golf.analysed.record.rounds.day, median=spec.statistic == "median")
    if len(days) < MINIMUM_ROUNDS:
        few = gettext("too few for a trend: {n} of at least {least} rounds")
        return few.format(n=len(days), least=MINIMUM_ROUNDS)
    return days


def _told(spec: FigureSpec, named: NamedFigure, trend: Trend | str | None, tell: Teller) -> ChangingFigure:
    """The figure, how its level moved from the first round to the last, and the chance that it got better."""
    if isinstance(trend, str):
        return ChangingFigure(**vars(named), change=None, chance_better=None, trend=trend)
    days = trend.series.day if trend else np.empty(0)
    change = trend.change_between(float(days[0]), float(days[-1])) if trend else None
    if change is None:
        alike = gettext("no change: every round is alike, or all were played on one day")
        return ChangingFigure(**vars(named), change=None, chance_better=None, trend=alike)
    moved = tell.plain(change.figure(len(days), spec.unit, MINIMUM_ROUNDS), "round", signed=True)
    if spec.key.endswith(".shots"):
        return ChangingFigure(**vars(named), change=moved, chance_better=None, trend=moved.words)
    chance = change.chance_better_than(0.0, spec.better)
    words = gettext("{change}; {percent} likely to have got better").format(
        change=moved.words, percent=spoken(percent(chance))
    )
    return ChangingFigure(**vars(named), change=moved, chance_better=round(chance, 4), trend=words)


def _fewer_of_either(observed: Observations) -> int:
    hits = int(observed.value.sum())
    return min(hits, len(observed) - hits)


def _distances(player: Player, golf: Golf, tell: Teller) -> PlayerDistances:
    names = golf.loaded.clubs
    # A putter is played from the fringe as well, but nobody plans a distance with it.
    clubs = [club for club in bag(golf.analysed) if names[club.club].lower() != "putter"]
    return PlayerDistances(
        **vars(about(player, golf)),
        caution=spoken(plays_like.WORDS),
        clubs=[_club(club, names[club.club], tell) for club in clubs],
        gaps=[_gap(gap, names[gap.longer], names[gap.shorter], tell) for gap in gaps(clubs)],
    )


def _club(club: ClubDistance, name: str, tell: Teller) -> ClubLength:
    def figure(key: str) -> Figure:
        value = club.spread if key == "distance_spread" else getattr(club, key)
        return tell.plain(value, "shot", shots_of=f"club.{name}.{key}")

    return ClubLength(
        club=name,
        distance=figure("distance"),
        distance_spread=figure("distance_spread"),
        side_yards=figure("side_yards"),
        side_degrees=figure("side_degrees"),
        plays_like=figure("plays_like"),
        lower_quarter=tell.plain(club.lower_quarter, "shot"),
        upper_quarter=tell.plain(club.upper_quarter, "shot"),
        plays_like_range=club.plays_like_range and [_length(x, tell.unit) for x in club.plays_like_range],
        conditions_known=club.conditions_known,
        measured=club.measured,
        full_swings=FullSwings.ESTIMATED if club.estimated else FullSwings.MARKED,
        words=_club_words(club, name, tell.unit),
    )


def _club_words(club: ClubDistance, name: str, unit: str) -> str:
    middle = club.distance.value
    low, high = club.lower_quarter.value, club.upper_quarter.value
    if middle is None:
        few = gettext("{club}: too few full swings of known distance ({n}).")
        return few.format(club=club_words(name), n=club.distance.n)
    name_of_unit = Unit.METRES if unit == DistanceUnit.METRES else Unit.YARDS
    if low is None or high is None:
        middle_alone = gettext(
            "{club}: {middle} {unit}, by {n} full swings: too few to tell the middle half."
        )
        return middle_alone.format(
            club=club_words(name),
            middle=f"{_length(middle, unit):.0f}",
            unit=gettext(name_of_unit),
            n=club.distance.n,
        )
    low, middle, high = (_length(x, unit) for x in (low, middle, high))
    return gettext("{club}: {middle} {unit}, half of the full swings from {low} to {high}.").format(
        club=club_words(name),
        middle=f"{middle:.0f}",
        unit=gettext(name_of_unit),
        low=f"{low:.0f}",
        high=f"{high:.0f}",
    )


def _gap(gap: CalcGap, longer: str, shorter: str, tell: Teller) -> ClubGap:
    overlap = tell.plain(gap.overlap, "shot", signed=True)
    return ClubGap(
        longer, shorter, tell.plain(gap.yards, "shot"), overlap, _overlap_words(longer, shorter, overlap)
    )


def _overlap_words(longer: str, shorter: str, overlap: Figure) -> str:
    longer, shorter = club_words(longer), club_words(shorter)
    if overlap.value is None:
        return gettext("{longer} and {shorter}: {words}").format(
            longer=longer, shorter=shorter, words=overlap.words
        )
    words = gettext("The middle halves of {longer} and {shorter} leave open {length} {unit}.")
    if overlap.value > 0:
        words = gettext("The middle halves of {longer} and {shorter} overlap by {length} {unit}.")
    if abs(overlap.value) < 0.5:
        words = gettext("The middle halves of {longer} and {shorter} just meet.")
    return words.format(
        longer=longer, shorter=shorter, length=f"{abs(overlap.value):.0f}", unit=gettext(overlap.unit)
    )


def _length(yards: float, unit: str) -> float:
    return in_shown_unit(yards, Unit.YARDS, unit)
