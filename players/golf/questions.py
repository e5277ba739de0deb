"""Parameters that every question about golf shares: whose benchmark, which unit, which rounds."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, Field, StringConstraints, model_validator

from golfstats.calc.figures.catalogue import UnknownFigureError
from golfstats.calc.strokes.selection import UnknownBenchmarkError
from golfstats.ground.clubs.models import DistanceUnit
from golfstats.ground.faults import Fault, ProblemError, invalid
from golfstats.ground.input_words import input_fault
from golfstats.ground.inputs import Day
from golfstats.ground.operations import Asker, Query
from golfstats.sentences import Sentence, words_of
from players.golf.windows import USUAL_ROUNDS, RoundWindow

FigureKey = Annotated[str, StringConstraints(min_length=1, max_length=80)]


def between_commas(given: object) -> object:
    """``a,b`` of a query string, once or several times, as the list that GraphQL gives."""
    if isinstance(given, str):
        return [part.strip() for part in given.split(",") if part.strip()]
    if isinstance(given, list) and all(isinstance(one, str) for one in given):
        return between_commas(",".join(given))
    return given


Keys = Annotated[list[FigureKey], BeforeValidator(between_commas)]
"""Keys of figures; in a query string with commas between."""


class BenchmarkQuery(Query):
    benchmark: Annotated[str, StringConstraints(max_length=40)] | None = Field(
        None, description="professional, handicap:<h> or club:<h>; the club's own choice if left out"
    )
    unit: DistanceUnit | None = Field(None, description="the club's if left out")

    def shown_unit(self, asker: Asker) -> str:
        """The distance unit of the answer."""
        return self.unit or asker.distance_unit


class WindowQuery(BenchmarkQuery):
    last: int | None = Field(
        None, ge=1, le=1000, description=f"the last so many rounds; {USUAL_ROUNDS} if left out"
    )
    since: Day | None = Field(None, alias="from", description="first day, instead of last")
    until: Day | None = Field(None, alias="to", description="last day, instead of last")

    @model_validator(mode="after")
    def one_kind_of_window(self) -> WindowQuery:
        if self.last is not None and (self.since or self.until):
            raise input_fault("two_windows", Sentence("give either last, or from and to"))
        if self.since and self.until and self.since > self.until:
            raise input_fault("from_after_to", Sentence("from is after to"))
        return self

    def window(self) -> RoundWindow:
        if self.since or self.until:
            return RoundWindow.between(self.since, self.until)
        return RoundWindow(self.last or USUAL_ROUNDS)


def unknown_benchmark(error: UnknownBenchmarkError) -> ProblemError:
    return invalid([Fault("/benchmark", "unknown_benchmark", words_of(error))], Sentence("No such benchmark"))


def unknown_figure(error: UnknownFigureError, parameter: str = "/keys") -> ProblemError:
    return invalid([Fault(parameter, "unknown_figure", words_of(error))], Sentence("No such figure"))
