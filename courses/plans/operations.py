"""What may be asked and changed of holes' shapes."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from courses.layout.announcing import TEE_CHANGED
from courses.layout.models import TeeSet
from courses.layout.operations import CARD_MAKERS, TEE
from courses.layout.permissions import needs_own_provisional
from courses.plans import answers, services
from golfstats.ground.operations import Asker, Change


class ShapeBody(BaseModel):
    """What is told of one hole from these tees."""

    model_config = ConfigDict(use_attribute_docstrings=True, extra="forbid", str_strip_whitespace=True)

    number: Annotated[int, Field(ge=1, le=18)]
    """Number of the hole."""
    words: Annotated[str, Field(max_length=services.LONGEST_WORDS)] = Field(
        "",
        description="As in “dogleg right 240, bunker left 230-260, green 28 deep, slopes front”; in yards.",
    )
    map: dict[str, object] | None = Field(
        None, description="GeoJSON FeatureCollection (RFC 7946) with golf=tee, green, fairway, bunker, …"
    )


class ShapesBody(BaseModel):
    """Shapes of holes; the others stay as they are."""

    model_config = ConfigDict(use_attribute_docstrings=True, extra="forbid")

    holes: Annotated[list[ShapeBody], Field(min_length=1, max_length=18)]
    """Those to describe; the others stay as they are."""


def _describe(asker: Asker, tee_set: TeeSet, given: ShapesBody) -> answers.ShapesStored:
    needs_own_provisional(asker.member, tee_set.course)
    described = [(shape.number, shape.words, shape.map) for shape in given.holes]
    return answers.ShapesStored(services.describe_holes(asker.member, tee_set, described))


OPERATIONS = [
    Change(
        name="tee-shapes",
        id="describe_holes",
        path="courses/<uuid:course_id>/tees/<uuid:tee_id>/shapes",
        verb="PUT",
        summary="Say what holes look like",
        description=(
            "A map counts before words. Nothing is stored unless all of it can be drawn. Of a provisional course by "
            "whoever entered it; of any course by managers."
        ),
        about=TEE,
        body=ShapesBody,
        limit=services.MAP_BYTES,
        roles=CARD_MAKERS,
        sends=(TEE_CHANGED,),
        do=_describe,
        gives=answers.ShapesStored,
    ),
]
