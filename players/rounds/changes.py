"""What happened to rounds since a client looked last, deletions included, in an order that never changes behind it.

A trigger notes of each round in which transaction it was last written (``RoundChange``). Transactions end in another
order than they begin, so only what is older than every transaction still under way in this database is told: nothing
can then appear before a place that a client has passed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from django.contrib.postgres.expressions import ArraySubquery
from django.core import signing
from django.db import connection
from django.db.models import Q
from pydantic import Field

from golfstats.ground.answers import up_to
from golfstats.ground.faults import Fault, ProblemError, Refusal, invalid
from golfstats.ground.operations import Asker, Query, Reading
from golfstats.sentences import Sentence
from players.people import permissions
from players.rounds import answers
from players.rounds.models import RoundChange

SIGNER = signing.Signer(salt="changes of rounds")
NO_ID = UUID(int=0)

NOW = """
SELECT system_identifier::text,
       COALESCE(
           (SELECT min(under_way::text::bigint) FROM pg_snapshot_xip(pg_current_snapshot()) AS under_way
             WHERE mod(under_way::text::bigint, 4294967296) NOT IN (
                SELECT backend_xid::text::bigint FROM pg_stat_activity
                 WHERE backend_xid IS NOT NULL
                   AND datid <> (SELECT oid FROM pg_database WHERE datname = current_database()))),
           pg_snapshot_xmax(pg_current_snapshot())::text::bigint),
       COALESCE(pg_current_xact_id_if_assigned()::text::bigint, 0)
  FROM pg_control_system()
"""


class SinceQuery(Query):
    since: str = Field(
        default="", max_length=300, description="As the last answer said; without it, from the start."
    )
    page_size: int = Field(default=50, ge=1, le=200, description="Rounds of an answer.")


@dataclass(frozen=True)
class ChangedRound:
    """A round that was posted, corrected, analysed or deleted."""

    id: UUID
    gone: bool
    """It was deleted, or has moved to a player whom you may not see: forget it."""
    round: answers.Round | None
    """As it is now; null where it is gone."""


@dataclass(frozen=True, kw_only=True)
class Changes:
    """Each round once, as it is now, in the order of its last change."""

    since: str
    """Send this as since with the next question."""
    more: bool
    """There is more already: ask again at once."""
    results: list[ChangedRound] = up_to(50)
    """In the order of their last change."""


@dataclass(frozen=True)
class Place:
    """How far a client has come in one database."""

    database: str
    transaction: int
    round_id: UUID

    def written(self) -> str:
        """Signed without the time, so that an answer in which nothing is new has the same tag as the last."""
        return SIGNER.sign_object([self.database, self.transaction, str(self.round_id)])


def changes(asker: Asker, query: SinceQuery) -> Changes:
    database, settled_before, own = _now()
    place = _place(query.since) if query.since else Place(database, 0, NO_ID)
    if place.database != database:
        title = Sentence("The service was restored from a copy since: start anew, without since")
        raise ProblemError("start-anew", title, Refusal.GONE)
    settled = Q(in_transaction__lt=settled_before) | Q(in_transaction=own)
    beyond = Q(in_transaction__gt=place.transaction) | Q(
        in_transaction=place.transaction, id__gt=place.round_id
    )
    rows = RoundChange.objects.filter(settled, beyond, _seen(asker)).order_by("in_transaction", "id")
    read = list(rows[: query.page_size + 1])
    page = read[: query.page_size]
    if page:
        place = Place(database, page[-1].in_transaction, page[-1].id)
    return Changes(since=place.written(), more=len(read) > len(page), results=_lines(asker, page))


def _seen(asker: Asker) -> Q:
    """Rounds of players whom one may see, and those that were such a player's until they moved."""
    players = permissions.visible_players(asker.member).values("id")
    return Q(player_id__in=players) | Q(earlier_players__overlap=ArraySubquery(players))


def _lines(asker: Asker, page: Sequence[RoundChange]) -> list[ChangedRound]:
    there = answers.visible_rounds(asker.member).filter(id__in=[one.id for one in page if not one.gone])
    rounds = {one.id: one for one in answers.round_heads(asker, list(there))}
    asker.looks_at("rounds", [one.player_id for one in page if one.id in rounds])
    return [ChangedRound(one.id, one.id not in rounds, rounds.get(one.id)) for one in page]


def _now() -> tuple[str, int, int]:
    """Which database this is, the oldest transaction under way in it, and this one (0 unless it writes).

    A server's databases share one count of transactions, and a long one of a neighbour must not hold back our news:
    what is known to run in another database is left out. One that ended since the snapshot is in no list of
    activity; it counts as ours, which only delays the news until the next question.
    """
    with connection.cursor() as cursor:
        cursor.execute(NOW)
        database, oldest, own = cursor.fetchone()
    return str(database), int(oldest), int(own)


def _place(since: str) -> Place:
    try:
        database, transaction, round_id = SIGNER.unsign_object(since)
    except signing.BadSignature:
        fault = Fault("/since", "invalid", Sentence("take it from the last answer"))
        raise invalid([fault], Sentence("The query string is not valid")) from None
    return Place(database, transaction, UUID(round_id))


OPERATION = Reading(
    name="changes",
    id="list_changes",
    path="changes",
    summary="Rounds that were posted, corrected, analysed or deleted since you asked last",
    description=(
        "For programs that keep rounds of their own. Begin without `since`, then send what the last answer said. "
        "Each round comes once, as it is now, in an order that does not change; a deleted one as `gone`, and so is one "
        "that moved to a player whom you may not see. Whom you may see changes no round: when you begin to look after "
        "somebody, or no longer do, start anew, without `since`."
    ),
    query=SinceQuery,
    answer=Changes,
    read=changes,
)
