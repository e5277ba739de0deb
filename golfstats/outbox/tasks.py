"""The outbox's two Celery tasks. What they do is in ``golfstats.outbox.worker``."""

from uuid import UUID

from golfstats.celery import app
from golfstats.outbox import worker


@app.task(name="golfstats.outbox.do")
def do(work_id: str) -> None:
    worker.drain(only=UUID(work_id))


@app.task(name="golfstats.outbox.sweep")
def sweep() -> None:
    worker.sweep()
