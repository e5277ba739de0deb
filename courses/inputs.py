"""What clients may send about courses, as checked models. Lengths of holes are in the club's unit."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, AwareDatetime, BaseModel, ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from courses.models import Gender, PartOfDay, Section, WorkStatus
from golfstats.api.bodies import FIRST_DAY, Day
from golfstats.calc.greens.work_types import coring_area_percent, work_types


class Body(BaseModel):
    model_config = ConfigDict(extra="forbid", str_strip_whitespace=True, allow_inf_nan=False)


def _known_kind(kind: str) -> str:
    if kind not in work_types():
        raise PydanticCustomError(
            "unknown_kind", "known kinds are: {kinds}", {"kinds": ", ".join(work_types())}
        )
    return kind


def _distinct_greens(holes: list[int]) -> list[int]:
    return sorted(set(holes))


Name = Annotated[str, Field(min_length=1, max_length=120)]
ShortName = Annotated[str, Field(min_length=1, max_length=60)]
Note = Annotated[str, Field(max_length=2000)]
Kind = Annotated[str, AfterValidator(_known_kind)]
HoleNumber = Annotated[int, Field(ge=1, le=18)]
Greens = Annotated[list[HoleNumber], Field(max_length=18), AfterValidator(_distinct_greens)]
Millimetres = Annotated[float, Field(gt=0, le=500)]
StrokeIndex = Annotated[int, Field(ge=1, le=18)]
Par = Annotated[int, Field(ge=3, le=6)]


class NewCourse(Body):
    name: Name
    hole_count: Literal[9, 18] = 18
    grass: Annotated[str, Field(max_length=60)] = ""
    season: Annotated[str, Field(max_length=120)] = ""


class CourseChanges(Body):
    name: Name | None = None
    grass: Annotated[str, Field(max_length=60)] | None = None
    season: Annotated[str, Field(max_length=120)] | None = None


class TeeName(Body):
    name: ShortName


class HoleBody(Body):
    number: HoleNumber
    length: Annotated[float, Field(gt=0, lt=900)]
    par_men: Par | None = None
    par_women: Par | None = None
    stroke_index_men: StrokeIndex | None = None
    stroke_index_women: StrokeIndex | None = None


class HolesBody(Body):
    holes: Annotated[list[HoleBody], Field(max_length=18)]


class RatingBody(Body):
    gender: Gender
    section: Section
    course_rating: Annotated[Decimal, Field(ge=20, le=90, decimal_places=1)]
    slope_rating: Annotated[int, Field(ge=55, le=155)]
    par: Annotated[int, Field(ge=27, le=80)]


class RatingsBody(Body):
    ratings: Annotated[list[RatingBody], Field(max_length=6)]


class PlayingConditionsBody(Body):
    played_on: Day
    part_of_day: PartOfDay = PartOfDay.WHOLE_DAY
    pcc: Annotated[int, Field(ge=-1, le=3)]
    origin: Annotated[str, Field(min_length=1, max_length=200)]


class Days(Body):
    """From a first to a last day, both included; the last day alone may be left out."""

    starts_on: Day
    ends_on: Day | None = None

    @property
    def last_day(self) -> dt.date:
        return self.ends_on or self.starts_on

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.last_day < self.starts_on:
            raise PydanticCustomError("ends_before_start", "ends_on is before starts_on")
        if (self.last_day - self.starts_on).days > 366:
            raise PydanticCustomError("too_long", "no more than a year from starts_on to ends_on")
        return self


class EventBody(Days):
    name: Name
    competition: bool = True


class GreenWorkBody(Days):
    kind: Kind
    holes: Greens = []
    """Numbers of the greens; empty = all."""
    tine_diameter_mm: Millimetres | None = None
    spacing_along_mm: Millimetres | None = None
    spacing_across_mm: Millimetres | None = None
    severity: Annotated[float, Field(ge=0, le=1)] | None = None
    temporary_greens: bool = False
    status: WorkStatus = WorkStatus.CONFIRMED
    note: Note = ""

    @model_validator(mode="after")
    def _tines_fit(self) -> Self:
        if self.tine_diameter_mm is None or self.spacing_along_mm is None:
            return self
        try:
            coring_area_percent(self.tine_diameter_mm, self.spacing_along_mm, self.spacing_across_mm)
        except ValueError as error:
            raise PydanticCustomError("tines_overlap", "{why}", {"why": str(error)}) from None
        return self


Roll = Annotated[float, Field(ge=1, le=30)]


def _as_list(value: list[float] | float) -> list[float]:
    return value if isinstance(value, list) else [value]


Rolls = Annotated[Roll | Annotated[list[Roll], Field(max_length=6)], AfterValidator(_as_list)]


_EARLIEST = dt.datetime.combine(FIRST_DAY, dt.time(), dt.UTC)


class GreenReadingBody(Body):
    measured_at: Annotated[AwareDatetime, Field(ge=_EARLIEST)]
    hole: HoleNumber | None = None
    """Number of the green; none = the practice green."""
    roll_one_way_ft: Rolls = []
    """Stimpmeter distances in feet: one a ball, or their mean."""
    roll_other_way_ft: Rolls = []
    firmness_g: Annotated[float, Field(gt=0, le=500)] | None = None
    moisture_pct: Annotated[float, Field(ge=0, le=100)] | None = None
    mowing_height_mm: Annotated[float, Field(gt=0, le=30)] | None = None
    bobble_score: Annotated[int, Field(ge=1, le=5)] | None = None
    note: Note = ""

    @model_validator(mode="after")
    def _says_something(self) -> Self:
        if bool(self.roll_one_way_ft) != bool(self.roll_other_way_ft):
            raise PydanticCustomError("rolled_one_way_only", "roll the balls both ways")
        measures = (self.firmness_g, self.moisture_pct, self.mowing_height_mm, self.bobble_score)
        if not self.roll_one_way_ft and all(measure is None for measure in measures):
            raise PydanticCustomError("nothing_measured", "give at least one measurement")
        return self
