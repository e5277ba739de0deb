"""A club's jurisdiction choices, as its settings hold them."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from enum import StrEnum
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from golfstats.calc.handicap import PRESETS, HandicapRules
from golfstats.ground.answers import OneOf


class Preset(StrEnum):
    """Where a club's choices start from."""

    PUBLISHED = "published"
    """The Rules of Handicapping as published."""
    GERMANY = "germany"
    """By the German Golf Association's notices: holes picked up are net double bogeys."""
    GREAT_BRITAIN_AND_IRELAND = "great_britain_and_ireland"
    """By the national notices: until April 2024 without Course Rating less par."""
    DENMARK = "denmark"
    """By the Danish Golf Union's manual: nine holes give a first index."""
    SWEDEN = "sweden"
    """By the Swedish Golf Federation: no playing conditions calculation from 20 May 2020 to 12 January 2022."""


class PickedUp(StrEnum):
    """Which score stands for a hole that was started and not finished (Rule 3.3)."""

    MOST_LIKELY = "most_likely"
    """The most likely score, at most net double bogey."""
    NET_DOUBLE_BOGEY = "net_double_bogey"
    """Net double bogey."""


class ExpectedFrom(StrEnum):
    """By which index the score on holes not played is expected (Rule 5.1b)."""

    WHEN_PLAYED = "when_played"
    """That of the day of the round."""
    CURRENT = "current"
    """The present one."""


class TwoAbove(StrEnum):
    """From which gap an exceptional score takes 2.0 off (Rule 5.9); the table leaves what is between open."""

    ABOVE_9_9 = "9.9"
    """Above 9.9."""
    FROM_10 = "10.0"
    """From 10.0."""


PresetWord = Annotated[str, OneOf(Preset)]
PickedUpWord = Annotated[str, OneOf(PickedUp)]
ExpectedFromWord = Annotated[str, OneOf(ExpectedFrom)]
TwoAboveWord = Annotated[str, OneOf(TwoAbove)]
MonthDay = tuple[Annotated[int, Field(ge=1, le=12)], Annotated[int, Field(ge=1, le=31)]]


class HandicapChoices(BaseModel):
    """What a club may choose. Whatever it leaves out stays as the preset, or the published text, has it."""

    model_config = ConfigDict(use_attribute_docstrings=True, extra="forbid")

    preset: PresetWord = "published"
    """Where to start from."""
    authorised_formats: frozenset[str] | None = None
    """Formats of play whose rounds count."""
    inactive_season: tuple[MonthDay, MonthDay] | None = None
    """First and last day, as MM-DD, of the months whose rounds do not count."""
    first_index_holes: Annotated[int, Field(ge=9, le=54)] | None = None
    """Holes needed for a first index; 54 as published."""
    maximum_index: Annotated[Decimal, Field(gt=0, le=54)] | None = None
    """The highest index; 54.0 as published."""
    picked_up: PickedUpWord | None = None
    """Which score stands for a hole that was started and not finished."""
    out_of_play_net_par: bool | None = None
    """Holes that were closed count as net par."""
    expected_factor: Annotated[Decimal, Field(gt=0, le=3)] | None = None
    """Of the expected differential: what the index is multiplied by."""
    expected_constant: Annotated[Decimal, Field(ge=-10, le=20)] | None = None
    """Of the expected differential: what is added."""
    expected_places: Annotated[int, Field(ge=0, le=4)] | None = None
    """Decimals that it is rounded to."""
    expected_from: ExpectedFromWord | None = None
    """From the index when the round was played, or the present one."""
    exceptional_from_rounded: bool | None = None
    """Exceptional scores are found from rounded differentials."""
    exceptional_two_above: TwoAboveWord | None = None
    """From a gap of 10.0, or above 9.9, an exceptional score takes 2.0 off."""
    low_index_days: Annotated[int, Field(ge=365, le=366)] | None = None
    """Days that the low index looks back."""
    low_index_counts_early: bool | None = None
    """Indexes from fewer than 20 scores count for it."""
    cap_at_20th_score: bool | None = None
    """The caps begin with the twentieth score itself."""
    match_play_on_difference: bool | None = None
    """The percentage of match play is applied to the difference between Course Handicaps, not to each."""
    local_factor: Annotated[Decimal, Field(gt=0, le=2)] | None = None
    """An extra factor on every Playing Handicap."""


def rules_of(choices: dict[str, object]) -> HandicapRules:
    """The rules that a club's settings amount to."""
    chosen = HandicapChoices.model_validate(choices)
    changes = chosen.model_dump(exclude_none=True, exclude={"preset"})
    return replace(PRESETS[chosen.preset], **changes)
