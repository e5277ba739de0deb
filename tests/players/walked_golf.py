"""Histories of invented golfers as they would post them: bodies of rounds, shot by shot, with a truth that is known.

The golf is walked by laws of this file alone: a full shot covers a share of a reach, an approach leaves a lognormal share
of its length, a putt drops by a logistic curve. None of it is a model that the service fits.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from tests.factories import LENGTHS, PARS


@dataclass(frozen=True)
class Golfer:
    """How somebody plays on a day."""

    reach: float = 238.0
    """Yards of a good long shot."""
    scatter: float = 0.075
    """Share of an approach's length that half of all approaches finish within."""
    chips: float = 0.14
    """The same of a shot from within forty yards."""
    sure_feet: float = 7.0
    """Feet of the putt that drops half the time."""
    topped: float = 0.03
    """Chance that a shot goes hardly anywhere."""


@dataclass(frozen=True)
class Hole:
    """A hole as it went."""

    shots: list[dict[str, Any]]
    score: int
    """Strokes until the ball was holed."""


def walk(golfer: Golfer, length: float, rng: np.random.Generator) -> Hole:
    """A hole until it is holed. Yards, and feet on the green."""
    lie, left = "tee", length
    shots: list[dict[str, Any]] = []
    while len(shots) < 20:
        if lie == "green":
            feet = max(round(3 * left, 1), 0.5)
            shots.append({"lie": "green", "distance": feet})
            if rng.random() < 1 / (1 + math.exp((feet - golfer.sure_feet) * (0.3 if feet > 3 else 0.9))):
                return Hole(shots, len(shots))
            left = max(left * min(rng.lognormal(math.log(0.12), 0.6), 0.8), 0.3)
            continue
        shots.append({"lie": lie, "distance": round(left, 1)})
        left = max(_after(golfer, lie, left, rng), 0.5)
        lie = _lie_after(left, rng)
    return Hole([*shots[:19], {"lie": "green", "distance": 0.5}], 20)


def _after(golfer: Golfer, lie: str, left: float, rng: np.random.Generator) -> float:
    reach = golfer.reach * (0.75 if lie in ("sand", "recovery") else 1.0)
    if rng.random() < golfer.topped:
        return left - min(left, reach) * rng.uniform(0.05, 0.5)
    if reach < left:
        return left - reach * rng.uniform(0.82, 1.05)
    share = golfer.chips if left < 40 else golfer.scatter
    return left * rng.lognormal(math.log(share), 0.65) + 0.5


def _lie_after(left: float, rng: np.random.Generator) -> str:
    if left < 12 and rng.random() < 0.88:
        return "green"
    return str(rng.choice(["fairway", "rough", "sand", "recovery"], p=[0.5, 0.36, 0.1, 0.04]))


@dataclass(frozen=True)
class PlayedRound:
    """A round, and what its player did on each hole, to the end."""

    day: dt.date
    holes: list[Hole]

    @property
    def score(self) -> int:
        return sum(hole.score for hole in self.holes)

    def body(self, pick_up_after: Callable[[int], int] | None = None) -> dict[str, Any]:
        """As it is posted. ``pick_up_after``: of a hole's place in the round, the strokes after which the ball is picked up."""
        holes: list[dict[str, Any]] = []
        for place, hole in enumerate(self.holes):
            most = pick_up_after(place) if pick_up_after else 99
            given_up = hole.score > most
            holes.append(
                {"number": place + 1, "shots": hole.shots[:most]} | ({"picked_up": True} if given_up else {})
            )
        return {
            "course": "Long course",
            "tee": "White",
            "played_on": self.day.isoformat(),
            "holes": holes,
        }


def season(
    golfer_on: Callable[[dt.date], Golfer], days: list[dt.date], rng: np.random.Generator
) -> list[PlayedRound]:
    """A round on each of these days, each with a form of its own."""
    rounds = []
    for day in days:
        golfer, form = golfer_on(day), math.exp(0.06 * rng.standard_normal())
        of_the_day = replace(golfer, scatter=golfer.scatter * form, sure_feet=golfer.sure_feet / form)
        rounds.append(PlayedRound(day, [walk(of_the_day, length, rng) for length in LENGTHS]))
    return rounds


def net_double_bogey(strokes_received: int) -> Callable[[int], int]:
    """Picks up when the next stroke could at best make net double bogey (Rule 3.1b of the Rules of Handicapping, from memory);
    strokes received spread over the holes in order.
    """
    extra, each = strokes_received % 18, strokes_received // 18
    return lambda place: PARS[place] + 2 + each + (1 if place < extra else 0) - 1
