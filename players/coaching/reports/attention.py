"""What a coach should look at: found by the worker player by player, read from what it stored."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from itertools import takewhile
from typing import Literal, NamedTuple
from uuid import UUID

import numpy as np
from django.db import transaction
from django.db.models import OuterRef, QuerySet, Subquery
from django.utils import timezone
from django.utils.translation import gettext
from pydantic import TypeAdapter, ValidationError

from golfstats.calc.coaching import attention as calc
from golfstats.calc.coaching.standing import LATELY
from golfstats.calc.figure import Figure as Estimate
from golfstats.calc.record import Floats
from golfstats.calc.units import Unit
from golfstats.ground.clubs.models import Member
from golfstats.ground.operations import Asker
from golfstats.ground.walls.kept import ANY_KEYS, KeptStatement
from golfstats.ground.words import counted, spoken
from players.coaching.greens import count_greens
from players.coaching.history import History, observed
from players.coaching.models import AttentionDismissal, PlayerReport, report_section
from players.coaching.questions import AttentionQuery
from players.coaching.standing import GoalStanding
from players.coaching.trends import Fitted
from players.golf.answers import Figure, figure
from players.handicap.models import HandicapLine
from players.people import permissions
from players.people.answers import Named
from players.people.models import Player
from players.rounds.models import Round

Law = Literal["binomial", "poisson"]

PUTTING = "gained.putting"
RECENT_ROUNDS = 10
"""Unusual rates are looked for in the last so many rounds."""


class AttentionKind(StrEnum):
    """What an attention item is about."""

    HANDICAP_CAP = "handicap_cap"
    """A cap holds a rising index down."""
    EXCEPTIONAL_SCORE = "exceptional_score"
    """A score far better than the index, which lowers it."""
    LEVEL_SHIFT = "level_shift"
    """A figure has moved to another level."""
    GREENS = "greens"
    """A figure has moved that the state of the greens explains."""
    UNUSUAL_RATE = "unusual_rate"
    """Something happens more often than it did before."""
    GOAL_AT_RISK = "goal_at_risk"
    """A goal will probably not be reached by its day."""
    NO_ROUND = "no_round"
    """No round was posted for a while."""


KINDS = list(AttentionKind)
"""In the order in which a coach sees them."""


@dataclass(frozen=True)
class AttentionItem:
    """What a coach should look at. The worker keeps them, not dismissed, in the player's report."""

    player: Named
    kind: AttentionKind
    """What sort of thing it is."""
    item: str
    """Names its cause; by this it is dismissed."""
    reason: str
    """Why to look, in a sentence."""
    figure: Figure | None
    """The number behind it; null where there is none."""
    began: date
    """Day since when it has been so."""
    dismissed: bool
    """Whether a coach has put it aside."""


@dataclass(frozen=True)
class Dismissal:
    """An item that was put aside."""

    player: Named
    item: str
    """Names the cause that was put aside."""
    dismissed_at: datetime
    """When it was put aside."""


LINES_LOOKED_AT = 40
"""Scores of the handicap record, newest first, that are looked through for caps and exceptional scores."""

_ITEMS = TypeAdapter(list[AttentionItem])


def items_of(
    golf: History,
    player: Player,
    trends: Sequence[Fitted],
    goals: Iterable[GoalStanding],
    scores: Sequence[RecentScore],
    today: date,
    unit: str,
) -> list[AttentionItem]:
    """What the player's rounds, trends, goals and handicap give, in the language of now; days without a round are
    counted when the list is read.
    """
    items = [
        *(_shift(trend, today) for trend in trends),
        *(_owed_to_greens(trend, today) for trend in trends),
        *(_goal(standing, today) for standing in goals),
        _rate(golf, player.id, "putts.three", 1, "binomial"),
        _rate(golf, player.id, "penalties.round", 18, "poisson"),
        *_handicap(scores, today),
    ]
    return [_answer(player, item, unit) for item in calc.in_order(items)]


def _answer(player: Player, item: calc.AttentionItem, unit: str) -> AttentionItem:
    return AttentionItem(
        player=Named(player.id, player.name),
        kind=AttentionKind(item.kind.word),
        item=item.key,
        reason=spoken(item.reason),
        figure=None if item.figure is None else figure(item.figure, unit=unit),
        began=date.fromordinal(int(item.began)),
        dismissed=False,
    )


def _shift(trend: Fitted, today: date) -> calc.AttentionItem | None:
    spec = trend.spec
    return calc.shift_item(spec.key, spoken(spec.words), trend.shift, spec.better, today.toordinal())


def _owed_to_greens(trend: Fitted, today: date) -> calc.AttentionItem | None:
    """Putting that looks worse than it is while greens heal."""
    spec, greens = trend.spec, count_greens(trend.figure)
    if spec.key != PUTTING or not greens.lately or trend.shift is not None or trend.raw is None:
        return None
    day = trend.figure.golf.analysed.record.rounds.day
    began = float(np.sort(day[np.unique(trend.figure.raw.round)])[-LATELY:][0])
    raw, sound = trend.raw.level_on(today), trend.level_on(today)
    return calc.greens_item(spec.key, spoken(spec.words), raw, sound, began, greens.lately_words)


def _goal(standing: GoalStanding, today: date) -> calc.AttentionItem | None:
    goal = standing.goal
    return calc.goal_item(
        str(goal.id),
        spoken(standing.spec.words),
        standing.progress,
        goal.due_on.toordinal(),
        today.toordinal(),
    )


def _rate(golf: History, player: UUID, key: str, scale: int, law: Law) -> calc.AttentionItem | None:
    """Events in the last rounds against all earlier ones; ``scale`` takes a value a round to one a hole."""
    about = observed(golf, player, key)
    observations = about.observations
    rounds = np.unique(observations.round)
    recent_rounds = rounds[-RECENT_ROUNDS:]
    if len(rounds) <= RECENT_ROUNDS:
        return None
    recent = np.isin(observations.round, recent_rounds)
    now, before = (_counts(observations.value[rows], scale) for rows in (recent, ~recent))
    began = float(golf.analysed.record.rounds.day[recent_rounds[0]])
    item = calc.unusual_rate_item(key, spoken(about.spec.words), now, before, began, law)
    waiting = count_greens(about).waiting
    if item is None or not waiting:
        return item
    words = gettext("{reason}; {rounds} on disturbed greens left out")
    left_out = words.format(reason=spoken(item.reason), rounds=counted(waiting, "round"))
    return replace(item, reason=left_out)


def _counts(values: Floats, scale: int) -> calc.Counts:
    return calc.Counts(round(float(np.sum(values)) / scale), len(values))


class RecentScore(NamedTuple):
    """What is looked at of a score of the handicap record."""

    sequence: int
    played_on: date
    index_after: Decimal | None
    low_index: Decimal | None
    capped: bool | None
    exceptional: str | None


def recent_scores(player: UUID) -> list[RecentScore]:
    """The scores of the player's handicap record that are looked through, newest first."""
    return [RecentScore(*line) for line in LAST_LINES.lines(LAST_LINES.found(keys=[player]))]


LAST_LINES = KeptStatement(
    lambda: (
        HandicapLine.objects.filter(player_id__any_of=ANY_KEYS)
        .order_by("-sequence")
        .values_list(
            *("sequence", "played_on", "index_after", "low_index"), "detail__capped", "detail__exceptional"
        )[:LINES_LOOKED_AT]
    )
)
"""Without the rest of their details, which explain a score hole by hole and are longer than all else."""


def _handicap(lines: Sequence[RecentScore], today: date) -> Iterator[calc.AttentionItem | None]:
    """A cap that holds the index back now, and recent exceptional scores; ``lines`` newest first."""
    capped = list(takewhile(lambda line: bool(line.capped), lines))
    if capped:
        yield calc.cap_item(_cap(capped[0]), _index(capped[0]), capped[-1].played_on.toordinal())
    for line in lines:
        reduction = -float(line.exceptional or 0)
        yield calc.exceptional_score_item(
            reduction, _index(line), line.played_on.toordinal(), today.toordinal()
        )


def _cap(line: RecentScore) -> Literal["soft", "hard"]:
    """The hard cap is 5.0 above the low index (Rule 5.8 of the Rules of Handicapping)."""
    after, low = line.index_after, line.low_index
    return "hard" if after is not None and low is not None and after - low >= 5 else "soft"


def _index(line: RecentScore) -> Estimate:
    """The index after a score: exact, so its interval is a point."""
    if line.index_after is None:
        return Estimate.too_few(0, 1, Unit.INDEX)
    index = float(line.index_after)
    return Estimate(index, index, index, line.sequence, 1, Unit.INDEX)


def attention(asker: Asker, query: AttentionQuery) -> list[AttentionItem]:
    """The items of the players in a coach's squads (in all squads for a manager), in a stable order."""
    items = _items(asker, query)
    asker.looks_at("analysis", [item.player.id for item in items])
    return items


def _items(asker: Asker, query: AttentionQuery) -> list[AttentionItem]:
    """Three queries, whatever the number of players: only what the worker stored is read."""
    # Each player's last round by the index: the latest of all of them would be looked for in five years of rounds.
    newest = Round.objects.filter(player=OuterRef("pk")).order_by("-played_on").values("played_on")
    players = list(_looked_after(asker.member).annotate(last_round=Subquery(newest[:1])))
    reports = dict(
        PlayerReport.objects.filter(player__in=[player.id for player in players]).values_list(
            "player_id", report_section("attention")
        )
    )
    dismissals = {
        (dismissal.player_id, dismissal.item): dismissal.dismissed_at.date()
        for dismissal in AttentionDismissal.objects.filter(dismissed_by=asker.member)
    }
    shown = []
    for player in players:
        items = [
            replace(one, player=Named(player.id, player.name)) for one in _stored(reports.get(player.id))
        ]
        items += _without_round(player, player.last_round, asker, query.days)
        for item in items:
            put_aside = dismissals.get((player.id, item.item))
            dismissed = put_aside is not None and item.began <= put_aside
            if query.dismissed or not dismissed:
                shown.append(replace(item, dismissed=dismissed))
    return sorted(shown, key=_order)


def attention_to(asker: Asker, players: Sequence[Player], query: AttentionQuery) -> list[list[AttentionItem]]:
    """The items of each of these players; none of one who is in no squad of this member."""
    items = _items(asker, query)
    return [[item for item in items if item.player.id == player.id] for player in players]


def _stored(section: object) -> list[AttentionItem]:
    """None where the worker has not come to them yet, or last did so in an earlier version of the service."""
    try:
        return _ITEMS.validate_python(section or [])
    except ValidationError:
        return []


def _order(one: AttentionItem) -> tuple[int, int, str, str]:
    """By kind, then the newest, then by player and key: the same items always give the same list."""
    return KINDS.index(one.kind), -one.began.toordinal(), one.player.name, one.item


def _looked_after(member: Member) -> QuerySet[Player]:
    """The players of the squads this member may see; one who is in several comes once."""
    squads = permissions.visible_squads(member).values("id")
    players = permissions.squad_places(member).filter(squad__in=squads).values("player_id")
    return Player.objects.filter(id__in=players).order_by("name")


def _without_round(player: Player, last: date | None, asker: Asker, days: int) -> list[AttentionItem]:
    last_day = None if last is None else last.toordinal()
    joined = player.created_at.date().toordinal()
    item = calc.no_round_item(last_day, joined, asker.today.toordinal(), days)
    return [] if item is None else [_answer(player, item, asker.distance_unit)]


@transaction.atomic
def dismiss(member: Member, player: Player, item: str) -> Dismissal:
    """Put an item aside, until its cause begins anew. Doing so again moves the day."""
    dismissal, _ = AttentionDismissal.objects.update_or_create(
        player=player, item=item, dismissed_by=member, defaults={"dismissed_at": timezone.now()}
    )
    return Dismissal(Named(player.id, player.name), dismissal.item, dismissal.dismissed_at)


@transaction.atomic
def take_up_again(member: Member, player: Player, item: str) -> None:
    """Undo :func:`dismiss`: the item is on the member's list again while its cause lasts."""
    AttentionDismissal.objects.filter(player=player, item=item, dismissed_by=member).delete()
