"""A club's jurisdiction choices, as its settings hold them."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from golfstats.calc.handicap import PRESETS, HandicapRules

Preset = Literal["published", "germany", "great_britain_and_ireland", "denmark", "sweden"]
MonthDay = tuple[Annotated[int, Field(ge=1, le=12)], Annotated[int, Field(ge=1, le=31)]]


class HandicapChoices(BaseModel):
    """What a club may choose. Whatever it leaves out stays as the preset, or the published text, has it."""

    model_config = ConfigDict(extra="forbid")

    preset: Preset = "published"
    authorised_formats: frozenset[str] | None = None
    inactive_season: tuple[MonthDay, MonthDay] | None = None
    first_index_holes: Annotated[int, Field(ge=9, le=54)] | None = None
    maximum_index: Annotated[Decimal, Field(gt=0, le=54)] | None = None
    picked_up: Literal["most_likely", "net_double_bogey"] | None = None
    out_of_play_net_par: bool | None = None
    expected_factor: Annotated[Decimal, Field(gt=0, le=3)] | None = None
    expected_constant: Annotated[Decimal, Field(ge=-10, le=20)] | None = None
    expected_places: Annotated[int, Field(ge=0, le=4)] | None = None
    expected_from: Literal["when_played", "current"] | None = None
    exceptional_from_rounded: bool | None = None
    exceptional_two_above: Literal["9.9", "10.0"] | None = None
    low_index_days: Annotated[int, Field(ge=365, le=366)] | None = None
    low_index_counts_early: bool | None = None
    cap_at_20th_score: bool | None = None
    match_play_on_difference: bool | None = None
    local_factor: Annotated[Decimal, Field(gt=0, le=2)] | None = None


def rules_of(choices: dict[str, Any]) -> HandicapRules:
    """The rules that a club's settings amount to."""
    chosen = HandicapChoices.model_validate(choices)
    changes = chosen.model_dump(exclude_none=True, exclude={"preset"})
    return replace(PRESETS[chosen.preset], **changes)
