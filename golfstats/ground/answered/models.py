"""Answers already given under an ``Idempotency-Key``."""

from __future__ import annotations

from django.contrib.postgres.fields import ArrayField
from django.db import models

from golfstats.ground.clubs.models import Member
from golfstats.ground.walls.owned import ClubOwned, OwnedForeignKey


class AnsweredRequest(ClubOwned):
    """The answer to a write, kept so that a repeated request gets it again instead of writing twice.

    Saved in the same transaction as the write itself.
    """

    member = OwnedForeignKey(Member, on_delete=models.CASCADE, related_name="+")
    key = models.CharField(max_length=200)
    fingerprint = models.CharField(max_length=64)
    """SHA-256 of method, path and body."""
    role = models.CharField(max_length=20, blank=True, db_default="", default="")
    """What the member was when it was answered."""
    sight = ArrayField(models.UUIDField(), blank=True, db_default=[], default=list)
    """Players of whom it may tell, where nothing else says of whom: all whom the member could see."""
    status = models.PositiveSmallIntegerField()
    body = models.BinaryField()
    headers = models.JSONField(default=dict)
    answered_at = models.DateTimeField(auto_now_add=True)

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "member", "key"], name="key_answered_once")]

    def __str__(self) -> str:
        return self.key
