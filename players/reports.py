"""What a dashboard shows of a player, written once by the worker so that pages and queries read stored rows."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.db import transaction

from golfstats.calc.figure import Figure
from golfstats.calc.figures.windows import last_rounds, observations_in
from golfstats.clubs.models import Club
from players.coaching.report import coaching_sections
from players.models import Player, PlayerReport
from players.queries.analysed import Golf, golf_of
from players.queries.figures import NamedFigure, fixed_specs
from players.queries.windows import RoundWindow

WINDOWS: dict[str, int | None] = {"last_20": 20, "last_50": 50, "all": None}
"""Windows of the stored figures: so many rounds, None is all."""


@transaction.atomic
def write_player_report(player_id: UUID) -> None:
    """Compute and store the report. Repeatable; a player deleted meanwhile is simply not found."""
    if not Player.objects.filter(id=player_id).exists():
        return
    PlayerReport.objects.update_or_create(
        player_id=player_id, defaults={"document": report_document(player_id)}
    )


def report_document(player_id: UUID) -> dict[str, Any]:
    """Every figure of the player by window, against the club's benchmark, and what a coach asks about him."""
    golf = golf_of([player_id], Club.objects.get(), window=RoundWindow.between())
    figures = {"benchmark": golf.benchmark.key, "figures": figures_by_window(golf)}
    return figures | coaching_sections(golf, player_id)


def figures_by_window(golf: Golf) -> dict[str, dict[str, Any]]:
    """``{window: {"rounds": 20, "figures": {key: …}}}``; each figure is observed once for all windows."""
    rounds = golf.analysed.record.rounds
    masks = {
        name: last_rounds(rounds, len(rounds) if count is None else count) for name, count in WINDOWS.items()
    }
    found: dict[str, dict[str, Any]] = {
        name: {"rounds": int(mask.sum()), "figures": {}} for name, mask in masks.items()
    }
    for spec in fixed_specs(golf):
        observed = spec.observe(golf.analysed)
        for name, mask in masks.items():
            figure = spec.figure(observations_in(observed, mask))
            found[name]["figures"][spec.key] = stored_figure(NamedFigure(spec, figure))
    return found


def stored_figure(named: NamedFigure) -> dict[str, Any]:
    """A figure as it is stored, in the units of the calculations (yards and feet)."""
    figure = named.figure
    return {
        "name": named.spec.words,
        "better": named.spec.better,
        "per": named.spec.per,
        "value": figure.value,
        "low": figure.low,
        "high": figure.high,
        "n": figure.n,
        "minimum_n": figure.minimum_n,
        "unit": figure.unit,
    }


def figure_of(stored: dict[str, Any]) -> Figure:
    """The inverse of :func:`stored_figure`, without the name."""
    return Figure(*(stored[name] for name in ("value", "low", "high", "n", "minimum_n", "unit")))
