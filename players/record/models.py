from __future__ import annotations

from django.db import models

from golfstats.ground.clubs.models import Member
from golfstats.ground.walls.owned import ClubOwned, OwnedForeignKey


class ExportState(models.TextChoices):
    """How far the worker is with it."""

    PENDING = "pending"
    """The worker will come to it, or is at it."""
    DONE = "done"
    """The file can be fetched."""
    FAILED = "failed"
    """It was given up; ask for it again."""


class RecordExport(ClubOwned):
    """Everything that is kept of a person, as one file: the latest that they asked for."""

    member = OwnedForeignKey(Member, on_delete=models.CASCADE, related_name="+")
    state = models.CharField(max_length=10, choices=ExportState, default=ExportState.PENDING)
    reason = models.CharField(max_length=500, blank=True)
    """Why it failed."""
    asked_at = models.DateTimeField()
    finished_at = models.DateTimeField(null=True)
    file = models.BinaryField(null=True)
    """A zip; taken away some days after it was made."""
    tells_of = models.UUIDField(null=True)
    """The player whom the member was when it was written."""
    size = models.PositiveIntegerField(default=0)
    """Bytes of the file."""

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "member"], name="one_export_a_member")]

    def __str__(self) -> str:
        return f"record of {self.member_id}: {self.state}"
