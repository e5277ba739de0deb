"""What the answers to a coach's questions share."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Annotated, Any
from uuid import UUID

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter
from pydantic import AfterValidator, BaseModel, ConfigDict, StringConstraints
from rest_framework.request import Request

from golfstats.api import bodies
from golfstats.api.problems import Fault, invalid
from golfstats.calc.coaching.words import percent
from golfstats.calc.figure import Figure
from golfstats.calc.figures.catalogue import UnknownFigureError
from golfstats.calc.observations import FigureSpec
from golfstats.calc.strokes.selection import UnknownBenchmark
from golfstats.clubs.models import DistanceUnit
from players.api.figures import TO_METRES, figure_json
from players.api.query_string import QueryT, StrokesQuery, checked_query
from players.api.strokes_view import StrokesView, is_difference, unknown_benchmark
from players.coaching.comparison import Pair
from players.coaching.history import DASHBOARD_FIGURES, history_of, today_at
from players.models import Player
from players.queries.analysed import Golf

BODY_LIMIT = 32 * 1024
MOST_KEYS = 12


def _not_too_many(keys: str) -> str:
    if len(split_keys(keys)) > MOST_KEYS:
        raise ValueError(f"at most {MOST_KEYS} figures at once")
    return keys


def split_keys(keys: str | None) -> list[str]:
    """The keys of a query; those of the dashboard if it names none."""
    found = [key.strip() for key in (keys or "").split(",") if key.strip()]
    return found or list(DASHBOARD_FIGURES)


Keys = Annotated[str, StringConstraints(max_length=2000), AfterValidator(_not_too_many)]
KEYS = OpenApiParameter(
    "keys",
    OpenApiTypes.STR,
    description=f"keys of figures with commas between, at most {MOST_KEYS}; "
    "if left out, strokes gained in all and by part",
)
SINCE = OpenApiParameter("since", OpenApiTypes.DATE, description="rounds from this day on; all if left out")


class Body(BaseModel):
    model_config = ConfigDict(extra="forbid", str_strip_whitespace=True)


class CoachView(StrokesView):
    """Base of the endpoints about a coach's questions."""

    @property
    def today(self) -> date:
        return today_at(self.club)

    def history(
        self, players: Iterable[UUID], benchmark: str | None = None, since: date | None = None
    ) -> Golf:
        """Every round of these players from a day on; a 422 problem for an unknown benchmark."""
        try:
            return history_of(players, self.club, benchmark, since)
        except UnknownBenchmark as error:
            raise unknown_benchmark(error) from None

    def body(self, model: type[QueryT], request: Request) -> QueryT:
        return bodies.checked(model, bodies.json_body(bodies.raw_body(request, BODY_LIMIT)))

    def query(self, model: type[QueryT], request: Request) -> QueryT:
        return checked_query(model, request)


class KeysQuery(StrokesQuery):
    keys: Keys | None = None
    since: date | None = None

    def key_list(self) -> list[str]:
        return split_keys(self.keys)


def unknown_figure(error: UnknownFigureError, parameter: str = "/keys") -> Exception:
    return invalid([Fault(parameter, "unknown_figure", str(error))], "No such figure")


def named(spec: FigureSpec, unit: str) -> dict[str, Any]:
    """Which figure it is; ``unit`` is the distance unit of the answer."""
    shown = "m" if unit == DistanceUnit.METRES and spec.unit in TO_METRES else spec.unit
    return {"key": spec.key, "name": spec.words, "better": spec.better, "unit": shown}


def figure_of_spec(figure: Figure, spec: FigureSpec, unit: str, of: str | None = None) -> dict[str, Any]:
    """A value of a named figure; ``of`` says what ``n`` counts if not what the figure counts."""
    return figure_json(figure, unit=unit, of=of or spec.per, signed=is_difference(spec))


def difference_json(figure: Figure, unit: str, of: str = "") -> dict[str, Any]:
    return figure_json(figure, unit=unit, of=of, signed=True)


def chance_json(chance: float | None) -> dict[str, Any] | None:
    """A chance as a number and in words, which are never 0% or 100%."""
    return None if chance is None else {"value": round(chance, 4), "words": percent(chance)}


def pair_json(pair: Pair, unit: str) -> dict[str, Any]:
    return {
        "first": pair.first,
        "second": pair.second,
        "difference": difference_json(pair.difference, unit),
        "chance_first_better": chance_json(pair.chance_first_better),
        "words": pair.words,
    }


def player_json(player: Player) -> dict[str, Any]:
    return {"id": player.id, "name": player.name}
