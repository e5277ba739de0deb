"""Outstanding work: a row written in the transaction of whatever caused it."""

from __future__ import annotations

from django.db import models

from golfstats.ground.ids import new_id


class OutstandingWork(models.Model):
    """One piece of work that a worker still owes.

    The only table that holds a club's id without a policy: a sweep has to see the work of all clubs.
    It therefore holds no personal data, only what to do (``kind``) and for which row (``key``).
    """

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    club_id = models.UUIDField()
    kind = models.CharField(max_length=40)
    key = models.CharField(max_length=80)
    due_at = models.DateTimeField(null=True)
    """When a worker may take it. None: given up."""
    leased_until = models.DateTimeField(null=True)
    """Set while a worker is at it: if the worker dies, another may take it then. None: nobody is at it."""
    again_at = models.DateTimeField(null=True)
    """When it is due once more after the attempt in hand, because it was asked for again meanwhile."""
    attempts = models.PositiveSmallIntegerField(default=0)
    """How often it was begun. Counted before the work, so that work which kills its worker is counted too."""
    found = models.JSONField(null=True)
    """Counts that work which comes back by itself left at its last run."""
    version = models.PositiveIntegerField(default=1)
    """Grows when the same work is asked for again."""

    class Meta:
        constraints = [models.UniqueConstraint(fields=["club_id", "kind", "key"], name="work_asked_for_once")]
        indexes = [models.Index(fields=["due_at"])]

    def __str__(self) -> str:
        return f"{self.kind} {self.key}"


class WorkDone(models.Model):
    """How often each kind of work was begun, and how long that took: of all clubs and workers together, for ever."""

    kind = models.CharField(max_length=40, primary_key=True)
    attempts = models.PositiveBigIntegerField(default=0)
    seconds = models.FloatField(default=0.0)

    def __str__(self) -> str:
        return f"{self.kind}: {self.attempts} in {self.seconds:.0f} s"


class WorkerHeartbeat(models.Model):
    """When a worker last began a sweep: the health check looks at this and not at processes."""

    name = models.CharField(max_length=40, primary_key=True)
    beat_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.name} {self.beat_at:%Y-%m-%d %H:%M:%S}"
