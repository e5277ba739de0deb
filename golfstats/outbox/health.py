"""Whether the service works, for whoever runs it: counts and ages over all clubs, nothing about anybody."""

from __future__ import annotations

import logging
from datetime import datetime

from django.db import DatabaseError
from django.db.models import Count, Min, Q
from django.http import HttpRequest, JsonResponse
from django.utils import timezone

from golfstats.outbox.models import OutstandingWork, WorkerHeartbeat
from golfstats.outbox.worker import HEARTBEAT

logger = logging.getLogger(__name__)

HEARTBEAT_STALE_SECONDS = 180.0
"""Six sweeps missed. Celery can look alive and receive nothing after Redis came back; this notices."""


def health(request: HttpRequest) -> JsonResponse:
    """200 if the database answers and a worker swept lately, else 503; the figures behind it in the body."""
    del request
    try:
        heartbeat = WorkerHeartbeat.objects.filter(name=HEARTBEAT).first()
        work = OutstandingWork.objects.aggregate(
            outstanding=Count("id", filter=Q(due_at__isnull=False)),
            given_up=Count("id", filter=Q(due_at__isnull=True)),
            oldest_due=Min("due_at"),
        )
    except DatabaseError:
        logger.exception("the health check cannot reach the database")
        return JsonResponse({"database": "unreachable"}, status=503)
    now = timezone.now()
    beat_age = _seconds_since(heartbeat.beat_at if heartbeat else None, now)
    worker_lives = beat_age is not None and beat_age <= HEARTBEAT_STALE_SECONDS
    body = {
        "database": "ok",
        "worker": "ok" if worker_lives else "no sweep lately",
        "heartbeat_age_seconds": beat_age,
        "outstanding": work["outstanding"],
        "given_up": work["given_up"],
        "oldest_due_seconds": _seconds_since(work["oldest_due"], now),
    }
    return JsonResponse(body, status=200 if worker_lives else 503)


def _seconds_since(moment: datetime | None, now: datetime) -> float | None:
    """None without a moment; 0 for one that is still to come."""
    if moment is None:
        return None
    return round(max(0.0, (now - moment).total_seconds()), 1)
