"""A round as it arrives: the shape of the JSON body and of the compact notation alike.

Distances are in the round's unit: yards to the hole (feet on the green), or metres throughout.
Shape and single values are checked here; whether the round fits its tee is checked in ``checks``.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, PrivateAttr, create_model

from courses.layout.models import Section
from golfstats.ground.clubs.models import DistanceUnit
from golfstats.ground.input_words import input_fault
from golfstats.ground.inputs import FIRST_DAY, written_as_a_day
from golfstats.sentences import Sentence
from players.rounds.fields import SHOT_FIELDS, Tag, WindSpeed
from players.rounds.models import RoundFormat


class Input(BaseModel):
    model_config = ConfigDict(
        use_attribute_docstrings=True, extra="forbid", use_enum_values=True, str_strip_whitespace=True
    )


if TYPE_CHECKING:
    ShotInput = Input
else:
    ShotInput = create_model(
        "ShotInput",
        __base__=Input,
        __doc__="A stroke at the ball. Only lie and distance are needed.",
        __module__=__name__,
        **{one.name: one.annotation for one in SHOT_FIELDS},
    )


def by_the_clock(time: dt.time) -> dt.time:
    """A time with an offset, or in seconds, which pydantic takes for one of UTC, is of no clock at the course."""
    if time.tzinfo is not None:
        raise input_fault(
            "time_with_offset", Sentence("a time is that of the clock at the course, as in 09:30")
        )
    return time


class HoleInput(Input):
    """A hole that was started: its shots, or its score, or both."""

    number: int = Field(ge=1, le=18)
    """1 to 18."""
    score: int | None = Field(
        default=None,
        ge=1,
        le=30,
        description="Strokes with penalties; may be left out when every shot is given. "
        "For a ball picked up: the most likely score.",
    )
    picked_up: bool = False
    """The ball was picked up."""
    putts: int | None = Field(default=None, ge=0, le=15)
    """Where shots are not told."""
    penalties: int | None = Field(default=None, ge=0, le=20)
    """Penalty strokes, where shots are not told."""
    fairway_hit: bool | None = None
    """By the tee shot, where shots are not told."""
    green_in_regulation: bool | None = None
    """Reached in two strokes less than par, where shots are not told."""
    shots: list[ShotInput] = Field(default_factory=list, max_length=40)
    """In their order."""


Course = Annotated[str, Field(min_length=1, max_length=120)]
Tee = Annotated[str, Field(min_length=1, max_length=60)]
Day = Annotated[
    dt.date, BeforeValidator(written_as_a_day), Field(ge=FIRST_DAY, description="Local date at the course.")
]
Holes = Annotated[list[HoleInput], Field(min_length=1, max_length=18)]


class AboutRound(Input):
    """What may be said of a round beside where, when and how it was played."""

    player: str | None = Field(default=None, description="Id or name; without it, yourself.")
    start_time: Annotated[dt.time, AfterValidator(by_the_clock)] | None = None
    """Local time at the course."""
    section: Section = Section.EIGHTEEN
    """What you set out to play: 18 holes, or one nine."""
    unit: DistanceUnit | None = Field(default=None, description="Without it, the club's unit.")
    format: RoundFormat = RoundFormat.STROKE_PLAY
    """Format of play."""
    counting: bool = True
    """To be counted for handicap if it is acceptable."""
    competition: bool = False
    """It was one."""
    reason_for_missing_holes: str = Field(default="", max_length=200)
    """Why holes are missing, in your own words: light, weather, illness."""
    ball: str = Field(default="", max_length=60)
    """What you call it."""
    weather: str = Field(default="", max_length=120)
    """In your own words."""
    temperature_c: Annotated[float, Field(ge=-30, le=55)] | None = None
    """Degrees Celsius."""
    wind_mph: WindSpeed | None = None
    """Miles an hour."""
    greens_found: str = Field(
        default="",
        max_length=200,
        description="As in “cored 7 days, slow, bumpy 4”: slow, medium, fast or speed 9.5; bumpy 1 to 5; soft, firm or "
        "hard; work and its age. Kept and shown, and used where the round is read beside its plan; what green work "
        "costs is told from the club's calendar alone.",
    )
    tags: list[Tag] = Field(default_factory=list, max_length=10)
    """Words of your own, without spaces."""
    note: str = Field(default="", max_length=4000)
    """In your own words."""


@dataclass(frozen=True)
class Remark:
    """Something was said twice of a hole or of its shot, and not the same: the later word counts."""

    field: str
    first: str
    then: str
    hole: int
    shot: int | None = None


class RoundBegun(AboutRound):
    """A round without its holes. Player, course and tee are named by id or by name."""

    course: Course
    """Id or name."""
    tee: Tee
    """Id or name."""
    played_on: Day


class RoundInput(RoundBegun):
    """A round as a person reports it. Player, course and tee are named by id or by name."""

    holes: Holes
    """Those that were started."""
    _remarks: tuple[Remark, ...] = PrivateAttr(default=())

    @property
    def remarks(self) -> tuple[Remark, ...]:
        """What a text in the notation said twice; a JSON body cannot."""
        return self._remarks

    def remarked(self, remarks: Iterable[Remark]) -> RoundInput:
        """This round, with what was remarked when it was read."""
        self._remarks = tuple(remarks)
        return self


class RoundChanges(AboutRound):
    """What to correct of a round; holes, if given, replace all holes."""

    course: Course | None = None
    """Id or name."""
    tee: Tee | None = None
    """Id or name."""
    played_on: Day | None = None
    """Local date at the course."""
    holes: Holes | None = None
    """All holes; they replace those that are there."""


class RoundText(Input):
    """A round in the compact notation."""

    notation: str
