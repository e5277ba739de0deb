"""Approach by distance, missed greens and fairways, and how far each club goes."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.calc.coaching.words import percent
from golfstats.calc.figure import Figure
from golfstats.calc.figures import plays_like
from golfstats.calc.figures.distances import ClubDistance, Gap
from golfstats.clubs.models import Club, DistanceUnit
from players.api import strokes_examples as examples
from players.api.figures import TO_METRES
from players.api.query_string import WINDOW, WindowQuery, checked_query
from players.api.strokes_view import FigureWriter, StrokesView, golf_asked_for, head
from players.models import Player
from players.queries.analysed import Golf, golf_of
from players.queries.approach import Trended, approach_bands
from players.queries.distances import distances
from players.queries.misses import MINIMUM_SQUAD, Compared, mates_window, misses, squad_mates
from players.queries.windows import USUAL_ROUNDS


class PlayerApproach(StrokesView):
    @extend_schema(
        operation_id="read_player_approach",
        summary="Shots at the green by distance band: how many, green hit, what is left, gained, and the trend",
        parameters=WINDOW,
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Approach", value=examples.APPROACH, response_only=True)],
    )
    def get(self, request: Request, player_id: UUID) -> Response:
        query = checked_query(WindowQuery, request)
        player = self.visible_player(player_id)
        golf = self.golf([player_id], query)
        return Response(approach_json(player, golf, FigureWriter(player, query, self.unit_of(query))))


def approach_json(player: Player, golf: Golf, write: FigureWriter) -> dict[str, Any]:
    bands = [
        {
            "band": one.band.word,
            "from_yards": one.band.low,
            "to_yards": one.band.high,
            "figures": {
                trended.named.spec.key.rpartition(".")[2]: _trended_json(trended, write)
                for trended in one.figures
            },
        }
        for one in approach_bands(golf)
    ]
    return head(player, golf) | {"bands": bands}


def _trended_json(trended: Trended, write: FigureWriter) -> dict[str, Any]:
    body = write.named(trended.named) | {"change": None, "chance_better": None, "trend": trended.no_change}
    if trended.change is None:
        return body
    change = write.plain(trended.change, "round", signed=True)
    chance = trended.chance_better
    better = "" if chance is None else f"; {percent(chance)} likely to have got better"
    return body | {
        "change": change,
        "chance_better": None if chance is None else round(chance, 4),
        "trend": change["words"] + better,
    }


class PlayerMisses(StrokesView):
    @extend_schema(
        operation_id="read_player_misses",
        summary="What missed greens and fairways cost, beside the benchmark golfer and the squad",
        description=(
            "Costs are strokes lost. The parts by finish add up to the cost. Differences are the player's figure "
            "less the other's. The benchmark golfer is simulated, and `benchmark_golfer` says how far to trust it."
        ),
        parameters=WINDOW,
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Misses", value=examples.MISSES, response_only=True)],
    )
    def get(self, request: Request, player_id: UUID) -> Response:
        query = checked_query(WindowQuery, request)
        player = self.visible_player(player_id)
        return Response(misses_json(player, self.club, query, self.unit_of(query)))


def misses_json(player: Player, club: Club, query: WindowQuery, unit: str) -> dict[str, Any]:
    golf = golf_asked_for([player.id], club, query)
    mates = golf_of(squad_mates(player), club, query.benchmark, mates_window(query.window()))
    found = misses(golf, club, mates)
    write = FigureWriter(player, query, unit)
    body: dict[str, Any] = {
        "benchmark_golfer": found.benchmark_golfer,
        "squad": _squad_words(found.squad_players, query),
    }
    for target, compared in found.targets.items():
        figures = _by_name(target, compared, write)
        body[target] = {"words": _cost_words(target, compared), "figures": figures}
    return head(player, golf) | body


def _squad_words(players: int, query: WindowQuery) -> str:
    if not players:
        return f"Fewer than {MINIMUM_SQUAD} others of the player's squads have played: no comparison."
    rounds = f", at most {USUAL_ROUNDS} rounds of each" if query.window().last else ""
    return f"{players} others of the player's squads{rounds}"


def _by_name(target: str, compared: list[Compared], write: FigureWriter) -> dict[str, Any]:
    return {
        one.named.spec.key.removeprefix(f"misses.{target}."): _compared_json(one, write) for one in compared
    }


def _compared_json(one: Compared, write: FigureWriter) -> dict[str, Any]:
    of = one.named.spec.per
    return write.named(one.named) | {
        "benchmark_golfer": write.plain(one.benchmark_golfer, of),
        "versus_benchmark_golfer": _difference_json(one.versus_benchmark_golfer, of, write),
        "squad": write.plain(one.squad, of) if one.squad else None,
        "versus_squad": _difference_json(one.versus_squad, of, write) if one.versus_squad else None,
    }


def _difference_json(difference: Figure, of: str, write: FigureWriter) -> dict[str, Any]:
    body = write.plain(difference, of, signed=True)
    return body if difference.enough else body | {"words": "too few on one side to compare"}


def _cost_words(target: str, compared: list[Compared]) -> str:
    by_key = {one.named.spec.key: one for one in compared}
    rate, cost = by_key[f"misses.{target}.rate"], by_key[f"misses.{target}.cost"]
    mine, other = cost.named.figure.value, cost.benchmark_golfer.value
    if mine is None or rate.named.figure.value is None:
        return f"Too few missed {target}s with every shot recorded to say what one costs."
    beside = f"; the benchmark golfer's costs {other:.2f}" if other is not None else ""
    return f"{rate.named.figure.value:.0%} of {target}s missed; a miss costs {mine:.2f} strokes{beside}."


class PlayerDistances(StrokesView):
    @extend_schema(
        operation_id="read_player_distances",
        summary="How far each club goes, how widely it scatters, and the gaps between clubs",
        parameters=WINDOW,
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Distances", value=examples.DISTANCES, response_only=True)],
    )
    def get(self, request: Request, player_id: UUID) -> Response:
        query = checked_query(WindowQuery, request)
        player = self.visible_player(player_id)
        golf = self.golf([player_id], query)
        return Response(distances_json(player, golf, FigureWriter(player, query, self.unit_of(query))))


def distances_json(player: Player, golf: Golf, write: FigureWriter) -> dict[str, Any]:
    found = distances(golf)
    return head(player, golf) | {
        "caution": plays_like.WORDS,
        "clubs": [_club_json(club, found.names, write, write.unit) for club in found.clubs],
        "gaps": [_gap_json(gap, found.names, write) for gap in found.gaps],
    }


def _club_json(club: ClubDistance, names: dict[int, str], write: FigureWriter, unit: str) -> dict[str, Any]:
    name = names[club.club]
    figures = {
        "distance": club.distance,
        "distance_spread": club.spread,
        "side_yards": club.side_yards,
        "side_degrees": club.side_degrees,
        "plays_like": club.plays_like,
    }
    body: dict[str, Any] = {"club": name}
    for key, figure in figures.items():
        body[key] = write.plain(figure, "shot") | {"shots": write.shots_address(f"club.{name}.{key}")}
    return body | {
        "lower_quarter": write.plain(club.lower_quarter, "shot"),
        "upper_quarter": write.plain(club.upper_quarter, "shot"),
        "plays_like_range": club.plays_like_range and [_length(x, unit) for x in club.plays_like_range],
        "conditions_known": club.conditions_known,
        "measured": club.measured,
        "full_swings": "estimated" if club.estimated else "marked by the player",
        "words": _club_words(club, name, unit),
    }


def _club_words(club: ClubDistance, name: str, unit: str) -> str:
    middle = club.distance.value
    low, high = club.lower_quarter.value, club.upper_quarter.value
    if middle is None or low is None or high is None:
        return f"{name}: too few full swings of known distance ({club.distance.n})."
    name_of_unit = "m" if unit == DistanceUnit.METRES else "yd"
    low, middle, high = (_length(x, unit) for x in (low, middle, high))
    return f"{name}: {middle:.0f} {name_of_unit}, half of the full swings from {low:.0f} to {high:.0f}."


def _gap_json(gap: Gap, names: dict[int, str], write: FigureWriter) -> dict[str, Any]:
    overlap = write.plain(gap.overlap, "shot", signed=True)
    longer, shorter = names[gap.longer], names[gap.shorter]
    return {
        "longer": longer,
        "shorter": shorter,
        "gap": write.plain(gap.yards, "shot"),
        "overlap": overlap,
        "words": _overlap_words(longer, shorter, overlap),
    }


def _overlap_words(longer: str, shorter: str, overlap: dict[str, Any]) -> str:
    if overlap["value"] is None:
        return f"{longer} and {shorter}: {overlap['words']}"
    if abs(overlap["value"]) < 0.5:
        return f"The middle halves of {longer} and {shorter} just meet."
    word = "overlap by" if overlap["value"] > 0 else "leave open"
    return (
        f"The middle halves of {longer} and {shorter} {word} {abs(overlap['value']):.0f} {overlap['unit']}."
    )


def _length(yards: float, unit: str) -> float:
    return round(yards * TO_METRES["yd"], 2) if unit == DistanceUnit.METRES else yards
