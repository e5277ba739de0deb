"""Keeping an answer for a while, finding it again, and forgetting it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import timedelta
from uuid import UUID

from django.db import connection
from django.utils import timezone

from golfstats.ground.answered.models import AnsweredRequest
from golfstats.ground.clubs.models import Member
from golfstats.ground.outbox import work
from golfstats.ground.seats import seat

FORGET_ANSWERS = "forget_answers"
FORGET_ANSWERS_ABOUT = "forget_answers_about"
"""Those that tell of a player; the key is the player's."""
KEPT = timedelta(days=2)
"""Longer than anybody's phone is without a network."""


def earlier_answer(member: Member, key: str) -> AnsweredRequest | None:
    """One at a time for each key: the second of two requests waits here, and finds the first one's answer."""
    with connection.cursor() as cursor:
        lock = f"{member.id}:{key}"
        cursor.execute("SELECT pg_try_advisory_xact_lock(hashtextextended(%s, 0))", [lock])
        if not cursor.fetchone()[0]:
            with seat(member.club.id):
                cursor.execute("SELECT pg_advisory_xact_lock(hashtextextended(%s, 0))", [lock])
    return AnsweredRequest.objects.filter(member=member, key=key).first()


def keep_answer(
    member: Member,
    key: str,
    fingerprint: str,
    status: int,
    headers: Mapping[str, str],
    body: bytes = b"",
    sight: Sequence[UUID] = (),
) -> None:
    work.ask(FORGET_ANSWERS, str(member.club.id), due_at=timezone.now() + KEPT)
    AnsweredRequest.objects.create(
        member=member,
        key=key,
        fingerprint=fingerprint,
        status=status,
        role=member.role,
        sight=list(sight),
        body=body,
        headers=headers,
    )


def forget_old_answers() -> work.Later | None:
    """Those of the club in scope; comes back while there are younger ones."""
    AnsweredRequest.objects.filter(answered_at__lt=timezone.now() - KEPT).delete()
    oldest = AnsweredRequest.objects.order_by("answered_at").first()
    return None if oldest is None else work.Later(oldest.answered_at + KEPT, {})


def forget_answers_about(player: str) -> None:
    """Those that name somebody who erased themselves. What may tell of them is no longer told, but stays done."""
    AnsweredRequest.objects.extra(
        where=["position(%s::bytea in body) > 0"], params=[player.encode()]
    ).delete()
    AnsweredRequest.objects.filter(sight__contains=[UUID(player)]).update(body=b"")
