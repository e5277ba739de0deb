"""The query strings of everything about strokes; an unknown parameter is refused."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any, TypeVar

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter
from pydantic import BaseModel, ConfigDict, Field, StringConstraints, ValidationError, model_validator
from pydantic_core import PydanticCustomError
from rest_framework.request import Request

from golfstats.api.bodies import faults_of
from golfstats.api.problems import invalid
from golfstats.clubs.models import DistanceUnit
from players.queries.windows import USUAL_ROUNDS, RoundWindow

QueryT = TypeVar("QueryT", bound=BaseModel)

FigureKey = Annotated[str, StringConstraints(min_length=1, max_length=80)]


class NoQuery(BaseModel):
    """An endpoint without parameters."""

    model_config = ConfigDict(extra="forbid")


class StrokesQuery(BaseModel):
    model_config = ConfigDict(extra="forbid")

    benchmark: Annotated[str, StringConstraints(max_length=40)] | None = None
    unit: DistanceUnit | None = None


class WindowQuery(StrokesQuery):
    last: int | None = Field(None, ge=1, le=1000)
    since: date | None = Field(None, alias="from")
    until: date | None = Field(None, alias="to")

    @model_validator(mode="after")
    def one_kind_of_window(self) -> WindowQuery:
        if self.last is not None and (self.since or self.until):
            raise PydanticCustomError("two_windows", "give either last, or from and to")
        if self.since and self.until and self.since > self.until:
            raise PydanticCustomError("from_after_to", "from is after to")
        return self

    def window(self) -> RoundWindow:
        if self.since or self.until:
            return RoundWindow.between(self.since, self.until)
        return RoundWindow(self.last or USUAL_ROUNDS)


class FiguresQuery(WindowQuery):
    keys: Annotated[str, StringConstraints(max_length=2000)] | None = None

    def key_list(self) -> list[str]:
        return [key.strip() for key in (self.keys or "").split(",") if key.strip()]


class ShotsQuery(WindowQuery):
    figure: FigureKey
    offset: int = Field(0, ge=0, le=1_000_000)
    page_size: int = Field(50, ge=1, le=200)


def checked_query(model: type[QueryT], request: Request) -> QueryT:
    """The query string as a model; a 422 problem that lists every fault."""
    given: dict[str, Any] = {k: v for k, v in request.query_params.items() if k != "format"}
    try:
        return model.model_validate(given)
    except ValidationError as error:
        raise invalid(faults_of(error, given), "The query string is not valid") from None


BENCHMARK = OpenApiParameter(
    "benchmark",
    OpenApiTypes.STR,
    description="professional, handicap:<h> or club:<h>; the club's own choice if left out",
)
UNIT = OpenApiParameter(
    "unit", OpenApiTypes.STR, enum=["yards", "metres"], description="the club's if left out"
)
WINDOW = [
    OpenApiParameter(
        "last", OpenApiTypes.INT, description=f"the last so many rounds; {USUAL_ROUNDS} if left out"
    ),
    OpenApiParameter("from", OpenApiTypes.DATE, description="first day, instead of last"),
    OpenApiParameter("to", OpenApiTypes.DATE, description="last day, instead of last"),
    BENCHMARK,
    UNIT,
]
