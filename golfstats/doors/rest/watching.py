"""What whoever runs the service sees of it: a line for each request, and figures for Prometheus."""

from __future__ import annotations

import hmac
import logging
import time
from collections.abc import Callable, Iterator

from django.conf import settings
from django.db import connection
from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone
from prometheus_client import CONTENT_TYPE_LATEST, CollectorRegistry, Counter, Histogram, generate_latest
from prometheus_client.core import CounterMetricFamily, GaugeMetricFamily, Metric
from prometheus_client.multiprocess import MultiProcessCollector
from prometheus_client.registry import REGISTRY, Collector

from golfstats.ground.ids import new_id
from golfstats.ground.logs import club, request_id
from golfstats.ground.outbox.health import done_by_kind, oldest_due, outstanding_by_kind
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
        token, no_club = request_id.set(str(new_id())), club.set("")
        began = time.perf_counter()
        try:
            response = self.get_response(request)
            response.headers.setdefault("X-Request-Id", request_id.get())
            self._note(request, response, time.perf_counter() - began)
        finally:
            request_id.reset(token)
            club.reset(no_club)
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
        begun = CounterMetricFamily(
            "golfstats_work_begun", "Pieces begun, by all workers", labels=["queue", "kind"]
        )
        took = CounterMetricFamily(
            "golfstats_work_seconds", "What they took together", labels=["queue", "kind"]
        )
        for kind, attempts, seconds in done_by_kind():
            begun.add_metric([_queue_of(kind), kind], attempts)
            took.add_metric([_queue_of(kind), kind], seconds)
        yield from (outstanding, given_up, delay, begun, took, _connections())


def _queue_of(kind: str) -> str:
    return handlers[kind].queue.value if kind in handlers else "unknown"


def _connections() -> GaugeMetricFamily:
    gauge = GaugeMetricFamily("golfstats_database_connections", "To this database", labels=["state"])
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT COALESCE(state, 'unknown'), count(*) FROM pg_stat_activity"
            " WHERE datname = current_database() GROUP BY 1"
        )
        for state, number in cursor.fetchall():
            gauge.add_metric([state], number)
    return gauge


def metrics(request: HttpRequest) -> HttpResponse:
    """For whoever knows ``METRICS_TOKEN``; without such a setting there is no such address."""
    given = request.headers.get("Authorization", "").removeprefix("Bearer ")
    if not settings.METRICS_TOKEN or not hmac.compare_digest(given.encode(), settings.METRICS_TOKEN.encode()):
        raise Http404
    work = CollectorRegistry()
    work.register(WorkFigures())
    return HttpResponse(requests_counted() + generate_latest(work), content_type=CONTENT_TYPE_LATEST)


def requests_counted() -> bytes:
    """By all processes of this web where they share a folder; or else by the one that happens to be asked."""
    registry: CollectorRegistry = REGISTRY
    if settings.METRICS_FOLDER:
        registry = CollectorRegistry()
        MultiProcessCollector(registry, settings.METRICS_FOLDER)  # type: ignore[no-untyped-call]  # theirs has no types
    return generate_latest(registry)
