from __future__ import annotations

from django.db import models

from golfstats.ground.clubs.models import DistanceUnit, Member
from golfstats.ground.walls.owned import ClubOwned, OwnedForeignKey


class ImportKind(models.TextChoices):
    SCORES = "scores"
    """A line a round, with the score of each hole."""
    SHOTS = "shots"
    """A line a shot."""


class ImportState(models.TextChoices):
    WAITING = "waiting"
    """The worker will come to it."""
    CHECKING = "checking"
    """Every line is looked at; nothing is saved yet."""
    SAVING = "saving"
    """No faults were found; its rounds are being saved."""
    DONE = "done"
    """All its rounds are saved."""
    REFUSED = "refused"
    """The file has faults: nothing was saved."""
    FAILED = "failed"
    """Something else went wrong: nothing was saved either."""


class Import(ClubOwned):
    """A file of rounds on its way in: how far the worker is with it, and what it found."""

    kind = models.CharField(max_length=10, choices=ImportKind)
    file = models.TextField()
    """The CSV text; emptied when the import is done."""
    columns = models.JSONField(default=dict)
    """Name of the file's column for each of ours."""
    unit = models.CharField(max_length=10, choices=DistanceUnit)
    state = models.CharField(max_length=10, choices=ImportState, default=ImportState.WAITING)
    rounds = models.PositiveIntegerField(default=0)
    """Rounds in the file."""
    checked = models.PositiveIntegerField(default=0)
    """How many of them have been looked at."""
    added = models.PositiveIntegerField(default=0)
    already_there = models.PositiveIntegerField(default=0)
    faults = models.JSONField(default=list)
    reason = models.CharField(max_length=500, blank=True)
    """Why it failed."""
    started_by = OwnedForeignKey(Member, on_delete=models.CASCADE, related_name="+")
    started_at = models.DateTimeField(auto_now_add=True)
    finished_at = models.DateTimeField(null=True, blank=True)

    class Meta(ClubOwned.Meta):
        indexes = [models.Index(fields=["club", "-started_at"])]

    def __str__(self) -> str:
        return f"{self.kind}: {self.state}"
