"""Folds a player's history anew and stores the record, one player at a time."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import timedelta
from decimal import Decimal
from hashlib import sha256
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from golfstats.calc import handicap as calc
from golfstats.calc.strokes.peer import is_another_peer
from golfstats.calc.strokes.reference_course import Gender
from golfstats.ground.answers import as_json
from golfstats.ground.clock import day_begins, today_at
from golfstats.ground.clubs.models import Club
from golfstats.ground.outbox import work
from golfstats.ground.walls.bulk import insert_columns, insert_rows
from golfstats.sentences import with_sentences
from players import kinds
from players.handicap.announcing import INDEX_CHANGED, IndexChange
from players.handicap.history import History, load_history
from players.handicap.models import CommitteeAction, HandicapLine, PlayerHandicap
from players.handicap.rules import rules_of
from players.people.models import Player
from players.people.remembered import edition
from players.people.services import measure_anew

DECISION_DUE = "decision_due"
"""Work on the day on which a committee's decision begins or has ended, whether or not anybody plays; the key is the
player's.
"""


def fold(player_id: UUID, club: Club) -> tuple[calc.HandicapRecord, History]:
    """The player's record from everything stored that has effect by today; reads only."""
    history = load_history(player_id, today_at(club))
    return calc.build_record(history.scores, history.actions, rules_of(club.handicap_rules)), history


def present_index(record: calc.HandicapRecord, club: Club) -> Decimal | None:
    """The index in force today: a decision has effect from its day on, and not from the next round."""
    today = today_at(club)
    return record.index_on(max(today, record.last_played_on or today))


@transaction.atomic
def recompute(player_id: UUID) -> calc.HandicapRecord | None:
    """Compute and store the player's record. Two workers at once take turns and store the same.

    A player deleted meanwhile is simply not found.
    """
    work.one_at_a_time(f"handicap {player_id}")
    player = Player.objects.filter(id=player_id).first()
    if player is None:
        return None
    club = Club.objects.get()
    record, history = fold(player_id, club)
    before = PlayerHandicap.objects.filter(player_id=player_id).first()
    write_lines(player_id, record, {score.key for score in history.scores if isinstance(score, calc.Score)})
    index = present_index(record, club)
    insert_columns(
        PlayerHandicap,
        {
            "player_id": [player_id],
            "index": [index],
            "low_index": [record.low_index],
            "scores": [len(record.recent_keys)],
            "document": [with_sentences(_document(record, history))],
            "computed_at": [timezone.now()],
        },
        in_place_of="player_id",
    )
    _ask_for_next_change(player_id, club)
    measure_by_new_peer(player_id, before.index if before else None, index)
    # A report tells of the peer of this index, of caps and of exceptional scores, and another worker may be writing
    # it from the record as it was before.
    work.ask(kinds.PLAYER_REPORT, str(player_id))
    if before is not None and before.index != index:
        INDEX_CHANGED.send([IndexChange(player, before.index, index)])
    return record


def _ask_for_next_change(player_id: UUID, club: Club) -> None:
    """Have the record folded again on the next day on which a decision begins or no longer holds."""
    today = today_at(club)
    decisions = CommitteeAction.objects.filter(player_id=player_id, withdrawn_at=None)
    days = [
        day
        for begins, ends in decisions.values_list("effective_on", "expires_on")
        for day in (begins, ends and ends + timedelta(days=1))
        if day is not None and day > today
    ]
    if days:
        work.ask(DECISION_DUE, str(player_id), due_at=day_begins(club, min(days)))


def measure_by_new_peer(player_id: UUID, before: Decimal | None, after: Decimal | None) -> None:
    """Ask for the player's rounds to be measured anew where the club measures by a peer and that is another now."""
    women = Player.objects.values_list("rating_gender", flat=True).get(id=player_id) == "women"
    gender: Gender = "women" if women else "men"
    if Club.objects.get().benchmark == "peer" and is_another_peer(
        _number(before), _number(after), "women" if gender == "women" else "men"
    ):
        measure_anew([player_id])


def _number(index: Decimal | None) -> float | None:
    return None if index is None else float(index)


def write_lines(player_id: UUID, record: calc.HandicapRecord, rounds: Collection[str]) -> None:
    """Write the lines that are others now, and remove what is no more. Lines of keys beside ``rounds`` are of none.

    A new score changes the twenty or so that an index rests on; of a career they are few.
    """
    lines = {_fingerprint(place, line): (place, line) for place, line in enumerate(record.lines, start=1)}
    stored = HandicapLine.objects.filter(player_id=player_id)
    stored.exclude(fingerprint__in=lines).delete()
    kept = set(stored.values_list("fingerprint", flat=True))
    fresh = [
        _line(player_id, place, line, fingerprint, of_a_round=line.key in rounds)
        for fingerprint, (place, line) in lines.items()
        if fingerprint not in kept
    ]
    _take_off_other_records(player_id, [line.round_id for line in fresh if line.round_id])
    insert_rows(fresh)


def _take_off_other_records(player_id: UUID, rounds: Sequence[UUID]) -> None:
    """A round that was another player's until now still stands on their record where theirs is folded later.

    Of rounds that are this player's no more, which this fold has read before, nothing is taken.
    """
    HandicapLine.objects.filter(round_id__any_of=rounds, round__player_id=player_id).delete()


def _fingerprint(place: int, line: calc.ScoreLine) -> str:
    # By orjson: to write a career's lines as Python writes data classes took a seventh of the whole recomputation.
    return sha256(f"{edition()} {place} ".encode() + as_json(line)).hexdigest()


def _line(
    player_id: UUID, sequence: int, line: calc.ScoreLine, fingerprint: str, *, of_a_round: bool
) -> HandicapLine:
    return HandicapLine(
        player_id=player_id,
        round_id=UUID(line.key) if of_a_round else None,
        sequence=sequence,
        played_on=line.played_on,
        adjusted_gross_score=line.gross.score if line.gross else None,
        raw_differential=line.differential,
        adjusted_differential=line.adjusted_differential,
        index_before=line.index_before,
        index_after=line.index_after,
        low_index=line.low_index,
        estimated=bool(line.differential_parts and line.differential_parts.estimated),
        in_last_20=line.place is not None,
        in_best_8=line.counts_today,
        detail=with_sentences(_detail(line)),
        fingerprint=fingerprint,
    )


def _detail(line: calc.ScoreLine) -> dict[str, object]:
    gross = line.gross
    capped = line.calculation is not None and (line.calculation.soft_cap or line.calculation.hard_cap)
    return {
        "state": line.state,
        "rule": line.rule,
        "reason": line.reason,
        "edition": line.edition,
        "holes_played": gross.holes_played if gross else None,
        "course_handicap": gross.course_handicap if gross else None,
        "course_rating": str(gross.ratings.course_rating) if gross else None,
        "slope_rating": gross.ratings.slope_rating if gross else None,
        "par": gross.ratings.par if gross else None,
        "pcc": line.pcc,
        "exceptional": _text(line.exceptional),
        "needs_review": line.needs_review,
        "capped": capped,
        "counted_then": line.counted_then,
        "adjustments": [
            {"amount": _text(one.amount), "rule": one.rule, "cause": one.cause, "on": one.on.isoformat()}
            for one in line.adjustments
        ],
        "holes": [
            {
                "number": hole.number,
                "par": hole.par,
                "stroke_index": hole.stroke_index,
                "strokes_received": hole.strokes_received,
                "score": hole.score,
                "maximum": hole.maximum,
                "maximum_rule": hole.maximum_rule,
                "maximum_why": hole.maximum_why,
                "adjusted": hole.adjusted,
                "note": hole.note,
            }
            for hole in (gross.holes if gross else ())
        ],
        "steps": [{"rule": step.rule, "text": step.text, "value": step.value} for step in calc.explain(line)],
    }


def _document(record: calc.HandicapRecord, history: History) -> dict[str, object]:
    return {
        "trend": [
            {
                "on": point.on.isoformat(),
                "index": _text(point.index),
                "low_index": _text(point.low_index),
                "round": point.key,
            }
            for point in record.trend
        ],
        "actions": [
            {
                "on": line.on.isoformat(),
                "rule": line.rule,
                "text": line.text,
                "reason": line.reason,
                "index_before": _text(line.index_before),
                "index_after": _text(line.index_after),
            }
            for line in record.actions
        ],
        "left_out": [
            {"round": str(round_id), "reason": reason} for round_id, reason in history.left_out.items()
        ],
    }


def _text(value: object) -> str | None:
    return None if value is None else str(value)
