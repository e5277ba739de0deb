"""The players of an invented club: their golf, and what is planted in it over the season."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np

from golfstats.calc.record import Floats
from golfstats.calc.simulate.golfer import Golfer, golfer_of_handicap, spot
from golfstats.calc.simulate.schedule import SpotEffect


def golfer_of(player: Mapping[str, Any], rng: np.random.Generator) -> Golfer:
    """The golfer described, with ups and downs of their own."""
    golfer = golfer_of_handicap(float(player["handicap"]), rng, player["gender"])
    return replace(golfer, under_read=float(player.get("under_read", golfer.under_read)))


def planted_effects(
    player: Mapping[str, Any], round_players: Sequence[str], round_days: Sequence[date]
) -> list[SpotEffect]:
    """What the description plants in one player's rounds: ``weak_spots`` always, ``effects`` between dates.

    ``round_players`` and ``round_days`` say whose and when each round of the season is. An effect
    with ``factor_at_end`` runs there in a straight line from ``from`` to ``until``.
    """
    own = np.array([name == player["name"] for name in round_players])
    days = np.array([day.toordinal() for day in round_days], dtype=np.float64)
    entries = [*player.get("weak_spots", ()), *player.get("effects", ())]
    return [
        SpotEffect(
            spot(entry["part"], entry.get("low"), entry.get("high")),
            np.where(own, _factor(entry, days), 1.0),
            entry.get("on", "both"),
        )
        for entry in entries
    ]


def _factor(entry: Mapping[str, Any], days: Floats) -> Floats:
    start = date.fromisoformat(entry["from"]).toordinal() if "from" in entry else -np.inf
    end = date.fromisoformat(entry["until"]).toordinal() if "until" in entry else np.inf
    factor = np.full(len(days), float(entry["factor"]))
    if "factor_at_end" in entry:
        factor = np.interp(days, [start, end], [float(entry["factor"]), float(entry["factor_at_end"])])
    return np.where((days >= start) & (days <= end), factor, 1.0)
