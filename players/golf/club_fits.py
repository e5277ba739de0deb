"""What a club's own golf teaches about its golfers: benchmarks near each handicap, and how putting spreads."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import asdict
from datetime import date, datetime, time, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

import numpy as np
from django.db import transaction

from golfstats.calc.putting.likelihood import putts_of
from golfstats.calc.putting.player import pool
from golfstats.calc.record import Floats
from golfstats.calc.strokes.club_golfer import ClubGolfer, HoleOuts, ShotSums, golfers_near, hole_outs
from golfstats.calc.strokes.handicap_golfer import BEST_HANDICAP, HIGHEST_HANDICAP
from golfstats.calc.strokes.reference_course import GENDERS
from golfstats.calc.strokes.selection import BenchmarkKey
from golfstats.ground.clubs.models import Club
from golfstats.ground.outbox import work
from golfstats.ground.walls.kept import KeptStatement
from golfstats.sentences import with_sentences
from players.golf.bare import BareGolf, load_bare
from players.golf.benchmarks import HANDICAP_STEP, choice_of, fitted_at, fitted_key
from players.golf.models import ClubBenchmark
from players.handicap.models import HandicapLine
from players.rounds.models import Round

CLUB_BENCHMARK = "club_benchmark"
MINIMUM_SHOTS = 500
"""With fewer shots near a handicap the estimate says as much, so no golfer is fitted there."""
MINIMUM_OWN_SHOTS = 100
"""Of them by golfers of the gender in question, for the fit to be among the choices. With fewer it is fitted all the
same, as a club measures men and women by one key, and says how few shots are their own."""
NIGHT = time(3, 0)


FITTED = KeptStatement(lambda: ClubBenchmark.objects.values_list("id"))


def ask_for_refit(club: Club) -> None:
    """Fit at once if nothing has been fitted, else in the coming night: asking many times a day fits once."""
    if not FITTED.found():
        work.ask(CLUB_BENCHMARK, str(club.id))
        return
    zone = ZoneInfo(club.time_zone)
    tomorrow = datetime.now(zone).date() + timedelta(days=1)
    work.ask(CLUB_BENCHMARK, str(club.id), due_at=datetime.combine(tomorrow, NIGHT, zone))


@transaction.atomic
def refit_club(today: date) -> ClubBenchmark:
    """Fit the golfers and the putting of the club in scope and store them. Repeatable."""
    positions, putting = _told(today)
    golfers = _golfers(positions, today)
    choices = [asdict(choice_of(golfer)) for golfer in golfers if golfer.own_shots >= MINIMUM_OWN_SHOTS]
    document = {
        "golfers": _golfer_in_use()
        | {fitted_key(golfer.handicap, golfer.gender): golfer.to_json() for golfer in golfers},
        **with_sentences({"choices": choices}),
        "putting": putting,
    }
    stored, _ = ClubBenchmark.objects.update_or_create(
        club=Club.objects.get(), defaults={"document": document, "shots": len(positions)}
    )
    return stored


def _told(today: date) -> tuple[HoleOuts, dict[str, object] | None]:
    """What the golf says of golfers and of putting. It takes far less memory than the golf, which is let go of."""
    golf = load_bare()
    return hole_outs(golf.record, handicap_in_each_round(golf), golf.women), _putting(golf, today)


def _golfer_in_use() -> dict[str, object]:
    """The fitted golfers that the club measures by: kept as they were should the golf near them no longer suffice."""
    key = BenchmarkKey.parse(Club.objects.get().benchmark)
    if key.kind != "club" or key.handicap is None:
        return {}
    names = [fitted_key(key.handicap, gender) for gender in GENDERS]
    stored = ClubBenchmark.objects.values_list("document__golfers", flat=True).first() or {}
    return {name: stored[name] for name in names if name in stored}


def handicap_in_each_round(golf: BareGolf) -> Floats:
    """Handicap index of the player on the day of each round: that of the last score before it, or else the
    first one they were given; NaN without any.
    """
    days: dict[UUID, list[int]] = defaultdict(list)
    indexes: dict[UUID, list[float]] = defaultdict(list)
    lines = HandicapLine.objects.filter(index_after__isnull=False).order_by("player_id", "sequence")
    for player, played_on, index in lines.values_list("player_id", "played_on", "index_after"):
        days[player].append(played_on.toordinal())
        indexes[player].append(float(index or 0))
    rounds = golf.record.rounds
    values = np.full(len(rounds), np.nan)
    for number, player in enumerate(golf.players):
        if indexes[player]:
            own = np.flatnonzero(rounds.player == number)
            before = np.searchsorted(days[player], rounds.day[own], side="left")
            values[own] = np.array(indexes[player])[np.maximum(before - 1, 0)]
    # A first index from few scores can lie beyond every golfer there is.
    return np.asarray(np.clip(values, BEST_HANDICAP, HIGHEST_HANDICAP), dtype=np.float64)


def _golfers(positions: HoleOuts, today: date) -> list[ClubGolfer]:
    if not len(positions):
        return []
    sums = ShotSums.of(positions)
    lowest, highest = (fitted_at(float(end)) for end in (sums.handicap.min(), sums.handicap.max()))
    return [
        golfer
        for handicap in range(lowest, highest + 1, HANDICAP_STEP)
        if sums.shots_near(handicap).sum() >= MINIMUM_SHOTS
        for golfer in golfers_near(float(handicap), sums, today).values()
    ]


def _putting(golf: BareGolf, today: date) -> dict[str, object] | None:
    putts = putts_of(golf.record)
    if not len(putts):
        return None
    prior = pool(putts).prior
    return {
        "mean": prior.mean.tolist(),
        "covariance": prior.covariance.tolist(),
        "putts": len(putts),
        "players": len(np.unique(putts.player)),
        "fitted_on": today.isoformat(),
    }


def measured_by_own_golfers() -> list[UUID]:
    """Rounds whose stored figures rest on the fit; none if the club's benchmark is another golfer."""
    if not Club.objects.get().benchmark.startswith("club:"):
        return []
    return list(Round.objects.values_list("id", flat=True))
