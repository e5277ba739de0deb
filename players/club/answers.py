"""What is told of the club and its settings."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from golfstats.ground.answers import up_to
from golfstats.ground.clubs import models
from golfstats.ground.clubs.models import DateStyle, DistanceUnit, ErasedGolf, FirstWeekday
from golfstats.ground.operations import Asker, Query
from players.handicap.rules import (
    ExpectedFromWord,
    HandicapChoices,
    PickedUpWord,
    PresetWord,
    TwoAboveWord,
)


@dataclass(frozen=True)
class DayOfYear:
    """A day, in every year."""

    month: int
    """1 to 12."""
    day: int
    """Day of the month."""


@dataclass(frozen=True, kw_only=True)
class HandicapRules:
    """A club's jurisdiction choices. What is null is as the preset, or the published text, has it."""

    preset: PresetWord
    """Where the choices start from."""
    authorised_formats: list[str] | None
    """Formats of play whose rounds count."""
    inactive_season: list[DayOfYear] | None
    """First and last day."""
    first_index_holes: int | None
    """Holes needed for a first index."""
    maximum_index: str | None
    """The highest index."""
    picked_up: PickedUpWord | None
    """Which score stands for a hole that was started and not finished."""
    out_of_play_net_par: bool | None
    """Holes that were closed count as net par."""
    expected_factor: str | None
    """Of the expected differential: what the index is multiplied by."""
    expected_constant: str | None
    """Of the expected differential: what is added."""
    expected_places: int | None
    """Decimals that the expected differential is rounded to."""
    expected_from: ExpectedFromWord | None
    """Whether from the index when the round was played, or from the present one."""
    exceptional_from_rounded: bool | None
    """Exceptional scores are found from rounded differentials."""
    exceptional_two_above: TwoAboveWord | None
    """The gap from which, or above which, an exceptional score takes 2.0 off."""
    low_index_days: int | None
    """Days that the Low Handicap Index looks back."""
    low_index_counts_early: bool | None
    """Indexes from fewer than 20 scores count for the Low Handicap Index."""
    cap_at_20th_score: bool | None
    """The caps begin with the twentieth score itself."""
    match_play_on_difference: bool | None
    """The percentage of match play is applied to the difference between Course Handicaps, not to each."""
    local_factor: str | None
    """An extra factor on every Playing Handicap."""


@dataclass(frozen=True, kw_only=True)
class Club:
    """The club and its settings."""

    slug: str
    """Its name in addresses."""
    name: str
    """What the club is called."""
    time_zone: str
    """Of the IANA time zone database."""
    distance_unit: DistanceUnit
    """Unit in which distances are told."""
    date_style: DateStyle
    """How days are written on pages, in sentences and on paper."""
    first_weekday: FirstWeekday
    """The day on which a week begins."""
    short_game_yards: float
    """Shots from nearer than this that are no putts are short game."""
    approach_band_edges: list[float] = up_to(10)
    """Edges in yards of the approach distance bands; empty for the usual ones."""
    benchmark: str
    """Key of the benchmark that the stored strokes gained are measured against."""
    handicap_rules: HandicapRules
    """How the unofficial handicaps are computed."""
    erased_golf: ErasedGolf
    """What becomes of the rounds of somebody who erases themselves: `gone`, or `anonymous` in the club's fits."""
    rounds_kept_years: int
    """Older rounds are removed every night, except what a handicap of today rests on. 0: kept for ever."""


def club(asker: Asker, _: Query) -> Club:
    return club_of(asker.club)


def club_of(row: models.Club) -> Club:
    return Club(
        slug=row.slug,
        name=row.name,
        time_zone=row.time_zone,
        distance_unit=DistanceUnit(row.distance_unit),
        date_style=DateStyle(row.date_style),
        first_weekday=FirstWeekday(row.first_weekday),
        short_game_yards=row.short_game_yards,
        approach_band_edges=list(row.approach_band_edges),
        benchmark=row.benchmark,
        handicap_rules=_rules(HandicapChoices.model_validate(row.handicap_rules)),
        erased_golf=ErasedGolf(row.erased_golf),
        rounds_kept_years=row.rounds_kept_years,
    )


def _rules(chosen: HandicapChoices) -> HandicapRules:
    fields: dict[str, Any] = {
        name: str(value) if isinstance(value, Decimal) else value
        for name, value in chosen
        if name not in ("authorised_formats", "inactive_season")
    }
    formats, season = chosen.authorised_formats, chosen.inactive_season
    return HandicapRules(
        **fields,
        authorised_formats=None if formats is None else sorted(formats),
        inactive_season=None if season is None else [DayOfYear(*day) for day in season],
    )
