"""Whether the service works, for whoever runs it: counts and ages over all clubs, nothing about anybody."""

from __future__ import annotations

import logging
from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from django.conf import settings
from django.db import Error, connection
from django.db.models import Count, IntegerField, Min, Q, Sum
from django.db.models.fields.json import KT
from django.db.models.functions import Cast
from django.http import HttpRequest, JsonResponse
from django.utils import timezone
from redis import Redis
from redis.exceptions import RedisError

from golfstats.ground.outbox.models import OutstandingWork, WorkDone, WorkerHeartbeat
from golfstats.ground.outbox.work import Queue

logger = logging.getLogger(__name__)

HEARTBEAT_STALE_SECONDS = 180.0
"""Six sweeps missed. Celery can look alive and receive nothing after Redis came back; this notices."""


def health(request: HttpRequest) -> JsonResponse:
    """200 if the database answers and a worker swept lately, else 503; the figures behind it in the body."""
    del request
    try:
        beats = dict(WorkerHeartbeat.objects.values_list("name", "beat_at"))
        work = OutstandingWork.objects.aggregate(
            outstanding=Count("id", filter=Q(due_at__isnull=False)),
            given_up=Count("id", filter=Q(due_at__isnull=True)),
            oldest_due=Min("due_at"),
            checked=Sum(Cast(KT("found__checked"), IntegerField())),
            differ=Sum(Cast(KT("found__differ"), IntegerField())),
        )
    except Error:
        logger.exception("the health check cannot reach the database")
        return JsonResponse({"database": "unreachable"}, status=503)
    now = timezone.now()
    ages = {queue.value: _seconds_since(beats.get(queue.value), now) for queue in Queue}
    worker_lives = all(age is not None and age <= HEARTBEAT_STALE_SECONDS for age in ages.values())
    body = {
        "database": "ok",
        "worker": "ok" if worker_lives else "no sweep lately",
        "heartbeat_age_seconds": ages,
        "outstanding": work["outstanding"],
        "given_up": work["given_up"],
        "oldest_due_seconds": _seconds_since(work["oldest_due"], now),
        "figures_checked": work["checked"] or 0,
        "figures_that_differ": work["differ"] or 0,
    }
    return JsonResponse(body, status=200 if worker_lives else 503)


def outstanding_by_kind(now: datetime) -> Iterable[tuple[str, int, int]]:
    """Of each kind of work: pieces that are due, and pieces left alone."""
    return OutstandingWork.objects.values_list("kind").annotate(
        due=Count("id", filter=Q(due_at__lte=now)), left=Count("id", filter=Q(due_at=None))
    )


def oldest_due(now: datetime) -> Iterable[tuple[str, UUID, datetime]]:
    """Of each kind and club: since when the oldest piece has been due."""
    due = OutstandingWork.objects.filter(due_at__lte=now)
    return due.values_list("kind", "club_id").annotate(since=Min("due_at"))


def done_by_kind() -> Iterable[tuple[str, int, float]]:
    """Of each kind of work: how often it was begun, and how long that took in all."""
    return WorkDone.objects.values_list("kind", "attempts", "seconds").order_by("kind")


def _seconds_since(moment: datetime | None, now: datetime) -> float | None:
    """None without a moment; 0 for one that is still to come."""
    if moment is None:
        return None
    return round(max(0.0, (now - moment).total_seconds()), 1)


def live(request: HttpRequest) -> JsonResponse:
    """200 while this process answers at all: what does not is to be started anew. Asks nothing of anybody."""
    del request
    return JsonResponse({"process": "ok"})


def ready(request: HttpRequest) -> JsonResponse:
    """Whether requests should be sent here, and which part is down. Without the database nothing can be answered.

    Without the cache or the broker everything can: requests are counted in each process, and the sweep finds
    what no message told of.
    """
    del request
    parts = {
        "database": _database(),
        "cache": _redis(settings.CACHE_URL),
        "broker": _redis(settings.REDIS_URL),
    }
    return JsonResponse(parts, status=200 if parts["database"] == "ok" else 503)


def _database() -> str:
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except Error:
        return "unreachable"
    return "ok"


def _redis(url: str) -> str:
    if not url:
        return "not used"
    try:
        with Redis.from_url(url, socket_connect_timeout=1, socket_timeout=1) as server:
            server.ping()
    except (RedisError, OSError):
        return "unreachable"
    return "ok"
