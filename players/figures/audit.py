"""Every night a sample of what is stored is computed anew and compared: stored figures must equal fresh ones."""

from __future__ import annotations

import logging
import math
from collections.abc import Callable, Iterator
from datetime import datetime, time, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import CharField, Value
from django.db.models.functions import MD5, Cast, Concat

from golfstats.calc.strokes.gained import strokes_gained
from golfstats.calc.strokes.parts import parts_of_shots, totals_by_round
from golfstats.calc.vocabulary import Part
from golfstats.ground.clubs.models import Club
from golfstats.ground.outbox import work
from players import kinds
from players.figures.models import RoundFigures
from players.golf.benchmarks import measure_of
from players.golf.loading import load_record
from players.handicap import recompute
from players.handicap.models import HandicapLine, PlayerHandicap
from players.people.models import Player
from players.rounds.models import Round

logger = logging.getLogger(__name__)

AUDIT = "audit"
"""Key: the club. Comes back every night."""
NIGHT = time(4, 30)
ROUNDS, PLAYERS = 200, 20
"""Checked a night; other ones each night, so that a club of 5,000 rounds is seen within a month."""
TOLERANCE = 1e-6
"""Strokes. The same sums in another order differ in the last bits."""
further: list[Callable[[], object]] = []
"""What else is looked after every night of a club, by rooms of higher floors."""


def ask_for_audit(club: Club) -> None:
    """From now on every night."""
    work.ask(AUDIT, str(club.id), due_at=next_night(club))


def next_night(club: Club) -> datetime:
    zone = ZoneInfo(club.time_zone)
    return datetime.combine(datetime.now(zone).date() + timedelta(days=1), NIGHT, zone)


@work.handler(AUDIT, queue=work.Queue.LONG, snapshot=True)
def audit(key: str) -> work.Later:
    """Check the sample; what differs is logged and asked for anew."""
    del key  # the club in scope is the only one
    club = Club.objects.get()
    today = datetime.now(ZoneInfo(club.time_zone)).date().isoformat()
    rounds = sample_of_rounds(today)
    players = sample_of_players(today)
    wrong_rounds = list(differing_rounds(club, rounds))
    wrong_players = [player for player in players if record_differs(player)]
    if wrong_rounds or wrong_players:
        logger.error(
            "stored figures differ from fresh ones: rounds %s, records %s", wrong_rounds, wrong_players
        )
        work.ask_all(kinds.ROUND_ANALYSIS, map(str, wrong_rounds))
        HandicapLine.objects.filter(player_id__in=wrong_players).update(
            fingerprint=None
        )  # all are written anew
        work.ask_all(kinds.HANDICAP, map(str, wrong_players))
    for look_after in further:
        look_after()
    differ = len(wrong_rounds) + len(wrong_players)
    return work.Later(next_night(club), {"checked": len(rounds) + len(players), "differ": differ})


def sample_of_rounds(seed: str) -> list[UUID]:
    """Analysed rounds that nobody has asked to analyse again."""
    waiting, players = (
        list(work.outstanding(kind)) for kind in (kinds.ROUND_ANALYSIS, kinds.ROUNDS_OF_PLAYER)
    )
    waiting += work.outstanding(kinds.ROUND_MEASURED_ANEW)
    settled = Round.objects.filter(analysis="done").exclude(id__in=waiting).exclude(player_id__in=players)
    shuffled = settled.order_by(MD5(Concat(Cast("id", CharField()), Value(seed))))
    return list(shuffled.values_list("id", flat=True)[:ROUNDS])


def sample_of_players(seed: str) -> list[UUID]:
    """Players whose record is up to date as far as is known."""
    waiting = list(work.outstanding(kinds.HANDICAP))
    settled = Player.objects.filter(id__in=PlayerHandicap.objects.values("player_id")).exclude(id__in=waiting)
    shuffled = settled.order_by(MD5(Concat(Cast("id", CharField()), Value(seed))))
    return list(shuffled.values_list("id", flat=True)[:PLAYERS])


def differing_rounds(club: Club, round_ids: list[UUID]) -> Iterator[UUID]:
    """Rounds whose stored figures are not what their shots give now, or came from another version of them."""
    loaded = load_record(rounds=round_ids)
    shots = loaded.record.shots
    gained = strokes_gained(loaded.record, measure_of(club.benchmark, loaded.players, loaded))
    part = parts_of_shots(shots.lie, shots.distance, shots.par, club.short_game_yards)
    totals = totals_by_round(loaded.record, gained, part)
    stored = {one.round_id: one for one in RoundFigures.objects.filter(round_id__any_of=round_ids)}
    versions = dict(Round.objects.filter(id__any_of=round_ids).values_list("id", "version"))
    for row, round_id in enumerate(loaded.round_ids):
        one = stored.get(round_id)
        fresh = [float(totals.total[row]), *(float(totals.gained[row, each]) for each in Part)]
        if (
            one is None
            or one.version not in {None, versions[round_id]}
            or one.benchmark != club.benchmark
            or one.holes_covered != int(totals.holes[row])
            or one.score != int(loaded.record.holes.score[loaded.record.holes.round == row].sum())
            or (one.holes_covered > 0 and not _close(fresh, _stored(one)))
        ):
            yield round_id


def _stored(one: RoundFigures) -> list[float]:
    values = [one.total, *(getattr(one, each.word) for each in Part)]
    return [math.nan if value is None else value for value in values]


def _close(left: list[float], right: list[float]) -> bool:
    return all(abs(one - other) <= TOLERANCE for one, other in zip(left, right, strict=True))


def record_differs(player_id: UUID) -> bool:
    """Whether a player's stored index is not what the scores give now."""
    club = Club.objects.get()
    record, _ = recompute.fold(player_id, club)
    stored = PlayerHandicap.objects.get(player_id=player_id)
    return stored.index != recompute.present_index(record, club)
