"""A round as it arrives: the shape of the JSON body and of the compact notation alike.

Distances are in the round's unit: yards to the hole (feet on the green), or metres throughout.
Shape and single values are checked here; whether the round fits its tee is checked in ``round_checks``.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema

from courses.models import Section
from golfstats.api.bodies import FIRST_DAY
from golfstats.calc import vocabulary
from golfstats.clubs.models import DistanceUnit
from players.models import RoundFormat


@dataclass(frozen=True)
class OneOf:
    """Only the words of a vocabulary; the JSON schema lists them."""

    words: type[vocabulary.Word]

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.literal_schema(list(self.words.words()))


LieWord = Annotated[str, OneOf(vocabulary.Lie)]
PenaltyKindWord = Annotated[str, OneOf(vocabulary.PenaltyKind)]
MissSideWord = Annotated[str, OneOf(vocabulary.MissSide)]
MissDepthWord = Annotated[str, OneOf(vocabulary.MissDepth)]
LieQualityWord = Annotated[str, OneOf(vocabulary.LieQuality)]
SwingWord = Annotated[str, OneOf(vocabulary.Swing)]
WindWord = Annotated[str, OneOf(vocabulary.Wind)]
SlopeWord = Annotated[str, OneOf(vocabulary.Slope)]
PuttBreakWord = Annotated[str, OneOf(vocabulary.PuttBreak)]
PuttFaultWord = Annotated[str, OneOf(vocabulary.PuttFault)]

Tag = Annotated[str, Field(min_length=1, max_length=60, pattern=r"^[^\s,()#]+$")]
ClubName = Annotated[str, Field(min_length=1, max_length=20, pattern=r"^[A-Za-z0-9][A-Za-z0-9.+-]*$")]
Distance = Annotated[float, Field(ge=0.05, le=2000, allow_inf_nan=False)]
Finite = Annotated[float, Field(ge=-2000, le=2000, allow_inf_nan=False)]


class Input(BaseModel):
    model_config = ConfigDict(extra="forbid", use_enum_values=True, str_strip_whitespace=True)


class ShotInput(Input):
    """A stroke at the ball. Only lie and distance are needed."""

    lie: LieWord
    distance: Distance = Field(
        description="To the hole before the shot: yards (feet on the green) or metres."
    )
    club: ClubName | None = None
    holed: bool | None = Field(
        default=None,
        description="May be left out: the last shot of a hole is holed unless the ball was picked up.",
    )
    penalty_strokes: int = Field(default=0, ge=0, le=4)
    penalty_kind: PenaltyKindWord | None = None
    target_distance: Distance | None = Field(default=None, description="Intended length, if not the hole.")
    travel: Distance | None = Field(default=None, description="Measured length of the shot.")
    offline: Finite | None = Field(
        default=None, description="Measured finish beside the line, right positive."
    )
    miss_side: MissSideWord | None = None
    miss_depth: MissDepthWord | None = None
    short_sided: bool | None = None
    lie_quality: LieQualityWord | None = None
    swing: SwingWord | None = None
    wind: WindWord | None = None
    wind_mph: Annotated[float, Field(ge=0, le=80)] | None = None
    elevation: Finite | None = Field(default=None, description="Height of the target above the ball.")
    slope: SlopeWord | None = None
    putt_break: PuttBreakWord | None = None
    fault: PuttFaultWord | None = None
    tags: list[Tag] = Field(default_factory=list, max_length=10)


class HoleInput(Input):
    """A hole that was started: its shots, or its score, or both."""

    number: int = Field(ge=1, le=18)
    score: int | None = Field(
        default=None,
        ge=1,
        le=30,
        description="Strokes with penalties; may be left out when every shot is given. "
        "For a ball picked up: the most likely score.",
    )
    picked_up: bool = False
    putts: int | None = Field(default=None, ge=0, le=15)
    penalties: int | None = Field(default=None, ge=0, le=20)
    fairway_hit: bool | None = None
    green_in_regulation: bool | None = None
    shots: list[ShotInput] = Field(default_factory=list, max_length=40)


class RoundInput(Input):
    """A round as a person reports it. Player, course and tee are named by id or by name."""

    player: str | None = Field(default=None, description="Id or name; without it, yourself.")
    course: str = Field(min_length=1, max_length=120)
    tee: str = Field(min_length=1, max_length=60)
    played_on: dt.date = Field(ge=FIRST_DAY, description="Local date at the course.")
    start_time: dt.time | None = None
    section: Section = Section.EIGHTEEN
    unit: DistanceUnit | None = Field(default=None, description="Without it, the club's unit.")
    format: RoundFormat = RoundFormat.STROKE_PLAY
    counting: bool = True
    competition: bool = False
    reason_for_missing_holes: str = Field(default="", max_length=200)
    ball: str = Field(default="", max_length=60)
    weather: str = Field(default="", max_length=120)
    temperature_c: Annotated[float, Field(ge=-30, le=55)] | None = None
    wind_mph: Annotated[float, Field(ge=0, le=80)] | None = None
    tags: list[Tag] = Field(default_factory=list, max_length=10)
    note: str = Field(default="", max_length=4000)
    holes: list[HoleInput] = Field(min_length=1, max_length=18)
