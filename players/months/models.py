from __future__ import annotations

from django.contrib.postgres.fields import ArrayField
from django.db import models

from golfstats.ground.clubs.models import Member
from golfstats.ground.walls.owned import ClubOwned, OwnedForeignKey
from players.people.models import Player, Squad


class ReportState(models.TextChoices):
    """How far the worker is with it."""

    PENDING = "pending"
    """The worker will come to it, or is at it."""
    DONE = "done"
    """The file can be fetched."""
    FAILED = "failed"
    """It was given up, for the reason that is told beside it."""


class MonthReport(ClubOwned):
    """A month of a player's or a squad's golf on paper, for the member who asked for it."""

    asked_by = OwnedForeignKey(Member, on_delete=models.CASCADE, related_name="+")
    player = OwnedForeignKey(Player, on_delete=models.CASCADE, null=True, related_name="month_reports")
    squad = OwnedForeignKey(Squad, on_delete=models.CASCADE, null=True, related_name="+")
    """Of one of the two."""
    month = models.DateField()
    """Its first day."""
    to_be_mailed = models.BooleanField(default=False)
    state = models.CharField(max_length=10, choices=ReportState, default=ReportState.PENDING)
    reason = models.CharField(max_length=500, blank=True)
    """Why it failed."""
    asked_at = models.DateTimeField()
    finished_at = models.DateTimeField(null=True)
    file = models.BinaryField(null=True)
    """A PDF; taken away some days after it was made."""
    size = models.PositiveIntegerField(default=0)
    """Bytes of the file."""
    tells_of = ArrayField(models.UUIDField(), default=list)
    """Ids of the players whose golf is in the file: it is given to nobody who may not read each of them now."""

    class Meta(ClubOwned.Meta):
        indexes = [models.Index(fields=["club", "asked_by", "-id"], name="month_reports_of_a_member")]

    def __str__(self) -> str:
        return f"{self.month:%Y-%m}: {self.state}"
