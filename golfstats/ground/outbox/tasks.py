"""The outbox's two Celery tasks. What they do is in ``golfstats.ground.outbox.worker``."""

from golfstats.celery import app
from golfstats.ground.outbox import worker
from golfstats.ground.outbox.work import TASK, Queue


@app.task(name=TASK)
def do(queue: str) -> None:
    """One piece of work of the queue: the message says that there is one, not which comes first."""
    worker.drain(limit=1, queue=Queue(queue))


@app.task(name="golfstats.ground.outbox.sweep")
def sweep(queue: str | None = None) -> None:
    """Whatever is due; without a queue of all of them."""
    worker.sweep(queue=None if queue is None else Queue(queue))
