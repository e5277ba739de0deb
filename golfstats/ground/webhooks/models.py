from __future__ import annotations

from django.contrib.postgres.fields import ArrayField
from django.db import models

from golfstats.ground.clubs.models import Member
from golfstats.ground.walls.owned import ClubOwned, OwnedForeignKey


class Destination(ClubOwned):
    """An address that is told what happens: the club's, or one of a member's own."""

    owner = OwnedForeignKey(Member, on_delete=models.CASCADE, null=True, blank=True, related_name="+")
    """Whose own it is: it goes with the membership. Nobody's: the club's, and its managers look after it."""
    url = models.URLField(max_length=500)
    secret = models.CharField(max_length=80)
    old_secret = models.CharField(max_length=80, db_default="", default="", blank=True)
    """The one before, which signs as well until ``old_secret_until``."""
    old_secret_until = models.DateTimeField(null=True, blank=True)
    happenings = ArrayField(models.CharField(max_length=30))
    """Kinds of ``golfstats.ground.events``."""
    active = models.BooleanField(default=True)
    created_at = models.DateTimeField(auto_now_add=True)
    failures = models.PositiveIntegerField(default=0, db_default=0)
    """Attempts in a row that did not arrive."""
    paused_until = models.DateTimeField(null=True, blank=True)
    """After too many of them nothing is tried until then."""

    def __str__(self) -> str:
        return self.url


class Delivery(ClubOwned):
    """One message to one destination, with the log of its attempts."""

    destination = OwnedForeignKey(Destination, on_delete=models.CASCADE, related_name="deliveries")
    happening = models.CharField(max_length=30)
    body = models.JSONField()
    created_at = models.DateTimeField(auto_now_add=True)
    delivered_at = models.DateTimeField(null=True, blank=True)
    given_up_at = models.DateTimeField(null=True, blank=True)
    """When the last attempt had failed, or the destination was switched off."""
    attempts = models.JSONField(default=list)
    """One entry an attempt: ``at``, and ``status`` or ``error``."""

    class Meta(ClubOwned.Meta):
        indexes = [models.Index(fields=["club", "-created_at"])]

    def __str__(self) -> str:
        return f"{self.happening} to {self.destination_id}"

    @property
    def state(self) -> str:
        """``waiting`` (for the first or the next attempt), ``delivered`` or ``failed``."""
        if self.delivered_at is not None:
            return "delivered"
        return "waiting" if self.given_up_at is None else "failed"
