"""Which golfer a player is compared with, and what the club has fitted of its own golfers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np

from golfstats.calc.putting.player import USUAL_PRIOR, SpreadPrior
from golfstats.calc.strokes.benchmark import Benchmark, professional
from golfstats.calc.strokes.club_golfer import ClubGolfer
from golfstats.calc.strokes.handicap_golfer import handicap_golfer
from golfstats.calc.strokes.selection import BenchmarkKey
from golfstats.calc.strokes.selection import benchmark_for as find_benchmark
from players.models import ClubBenchmark

HANDICAP_STEP = 2
"""The club's golfers are fitted at every second handicap; a key in between means the nearest."""


def benchmark_for(key: str) -> Benchmark:
    """The benchmark of a key such as ``professional``, ``handicap:3.4`` or ``club:12``.

    Raises ``UnknownBenchmark`` with the reason.
    """
    return find_benchmark(key, _stored_golfer)


def handicap_of(key: str) -> float | None:
    """The handicap that a key names; None for the professional. Raises ``UnknownBenchmark``."""
    return BenchmarkKey.parse(key).handicap


def fitted_key(handicap: float) -> str:
    """The name under which the golfer nearest to this handicap is stored."""
    return str(HANDICAP_STEP * round(handicap / HANDICAP_STEP))


def _stored_golfer(handicap: float) -> Benchmark | None:
    # One golfer out of the document, not all of them: each is about 20 kB.
    found = ClubBenchmark.objects.values_list(f"document__golfers__{fitted_key(handicap)}", flat=True)
    stored: Any = found.first()
    return ClubGolfer.from_json(stored).benchmark() if stored else None


@dataclass(frozen=True)
class BenchmarkChoice:
    """A benchmark that may be asked for, in words."""

    key: str
    name: str
    description: str
    provenance: str
    shots: int | None = None
    """Shots that it was fitted from, if it is the club's own."""
    fitted_on: str | None = None


def choice_of(golfer: ClubGolfer) -> BenchmarkChoice:
    """One of the club's own golfers in words; the worker stores them beside the fit."""
    own = golfer.benchmark()
    fitted_on = golfer.fitted_on.isoformat()
    return BenchmarkChoice(own.key, own.name, own.description, own.provenance, golfer.shots, fitted_on)


def benchmark_choices() -> list[BenchmarkChoice]:
    """Every benchmark of the club in scope. The golfer of handicap 18 stands for those of any handicap."""
    published, estimate = professional(), handicap_golfer(18.0)
    stored = ClubBenchmark.objects.values_list("document__choices", flat=True).first() or []
    return [
        BenchmarkChoice(published.key, published.name, published.description, published.provenance),
        BenchmarkChoice(
            "handicap:<h>",
            "Golfer of a handicap",
            f"Any handicap from +5 to 54, for example handicap:12.4 or handicap:+2. {estimate.description}",
            estimate.provenance,
        ),
        *(BenchmarkChoice(**choice) for choice in stored),
    ]


@dataclass(frozen=True)
class ClubPuttingPrior:
    """How putting spreads over the club's golfers, and what that rests on (0 putts: nothing fitted yet)."""

    prior: SpreadPrior
    putts: int
    players: int
    fitted_on: date | None


def club_putting_prior() -> ClubPuttingPrior:
    """The prior as last fitted by the worker, or the usual one."""
    stored = ClubBenchmark.objects.values_list("document__putting", flat=True).first()
    if not stored:
        return ClubPuttingPrior(USUAL_PRIOR, 0, 0, None)
    prior = SpreadPrior(np.array(stored["mean"]), np.array(stored["covariance"]))
    return ClubPuttingPrior(
        prior, stored["putts"], stored["players"], date.fromisoformat(stored["fitted_on"])
    )
