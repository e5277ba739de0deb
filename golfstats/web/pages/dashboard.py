"""What a player, or his coach, sees on the player's page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

from django.http import HttpRequest
from django.utils.safestring import SafeString

from golfstats.api import bodies
from golfstats.calc.figure import Figure
from golfstats.calc.figures.catalogue import FIXED
from golfstats.calc.greens.adjusted import AdjustedPutting
from golfstats.calc.strokes.selection import UnknownBenchmark
from golfstats.calc.vocabulary import Part
from golfstats.web.base import ClubPage
from golfstats.web.charts import Chart, Point, Span, band_chart, interval_svg
from golfstats.web.shown import ShownFigure, index_words, shown, shown_all, shown_spec
from players.api.figures import number_words
from players.api.query_string import WindowQuery
from players.api.strokes_view import benchmark_json, unknown_benchmark, window_json
from players.coaching import notes as practice
from players.coaching.history import history_of
from players.coaching.report import CoachingReport, StoredTrend, coaching_report
from players.conditions.queries import adjusted_windows
from players.handicap.queries import handicap_of
from players.models import Player, PlayerReport, RoundNote
from players.queries.analysed import Golf, golf_of
from players.queries.benchmarks import benchmark_choices
from players.queries.figures import NamedFigure
from players.queries.summary import summary

PARTS = ("In all", *(part.word.replace("_", " ").capitalize() for part in Part))
FIGURE_OPTIONS = [(spec.key, spec.words) for spec in FIXED]
WINDOWS = ((10, "last 10 rounds"), (20, "last 20 rounds"), (50, "last 50 rounds"), (1000, "all rounds"))
ANY_HANDICAP = "handicap:<h>"
"""Stands in the list of benchmarks for those of every handicap."""
HANDICAPS = (0, 5, 10, 15, 20, 25, 30, 36)
NOTES_SHOWN = 5


def window_query(request: HttpRequest) -> WindowQuery:
    """Benchmark and window that the address asks for; a 422 problem where it asks for something else."""
    return bodies.checked(WindowQuery, {name: value for name, value in request.GET.items() if value})


def benchmark_options(chosen: str) -> list[tuple[str, str]]:
    """Keys and names for a choice; the one in use is among them whatever it is."""
    options = []
    for choice in benchmark_choices():
        if choice.key == ANY_HANDICAP:
            options += [(f"handicap:{h}", f"Golfer of handicap {h} (estimate)") for h in HANDICAPS]
        else:
            options.append((choice.key, choice.name))
    if chosen not in dict(options):
        options.append((chosen, chosen))
    return options


def dashboard(page: ClubPage, request: HttpRequest, player: Player) -> dict[str, Any]:
    query = window_query(request)
    chosen = query.benchmark or page.club.benchmark
    try:
        golf = golf_of([player.id], page.club, query.benchmark, query.window())
    except UnknownBenchmark as error:
        raise unknown_benchmark(error) from None
    report = _report(player)
    unit = page.club.distance_unit
    found = summary(golf)
    return {
        "player": player,
        "own": player.member_id == page.member.id,
        "benchmarks": benchmark_options(chosen),
        "chosen": chosen,
        "benchmark": benchmark_json(golf.benchmark),
        "windows": WINDOWS,
        "last": query.last or golf.window.last,
        "window": window_json(player, golf),
        "gained": _gained(found.gained, unit),
        "scoring": shown_all(found.scoring, unit),
        "rounds": found.rounds,
        "round_notes": _notes(golf.loaded.round_ids),
        "putting": _putting(player, golf, unit),
        "handicap": _handicap(player),
        "trends": [_trend(one, unit) for one in report.trends],
        "priorities": report.priorities,
        "goals": report.goals,
        "practice": _practice(page, player),
    }


def _report(player: Player) -> CoachingReport:
    return coaching_report(
        PlayerReport.objects.filter(player=player).values_list("document", flat=True).first()
    )


@dataclass(frozen=True)
class Drawn:
    name: str
    shown: ShownFigure
    drawing: SafeString


def _gained(figures: Sequence[NamedFigure], unit: str) -> list[Drawn]:
    """In all, then by part, drawn on one scale."""
    span = Span.of(named.figure for named in figures)
    return [
        Drawn(name, shown_spec(named.spec, named.figure, unit), interval_svg(named.figure, span))
        for name, named in zip(PARTS, figures, strict=True)
    ]


@dataclass(frozen=True)
class DatedNote:
    played_on: date
    round_id: UUID
    text: str


def _notes(rounds: Sequence[UUID]) -> list[DatedNote]:
    found = RoundNote.objects.filter(round_id__in=rounds).order_by("-round__played_on")
    rows = found.values_list("round__played_on", "round_id", "text")[:NOTES_SHOWN]
    return [DatedNote(*row) for row in rows]


@dataclass(frozen=True)
class PuttingOnTheDay:
    """Putting a round as it was, what the greens took or gave, and putting without that."""

    raw: ShownFigure
    owed: ShownFigure
    adjusted: ShownFigure


def _putting(player: Player, golf: Golf, unit: str) -> PuttingOnTheDay | None:
    """Against the club's benchmark, whichever the page compares with: only those figures are stored."""
    window = adjusted_windows([player.id], golf.window)[player.id]
    if len(window.rounds) == window.left_out:
        return None
    return putting_words(window.putting, unit)


def putting_words(found: AdjustedPutting, unit: str) -> PuttingOnTheDay:
    def words(figure: Figure) -> ShownFigure:
        return shown(figure, unit=unit, of="round", signed=True)

    return PuttingOnTheDay(words(found.raw), words(_turned(found.owed)), words(found.adjusted))


def _turned(figure: Figure) -> Figure:
    """Strokes lost as strokes gained."""
    if figure.value is None or figure.low is None or figure.high is None:
        return figure
    return Figure(
        0.0 - figure.value, 0.0 - figure.high, 0.0 - figure.low, figure.n, figure.minimum_n, figure.unit
    )


@dataclass(frozen=True)
class Handicap:
    index: str
    low_index: str
    scores: int
    chart: Chart | None


def _handicap(player: Player) -> Handicap:
    found = handicap_of(player)
    points = [
        Point(date.fromisoformat(point["on"]), float(point["index"]))
        for point in found["trend"]
        if point["index"] is not None
    ]
    chart = band_chart("Handicap index (unofficial)", points, index_words, reverse=True)
    return Handicap(
        index_words(found["index"]), index_words(found["low_index"]), found["scores_in_last_20"], chart
    )


@dataclass(frozen=True)
class Trend:
    now: ShownFigure
    change: ShownFigure
    compared_with: date
    words: str
    shift: str
    chart: Chart | None


def _trend(stored: StoredTrend, unit: str) -> Trend:
    signed = stored.figure.key.startswith("gained.")
    of_unit = stored.now.unit

    def written(value: float) -> str:
        return number_words(value, of_unit, signed=signed)

    points = [
        Point(one.played_on, one.value, one.level, one.low, one.high)
        for one in stored.rounds
        if one.value is not None
    ]
    return Trend(
        now=shown(stored.now, unit=unit, of="round", signed=signed, name=stored.figure.name),
        change=shown(stored.change, unit=unit, of="round", signed=True),
        compared_with=stored.compared_with,
        words=stored.words,
        shift=stored.shift_words,
        chart=band_chart(stored.figure.name, points, written),
    )


def _practice(page: ClubPage, player: Player) -> list[Any]:
    found = practice.visible_notes(page.member).filter(player=player)[:NOTES_SHOWN]
    if not found:
        return []
    return practice.with_figures(history_of([player.id], page.club), list(found))
