"""What is read of handicaps, by REST, GraphQL and pages alike."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from decimal import Decimal
from typing import Any
from uuid import UUID

from courses.models import Course, Rating, Section
from golfstats.calc import handicap as calc
from golfstats.calc.handicap.course_handicap import course_handicap_9
from golfstats.clubs.models import Club
from players.handicap.actions import KINDS
from players.handicap.recompute import fold
from players.handicap.rules import rules_of
from players.models import CommitteeAction, HandicapLine, Player, PlayerHandicap

NOTICE = calc.UNOFFICIAL


def unofficial(body: dict[str, Any]) -> dict[str, Any]:
    """The answer, saying in front that no figure in it is official."""
    return {"official": False, "notice": NOTICE} | body


def shown(index: Decimal | None) -> str | None:
    """An index as it is written: better than scratch with a plus."""
    return None if index is None else calc.shown(index)


def present_index(player_id: UUID) -> Decimal | None:
    return PlayerHandicap.objects.filter(player_id=player_id).values_list("index", flat=True).first()


def handicap_of(player: Player) -> dict[str, Any]:
    """Index, low index, trend and the whole record of a player, newest score first. Two queries."""
    stored = PlayerHandicap.objects.filter(player=player).first()
    lines = HandicapLine.objects.filter(player=player).order_by("-sequence")
    document = stored.document if stored else {}
    return unofficial(
        {
            "player": {"id": player.id, "name": player.name},
            "index": stored.index if stored else None,
            "shown": shown(stored.index if stored else None),
            "low_index": stored.low_index if stored else None,
            "scores_in_last_20": stored.scores if stored else 0,
            "computed_at": stored.computed_at if stored else None,
            "trend": document.get("trend", []),
            "record": [record_line(line) for line in lines],
            "committee": document.get("actions", []),
            "left_out": document.get("left_out", []),
        }
    )


def record_line(line: HandicapLine) -> dict[str, Any]:
    """A score on the record without its explanation."""
    detail = line.detail
    return {
        "round": line.round_id,
        "played_on": line.played_on,
        "state": detail["state"],
        "reason": detail["reason"],
        "holes_played": detail["holes_played"],
        "adjusted_gross_score": line.adjusted_gross_score,
        "course_rating": detail["course_rating"],
        "slope_rating": detail["slope_rating"],
        "pcc": detail["pcc"],
        "differential": line.raw_differential,
        "adjusted_differential": line.adjusted_differential,
        "adjustments": detail["adjustments"],
        "estimated": line.estimated,
        "in_last_20": line.in_last_20,
        "in_best_8": line.in_best_8,
        "index_before": line.index_before,
        "index_after": line.index_after,
        "low_index": line.low_index,
        "exceptional": detail["exceptional"],
        "capped": detail["capped"],
    }


def explanation(player: Player, round_id: UUID) -> dict[str, Any] | None:
    """One score, line by line, hole by hole; ``None`` if the round is not on the record."""
    line = HandicapLine.objects.filter(player=player, round_id=round_id).first()
    if line is None:
        return None
    return unofficial(
        record_line(line)
        | {
            "edition": line.detail["edition"],
            "course_handicap": line.detail["course_handicap"],
            "par": line.detail["par"],
            "holes": line.detail["holes"],
            "steps": line.detail["steps"],
        }
    )


def handicaps_on_course(course: Course, player: Player, on: dt.date) -> dict[str, Any]:
    """Course and playing handicap of the player on each tee of a course."""
    index = present_index(player.id)
    ratings = (
        Rating.objects.filter(tee_set__course=course, gender=player.rating_gender)
        .select_related("tee_set")
        .order_by("tee_set__name", "section")
    )
    rules = rules_of(Club.objects.get().handicap_rules)
    tees: dict[UUID, dict[str, Any]] = {}
    for rating in ratings:
        tee = tees.setdefault(
            rating.tee_set_id, {"tee": {"id": rating.tee_set_id, "name": rating.tee_set.name}, "sections": []}
        )
        tee["sections"].append(_handicaps_on(rating, index, on, rules))
    return unofficial(
        {
            "course": {"id": course.id, "name": course.name},
            "player": {"id": player.id, "name": player.name},
            "index": index,
            "shown": shown(index),
            "tees": list(tees.values()),
        }
    )


def _handicaps_on(
    rating: Rating, index: Decimal | None, on: dt.date, rules: calc.HandicapRules
) -> dict[str, Any]:
    body: dict[str, Any] = {
        "section": rating.section,
        "course_rating": rating.course_rating,
        "slope_rating": rating.slope_rating,
        "par": rating.par,
        "course_handicap": None,
        "playing_handicaps": {},
    }
    if index is None:
        return body
    given = as_ratings(rating)
    if rating.section == Section.EIGHTEEN:
        found = calc.handicaps_on(index, given, on, rules)
        return body | {"course_handicap": found.course_handicap, "playing_handicaps": found.playing_handicaps}
    edition = rules.edition_for(on)
    return body | {
        "course_handicap": course_handicap_9(index, given, rating_minus_par=edition.rating_minus_par)
    }


def as_ratings(rating: Rating) -> calc.Ratings:
    return calc.Ratings(rating.course_rating, rating.slope_rating, rating.par)


def targets(player: Player, rating: Rating, on: dt.date) -> dict[str, Any]:
    """What the next score would do to the index: bands of adjusted gross scores, computed one by one."""
    record, _ = fold(player.id)
    day = max(on, record.last_played_on) if record.last_played_on else on
    holes: Any = 18 if rating.section == Section.EIGHTEEN else 9
    try:
        found: Sequence[calc.Target] = calc.targets(record, as_ratings(rating), day, holes)
    except ValueError:
        found = ()
    index = record.index_on(day)
    return unofficial(
        {
            "player": {"id": player.id, "name": player.name},
            "index": index,
            "shown": shown(index),
            "section": rating.section,
            "course_rating": rating.course_rating,
            "slope_rating": rating.slope_rating,
            "targets": [
                {
                    "lowest": one.lowest,
                    "highest": one.highest,
                    "index": one.index,
                    "shown": shown(one.index),
                    "change": one.change,
                }
                for one in found
            ],
        }
    )


def action_line(action: CommitteeAction) -> dict[str, Any]:
    """A committee's decision with its log."""
    kind = KINDS[action.kind]
    return {
        "id": action.id,
        "kind": action.kind,
        "words": kind.words,
        "rule": kind.rule,
        "effective_on": action.effective_on,
        "expires_on": action.expires_on,
        "value": action.value,
        "round": action.round_id,
        "exceptional": action.exceptional,
        "reason": action.reason,
        "player_notified": action.player_notified,
        "decided_by": action.decided_by.name if action.decided_by else None,
        "decided_at": action.decided_at,
        "index_before": action.index_before,
        "withdrawn_by": action.withdrawn_by.name if action.withdrawn_by else None,
        "withdrawn_at": action.withdrawn_at,
    }
