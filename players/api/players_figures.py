"""A player's figures: the summary, the catalogue, one figure by round, and the shots behind it."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode
from uuid import UUID

import numpy as np
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.api.problems import Fault, invalid, not_found
from golfstats.calc.figures.catalogue import UnknownFigureError
from golfstats.calc.observations import FigureSpec
from golfstats.clubs.models import DistanceUnit
from players.api import strokes_examples as examples
from players.api.behind import row_json
from players.api.figures import TO_METRES, number_words
from players.api.query_string import WINDOW, FiguresQuery, ShotsQuery, WindowQuery, checked_query
from players.api.strokes_view import FigureWriter, StrokesView, head
from players.models import Player
from players.queries.analysed import Golf
from players.queries.figures import NamedFigure, behind, every_figure, figures_of, series, spec_of
from players.queries.summary import RoundLine, summary

FIGURE_KEYS = OpenApiParameter("keys", OpenApiTypes.STR, description="keys of figures, with commas between")


class PlayerSummary(StrokesView):
    @extend_schema(
        operation_id="read_player_summary",
        summary="A player over a window: strokes gained a round by part, scoring, and one line a round",
        parameters=WINDOW,
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("A summary", value=examples.SUMMARY, response_only=True)],
    )
    def get(self, request: Request, player_id: UUID) -> Response:
        query = checked_query(WindowQuery, request)
        player = self.visible_player(player_id)
        golf = self.golf([player_id], query)
        return Response(summary_json(player, golf, FigureWriter(player, query, self.unit_of(query))))


def summary_json(player: Player, golf: Golf, write: FigureWriter) -> dict[str, Any]:
    found = summary(golf)
    return head(player, golf) | {
        "words": _summary_words(found.gained, golf.benchmark.name),
        "strokes_gained": {
            named.spec.key.removeprefix("gained."): write.named(named) for named in found.gained
        },
        "scoring": [write.named(named) for named in found.scoring],
        "rounds": [_line_json(line) for line in found.rounds],
    }


def _summary_words(gained: list[NamedFigure], benchmark: str) -> str:
    """The one sentence of the answer: in all, the best part and the worst."""
    total, *parts = gained
    known = [named for named in parts if named.figure.value is not None]
    if total.figure.value is None or not known:
        return "Too few holes with every shot recorded to say where strokes are gained and lost."
    best, worst = (pick(known, key=lambda named: named.figure.value or 0.0) for pick in (max, min))
    return (
        f"{_gain(total)} strokes a round against {benchmark}: most gained (or least lost) "
        f"{_part_words(best.spec)} ({_gain(best)}), most lost {_part_words(worst.spec)} ({_gain(worst)})."
    )


def _part_words(spec: FigureSpec) -> str:
    return spec.words.removeprefix("Strokes gained ").removesuffix(" a round")


def _gain(named: NamedFigure) -> str:
    return number_words(named.figure.value or 0.0, "strokes", signed=True)


def _line_json(line: RoundLine) -> dict[str, Any]:
    return {
        "round": line.round_id,
        "played_on": line.played_on,
        "course": line.course,
        "score": line.score,
        "to_par": line.to_par,
        "holes_played": line.holes_played,
        "holes_covered": line.holes_covered,
        "strokes_gained": None if line.parts is None else {"total": line.total} | line.parts,
    }


class PlayerFigures(StrokesView):
    @extend_schema(
        operation_id="list_player_figures",
        summary="Every figure of a player over a window, or those of `keys`",
        parameters=[FIGURE_KEYS, *WINDOW],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Figures", value=examples.FIGURES, response_only=True)],
    )
    def get(self, request: Request, player_id: UUID) -> Response:
        query = checked_query(FiguresQuery, request)
        player = self.visible_player(player_id)
        golf = self.golf([player_id], query)
        write = FigureWriter(player, query, self.unit_of(query))
        try:
            found = figures_of(golf, query.key_list()) if query.keys else every_figure(golf)
        except UnknownFigureError as error:
            raise _unknown_figure("/keys", error) from None
        return Response(head(player, golf) | {"figures": [write.named(named) for named in found]})


class PlayerFigure(StrokesView):
    @extend_schema(
        operation_id="read_player_figure",
        summary="One figure of a player over a window, and round by round",
        parameters=WINDOW,
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("A figure", value=examples.FIGURE, response_only=True)],
    )
    def get(self, request: Request, player_id: UUID, key: str) -> Response:
        query = checked_query(WindowQuery, request)
        player = self.visible_player(player_id)
        golf = self.golf([player_id], query)
        unit = self.unit_of(query)
        try:
            spec = spec_of(golf, key)
        except UnknownFigureError as error:
            raise not_found(f"No figure {key!r}") from error
        write = FigureWriter(player, query, unit)
        (named,) = figures_of(golf, [key])
        rounds = series_json(golf, spec, unit)
        return Response(head(player, golf) | {"figure": write.named(named), "rounds": rounds})


def series_json(golf: Golf, spec: FigureSpec, unit: str) -> list[dict[str, Any]]:
    """The figure round by round, oldest first."""
    return [
        {
            "round": one.round_id,
            "played_on": one.played_on,
            "course": one.course,
            "value": round(one.value * _factor(spec, unit), 4),
            "n": one.n,
        }
        for one in series(golf, spec)
    ]


class PlayerShots(StrokesView):
    @extend_schema(
        operation_id="list_shots_behind_figure",
        summary="The shots (or holes, or rounds) behind a figure, newest round first",
        description=(
            "Each result carries the value that it contributes; `count` is the figure's n. Take `next` as the "
            "address of the next page."
        ),
        parameters=[
            OpenApiParameter("figure", OpenApiTypes.STR, required=True, description="key of a figure"),
            OpenApiParameter("offset", OpenApiTypes.INT),
            OpenApiParameter("page_size", OpenApiTypes.INT),
            *WINDOW,
        ],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Shots", value=examples.SHOTS, response_only=True)],
    )
    def get(self, request: Request, player_id: UUID) -> Response:
        query = checked_query(ShotsQuery, request)
        player = self.visible_player(player_id)
        golf = self.golf([player_id], query)
        unit = self.unit_of(query)
        try:
            found = behind(golf, query.figure)
        except UnknownFigureError as error:
            raise _unknown_figure("/figure", error) from None
        spec, count = found.named.spec, len(found.observations)
        page = np.arange(min(query.offset, count), min(query.offset + query.page_size, count))
        observed = found.observations.select(page)
        body = {
            "figure": FigureWriter(player, query, unit).named(found.named),
            "per": spec.per,
            "count": count,
            "next": self._page(request, query, query.offset + query.page_size, count),
            "previous": self._page(request, query, query.offset - query.page_size, count),
            "results": [row_json(golf, spec, observed, row, unit) for row in range(len(observed))],
        }
        return Response(head(player, golf) | body)

    def _page(self, request: Request, query: ShotsQuery, offset: int, count: int) -> str | None:
        first = max(offset, 0)
        if first == query.offset or first >= count:
            return None
        parameters = request.query_params.dict() | {"offset": str(first)}
        return request.build_absolute_uri(f"{request.path}?{urlencode(parameters)}")


def _factor(spec: FigureSpec, unit: str) -> float:
    return TO_METRES.get(spec.unit, 1.0) if unit == DistanceUnit.METRES else 1.0


def _unknown_figure(pointer: str, error: UnknownFigureError) -> Exception:
    return invalid([Fault(pointer, "unknown_figure", str(error))], "No such figure")
