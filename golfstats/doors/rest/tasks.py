"""Answers kept for repeated requests are forgotten after a while."""

from __future__ import annotations

from django.utils import timezone

from golfstats.doors.rest.idempotency import FORGET_ANSWERS, KEPT
from golfstats.doors.rest.models import AnsweredRequest
from golfstats.ground.outbox import work
from players import kinds


@work.handler(FORGET_ANSWERS)
def forget_answers(key: str) -> work.Later | None:
    """Those of the club in scope; comes back while there are younger ones."""
    del key
    AnsweredRequest.objects.filter(answered_at__lt=timezone.now() - KEPT).delete()
    oldest = AnsweredRequest.objects.order_by("answered_at").first()
    return None if oldest is None else work.Later(oldest.answered_at + KEPT, {})


@work.handler(kinds.FORGET_ANSWERS_ABOUT)
def forget_answers_about(player: str) -> None:
    """Those that name somebody who erased themselves."""
    AnsweredRequest.objects.extra(
        where=["position(%s::bytea in body) > 0"], params=[player.encode()]
    ).delete()
