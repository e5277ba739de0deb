"""What a coach should look at: found by the worker player by player, read from what it stored."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from itertools import takewhile
from typing import Literal
from uuid import UUID

import numpy as np
from django.db import transaction
from django.db.models import Max, QuerySet
from django.utils import timezone
from pydantic import TypeAdapter

from golfstats.calc.coaching.attention import (
    AttentionItem,
    AttentionKind,
    Counts,
    cap_item,
    exceptional_score_item,
    goal_item,
    in_order,
    no_round_item,
    shift_item,
    unusual_rate_item,
)
from golfstats.calc.figure import Figure
from golfstats.calc.record import Floats
from golfstats.clubs.models import Member
from players import permissions
from players.coaching.goals import GoalStanding
from players.coaching.history import observed
from players.coaching.trends import PlayerTrend
from players.models import AttentionDismissal, HandicapLine, Player, PlayerReport, SquadPlayer
from players.queries.analysed import Golf

USUAL_DAYS_WITHOUT_ROUND = 28
Law = Literal["binomial", "poisson"]

RECENT_ROUNDS = 10
"""Unusual rates are looked for in the last so many rounds."""


@dataclass(frozen=True)
class StoredItem:
    """An attention item as the worker stores it."""

    kind: str
    key: str
    reason: str
    figure: Figure | None
    began: date


@dataclass(frozen=True)
class PlayersItem:
    player_id: UUID
    player_name: str
    item: StoredItem
    dismissed: bool


LINES_LOOKED_AT = 40
"""Scores of the handicap record, newest first, that are looked through for caps and exceptional scores."""

_ITEMS = TypeAdapter(list[StoredItem])


def items_of(
    golf: Golf,
    player: UUID,
    trends: Iterable[PlayerTrend],
    goals: Iterable[GoalStanding],
    today: date,
) -> list[StoredItem]:
    """What the player's rounds, trends and goals give; days without a round are counted when the list is read."""
    found = [
        *(_shift(trend, today) for trend in trends),
        *(_goal(standing, today) for standing in goals),
        _rate(golf, player, "putts.three", 1, "binomial"),
        _rate(golf, player, "penalties.round", 18, "poisson"),
        *_handicap(player, today),
    ]
    return [stored(item) for item in in_order(found)]


def stored(item: AttentionItem) -> StoredItem:
    return StoredItem(item.kind.word, item.key, item.reason, item.figure, date.fromordinal(int(item.began)))


def _shift(trend: PlayerTrend, today: date) -> AttentionItem | None:
    spec, step = trend.spec, trend.shift.step if trend.shift else None
    return shift_item(spec.key, spec.words, step, spec.better, today.toordinal())


def _goal(standing: GoalStanding, today: date) -> AttentionItem | None:
    goal = standing.goal
    return goal_item(
        str(goal.id), standing.spec.words, standing.progress, goal.due_on.toordinal(), today.toordinal()
    )


def _rate(golf: Golf, player: UUID, key: str, scale: int, law: Law) -> AttentionItem | None:
    """Events in the last rounds against all earlier ones; ``scale`` takes a value a round to one a hole."""
    figure = observed(golf, player, key)
    found = figure.observations
    rounds = np.unique(found.round)
    recent_rounds = rounds[-RECENT_ROUNDS:]
    if len(rounds) <= RECENT_ROUNDS:
        return None
    recent = np.isin(found.round, recent_rounds)
    now, before = (_counts(found.value[rows], scale) for rows in (recent, ~recent))
    began = float(golf.analysed.record.rounds.day[recent_rounds[0]])
    return unusual_rate_item(key, figure.spec.words, now, before, began, law)


def _counts(values: Floats, scale: int) -> Counts:
    return Counts(round(float(np.sum(values)) / scale), len(values))


def _handicap(player: UUID, today: date) -> Iterator[AttentionItem | None]:
    """A cap that holds the index back now, and recent exceptional scores."""
    lines = list(HandicapLine.objects.filter(player_id=player).order_by("-sequence")[:LINES_LOOKED_AT])
    capped = list(takewhile(lambda line: bool(line.detail.get("capped")), lines))
    if capped:
        yield cap_item(_cap(capped[0]), _index(capped[0]), capped[-1].played_on.toordinal())
    for line in lines:
        reduction = -float(line.detail.get("exceptional") or 0)
        yield exceptional_score_item(reduction, _index(line), line.played_on.toordinal(), today.toordinal())


def _cap(line: HandicapLine) -> Literal["soft", "hard"]:
    """The hard cap is 5.0 above the low index (Rule 5.8 of the Rules of Handicapping)."""
    after, low = line.index_after, line.low_index
    return "hard" if after is not None and low is not None and after - low >= 5 else "soft"


def _index(line: HandicapLine) -> Figure:
    """The index after a score: exact, so its interval is a point."""
    if line.index_after is None:
        return Figure.too_few(0, 1, "index")
    index = float(line.index_after)
    return Figure(index, index, index, line.sequence, 1, "index")


def attention_list(
    member: Member,
    today: date,
    *,
    days_without_round: int = USUAL_DAYS_WITHOUT_ROUND,
    with_dismissed: bool = False,
) -> list[PlayersItem]:
    """The items of the players in a coach's squads (in all squads for a manager), in a stable order.

    Three queries, whatever the number of players: only what the worker stored is read.
    """
    players = list(_looked_after(member).annotate(last_round=Max("rounds__played_on")))
    reports = dict(
        PlayerReport.objects.filter(player__in=[player.id for player in players]).values_list(
            "player_id", "document__attention"
        )
    )
    dismissals = {
        (dismissal.player_id, dismissal.item): dismissal.dismissed_at.date()
        for dismissal in AttentionDismissal.objects.filter(dismissed_by=member)
    }
    found = []
    for player in players:
        items = _ITEMS.validate_python(reports.get(player.id) or [])
        items += _without_round(player, player.last_round, today, days_without_round)
        for item in items:
            put_aside = dismissals.get((player.id, item.key))
            dismissed = put_aside is not None and item.began <= put_aside
            if with_dismissed or not dismissed:
                found.append(PlayersItem(player.id, player.name, item, dismissed))
    return sorted(found, key=_order)


def _order(one: PlayersItem) -> tuple[int, int, str, str]:
    """By kind, then the newest, then by player and key: the same items always give the same list."""
    kind = AttentionKind[one.item.kind.upper()]
    return kind, -one.item.began.toordinal(), one.player_name, one.item.key


def _looked_after(member: Member) -> QuerySet[Player]:
    """The players of the squads this member may see; one who is in several comes once."""
    squads = permissions.visible_squads(member).values("id")
    players = SquadPlayer.objects.filter(squad__in=squads).values("player_id")
    return Player.objects.filter(id__in=players).order_by("name")


def _without_round(player: Player, last: date | None, today: date, days: int) -> list[StoredItem]:
    last_day = None if last is None else last.toordinal()
    joined = player.created_at.date().toordinal()
    item = no_round_item(last_day, joined, today.toordinal(), days)
    return [] if item is None else [stored(item)]


@transaction.atomic
def dismiss(member: Member, player: Player, item: str) -> AttentionDismissal:
    """Put an item aside, until its cause begins anew. Doing so again moves the day."""
    dismissal, _ = AttentionDismissal.objects.update_or_create(
        player=player, item=item, dismissed_by=member, defaults={"dismissed_at": timezone.now()}
    )
    return dismissal
