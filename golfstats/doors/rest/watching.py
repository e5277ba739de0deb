"""What whoever runs the service sees of it: a line for each request, and figures for Prometheus."""

from __future__ import annotations

import hmac
import logging
import os
import time
from collections.abc import Callable, Iterator

from django.conf import settings
from django.db import connection
from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone
from prometheus_client import CONTENT_TYPE_LATEST, CollectorRegistry, Counter, Histogram, generate_latest
from prometheus_client.core import GaugeMetricFamily, Metric
from prometheus_client.multiprocess import MultiProcessCollector
from prometheus_client.registry import REGISTRY, Collector

from golfstats.ground.ids import new_id
from golfstats.ground.logs import request_id
from golfstats.ground.outbox.health import oldest_due, outstanding_by_kind
from golfstats.ground.outbox.work import handlers

access = logging.getLogger("golfstats.access")

REQUESTS = Counter("golfstats_requests", "Requests answered", ["address", "method", "status"])
SECONDS = Histogram(
    "golfstats_request_seconds",
    "Time to answer",
    ["address"],
    buckets=(0.01, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 10),
)


class Watch:
    """Gives each request an id, and notes how it was answered: by its kind of address, never by what it named."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        token = request_id.set(str(new_id()))
        began = time.perf_counter()
        try:
            response = self.get_response(request)
            response.headers.setdefault("X-Request-Id", request_id.get())
            self._note(request, response, time.perf_counter() - began)
        finally:
            request_id.reset(token)
        return response

    def _note(self, request: HttpRequest, response: HttpResponse, seconds: float) -> None:
        matched = request.resolver_match
        address = (matched.url_name if matched is not None else None) or "nowhere"
        method = request.method if request.method in {"GET", "POST", "PUT", "PATCH", "DELETE"} else "other"
        REQUESTS.labels(address, method, str(response.status_code)).inc()
        SECONDS.labels(address).observe(seconds)
        facts = {
            "address": address,
            "method": method,
            "status": response.status_code,
            "milliseconds": round(1000 * seconds, 1),
        }
        access.info("%s %s %s", method, address, response.status_code, extra={"facts": facts})


class WorkFigures(Collector):
    """Read from the outbox when asked, so that they hold for every worker there is."""

    def collect(self) -> Iterator[Metric]:
        now = timezone.now()
        outstanding = GaugeMetricFamily(
            "golfstats_work_outstanding", "Pieces that are due", labels=["queue", "kind"]
        )
        given_up = GaugeMetricFamily("golfstats_work_given_up", "Pieces left alone", labels=["queue", "kind"])
        delay = GaugeMetricFamily(
            "golfstats_work_delay_seconds",
            "How long the oldest has been due",
            labels=["queue", "kind", "club"],
        )
        for kind, waiting, left in outstanding_by_kind(now):
            labels = [_queue_of(kind), kind]
            outstanding.add_metric(labels, waiting)
            given_up.add_metric(labels, left)
        for kind, club_id, since in oldest_due(now):
            delay.add_metric([_queue_of(kind), kind, str(club_id)], (now - since).total_seconds())
        yield from (outstanding, given_up, delay, _connections())


def _queue_of(kind: str) -> str:
    return handlers[kind].queue.value if kind in handlers else "unknown"


def _connections() -> GaugeMetricFamily:
    found = GaugeMetricFamily("golfstats_database_connections", "To this database", labels=["state"])
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT COALESCE(state, 'unknown'), count(*) FROM pg_stat_activity"
            " WHERE datname = current_database() GROUP BY 1"
        )
        for state, number in cursor.fetchall():
            found.add_metric([state], number)
    return found


def metrics(request: HttpRequest) -> HttpResponse:
    """For whoever knows ``METRICS_TOKEN``; without such a setting there is no such address."""
    given = request.headers.get("Authorization", "").removeprefix("Bearer ")
    if not settings.METRICS_TOKEN or not hmac.compare_digest(given.encode(), settings.METRICS_TOKEN.encode()):
        raise Http404
    registry: CollectorRegistry = REGISTRY
    if os.environ.get("PROMETHEUS_MULTIPROC_DIR"):
        registry = CollectorRegistry()
        MultiProcessCollector(registry)  # type: ignore[no-untyped-call]  # adds up what each process counted
    work = CollectorRegistry()
    work.register(WorkFigures())
    return HttpResponse(generate_latest(registry) + generate_latest(work), content_type=CONTENT_TYPE_LATEST)
