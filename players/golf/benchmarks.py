"""Which golfer a player is compared with, and what the club has fitted of its own golfers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache, partial
from typing import Any
from uuid import UUID

import numpy as np
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from courses.layout.services import rated_tees
from golfstats.calc.putting.player import USUAL_PRIOR, SpreadPrior
from golfstats.calc.record import Floats
from golfstats.calc.strokes.benchmark import Benchmark, professional
from golfstats.calc.strokes.club_golfer import ClubGolfer
from golfstats.calc.strokes.handicap_golfer import handicap_golfer
from golfstats.calc.strokes.peer import Peers, peer_handicap, peers, strokes_a_yard
from golfstats.calc.strokes.reference_course import Gender
from golfstats.calc.strokes.selection import BenchmarkKey
from golfstats.calc.strokes.selection import benchmark_for as find_benchmark
from golfstats.calc.strokes.table import professional_edition
from golfstats.ground.walls.kept import ANY_KEYS, KeptStatement
from golfstats.ground.words import spoken, told_document
from players.golf.loading import LoadedRecord
from players.golf.models import ClubBenchmark
from players.people.models import Player

PEER_WORDS = noop(
    "A golfer of the player's own handicap index, to the whole stroke, and rating gender, who plays the course to its "
    "course and slope rating. Without an index yet: the bogey golfer of the course rating system."
)
HANDICAP_STEP = 2
"""The club's golfers are fitted at every second handicap; a key in between means the nearest."""


def benchmark_for(key: str) -> Benchmark:
    """The benchmark of a key such as ``peer``, ``professional``, ``handicap:3.4`` or ``club:12``, for nobody
    in particular: a man without a handicap. Raises ``UnknownBenchmarkError`` with the reason.
    """
    return find_benchmark(key, _stored_golfer)


WHO = KeptStatement(
    lambda: (
        Player.objects.filter(id__any_of=ANY_KEYS)
        .order_by("id")
        .values_list("id", "rating_gender", "handicaps__index")
    )
)
"""Of each player what tells which golfer is their peer."""


def measure_of(key: str, players: Iterable[UUID], loaded: LoadedRecord | None = None) -> Benchmark:
    """The benchmark of this key for the golf of these players: a golfer of each one's gender and, as a peer, of their
    handicap on the courses of their rounds as they are rated. Raises ``UnknownBenchmarkError`` with the reason.
    """
    kind = BenchmarkKey.parse(key).kind
    if kind == "professional":
        return benchmark_for(key)
    who: dict[UUID, tuple[Gender, float | None]] = {
        player: ("women" if gender == "women" else "men", None if index is None else float(index))
        for player, gender, index in WHO.found(keys=list(set(players)))
    }
    if not who:
        return benchmark_for(key)
    find = cache(partial(find_benchmark, key, cache(_stored_golfer)))
    played = () if loaded is None else loaded.players
    order = [*played, *(player for player in who if player not in played)]
    golfers = [find(*who[player]) for player in order]
    if kind != "peer" or loaded is None:
        return peers(golfers)
    return peers(
        golfers,
        _obstacles(loaded, [(golfer, *who[player]) for golfer, player in zip(golfers, order, strict=True)]),
    )


def _obstacles(loaded: LoadedRecord, players: Sequence[tuple[Benchmark, Gender, float | None]]) -> Floats:
    """What obstacles cost each round's player a yard, by the ratings of the tees; 0 where these are not rated."""
    tees = rated_tees(set(loaded.tee_sets))

    @cache
    def of(player: int, tee_set: UUID) -> float:
        golfer, gender, index = players[player]
        rated = tees.get((tee_set, gender))
        return 0.0 if rated is None else strokes_a_yard(golfer, peer_handicap(index, gender), rated)

    played = zip(loaded.record.rounds.player.tolist(), loaded.tee_sets, strict=True)
    return np.array([of(player, tee_set) for player, tee_set in played], dtype=np.float64)


def versions_of(measure: Benchmark, loaded: LoadedRecord) -> list[str]:
    """Which golfer exactly each round of the record is measured against, and the edition of what that rests on."""
    golfers = measure.golfers if isinstance(measure, Peers) else [measure] * len(loaded.players)
    edition = {kind: _edition(kind) for kind in {_kind(golfer.key) for golfer in golfers}}
    versions = [f"{golfer.key}, {edition[_kind(golfer.key)]}" for golfer in golfers]
    return [versions[int(player)] for player in loaded.record.rounds.player]


def _kind(key: str) -> str:
    return BenchmarkKey.parse(key).kind


def _edition(kind: str) -> str:
    if kind != "club":
        return f"table {professional_edition()}"
    fitted_at = ClubBenchmark.objects.values_list("fitted_at", flat=True).first()
    return "not fitted" if fitted_at is None else f"fitted {fitted_at:%Y-%m-%dT%H:%MZ}"


def handicap_of(key: str) -> float | None:
    """The handicap that a key names; None for the professional. Raises ``UnknownBenchmarkError``."""
    return BenchmarkKey.parse(key).handicap


def gender_of(key: str) -> Gender:
    """The rating gender that a key names; men for one that names none. Raises ``UnknownBenchmarkError``."""
    return BenchmarkKey.parse(key).gender or "men"


def fitted_at(handicap: float) -> int:
    """The handicap nearest to this one at which golfers are fitted."""
    return HANDICAP_STEP * round(handicap / HANDICAP_STEP)


def fitted_key(handicap: float, gender: Gender) -> str:
    """The name under which the golfer of this gender nearest to this handicap is stored."""
    return f"{gender}_{fitted_at(handicap)}"


def _stored_golfer(handicap: float, gender: Gender) -> Benchmark | None:
    # One golfer out of the document, not all of them: each is about 20 kB.
    golfers = ClubBenchmark.objects.values_list(
        f"document__golfers__{fitted_key(handicap, gender)}", flat=True
    )
    stored: Any = golfers.first()
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


def _stored_choices() -> list[dict[str, Any]]:
    """The club's own golfers as the worker stored them, in the reader's language."""
    stored = ClubBenchmark.objects.values_list("document__choices", "document__made_of").first()
    choices, made_of = stored or (None, None)
    told: list[dict[str, Any]] = told_document({"choices": choices or [], "made_of": made_of})["choices"]
    return told


def benchmark_choices() -> list[BenchmarkChoice]:
    """Every benchmark of the club in scope. The man of handicap 18 stands for golfers of any handicap."""
    published, estimate = professional(), handicap_golfer(18.0)
    return [
        BenchmarkChoice("peer", gettext("A peer"), gettext(PEER_WORDS), spoken(estimate.provenance)),
        BenchmarkChoice(
            published.key, spoken(published.name), spoken(published.description), spoken(published.provenance)
        ),
        BenchmarkChoice(
            "handicap:<h>",
            gettext("Golfer of a handicap"),
            gettext(
                "Any handicap from +5 to 54, for example handicap:12.4 or handicap:+2, of the player's rating gender "
                "unless :men or :women follows. {example}"
            ).format(example=spoken(estimate.description)),
            spoken(estimate.provenance),
        ),
        *(BenchmarkChoice(**choice) for choice in _stored_choices()),
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
