"""What may be entered of courses, tee sets, holes, ratings and playing conditions."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field

from courses.layout.models import Gender, PartOfDay, Section
from golfstats.ground.clubs.models import DistanceUnit
from golfstats.ground.inputs import Body, Day
from golfstats.ground.names import Name, ShortName

HoleNumber = Annotated[int, Field(ge=1, le=18)]
Altitude = Annotated[
    float, Field(ge=-500, le=5000, description="Metres above the sea; balls fly farther in thinner air.")
]
StrokeIndex = Annotated[int, Field(ge=1, le=18)]
Par = Annotated[int, Field(ge=3, le=6)]


class NewCourse(Body):
    name: Name
    """Once in the club."""
    hole_count: Literal[9, 18] = 18
    """9 or 18."""
    grass: Annotated[str, Field(max_length=60)] = ""
    """Of the greens, in your own words."""
    season: Annotated[str, Field(max_length=120)] = ""
    """When it grows, in your own words."""
    altitude: Altitude | None = None
    """Metres above the sea; balls fly farther in thinner air."""


class CourseChanges(Body):
    name: Name | None = None
    """Once in the club."""
    grass: Annotated[str, Field(max_length=60)] | None = None
    """Of the greens, in your own words."""
    season: Annotated[str, Field(max_length=120)] | None = None
    """When it grows, in your own words."""
    altitude: Altitude | None = None
    """Metres above the sea; balls fly farther in thinner air."""

    provisional: Literal[False] | None = Field(
        None, description="False takes a provisional course into the club's own, for every member."
    )


class TeeName(Body):
    name: ShortName
    """Once on the course."""


class TeeHoleBody(Body):
    number: HoleNumber
    """Of the hole."""
    length: Annotated[float, Field(gt=0, lt=900)]
    """In the club's unit."""
    par_men: Par | None = None
    """For men; with the stroke index or not at all."""
    par_women: Par | None = None
    """For women; with the stroke index or not at all."""
    stroke_index_men: StrokeIndex | None = None
    """For men, each once."""
    stroke_index_women: StrokeIndex | None = None
    """For women, each once."""


class HolesBody(Body):
    holes: Annotated[list[TeeHoleBody], Field(max_length=18)]
    """All holes of the tee."""


class RatingBody(Body):
    gender: Gender
    """Whom it is issued for."""
    section: Section
    """18 holes, or one nine."""
    course_rating: Annotated[Decimal, Field(ge=20, le=90, decimal_places=1)]
    """In strokes, to a tenth."""
    slope_rating: Annotated[int, Field(ge=55, le=155)]
    """55 to 155."""
    par: Annotated[int, Field(ge=27, le=80)]
    """Of the section."""


class RatingsBody(Body):
    ratings: Annotated[list[RatingBody], Field(max_length=6)]
    """All ratings of the tee."""


class Scorecard(Body):
    """A course as its card prints it, from one set of tees."""

    name: Name
    """Of the course."""
    tee: ShortName
    """Name of the tee."""
    holes: Annotated[list[TeeHoleBody], Field(max_length=18)]
    """As the card prints them."""
    ratings: Annotated[list[RatingBody], Field(max_length=6)] = Field(
        default_factory=list, description="If printed; without them rounds there give no differential."
    )
    altitude: Altitude | None = None
    """Metres above the sea."""
    unit: DistanceUnit | None = Field(
        None, description="Of the lengths on the card; without it, the club's unit."
    )


class PlayingConditionsBody(Body):
    played_on: Day
    """Day at the course."""
    part_of_day: PartOfDay = PartOfDay.WHOLE_DAY
    """Where the figure is not for the whole day."""
    pcc: Annotated[int, Field(ge=-1, le=3)]
    """The playing conditions calculation, −1 to 3."""
    origin: Annotated[str, Field(min_length=1, max_length=200)]
    """Who issued the figure."""
