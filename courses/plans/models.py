"""What the club has been told of its holes' shapes."""

from __future__ import annotations

from django.db import models

from courses.layout.models import Hole
from golfstats.ground.clubs.models import Member
from golfstats.ground.walls.owned import ClubOwned, OwnedForeignKey


class HoleShape(ClubOwned):
    """A hole as described from one tee: by a map, by words, or by both (the map counts)."""

    hole = OwnedForeignKey(Hole, on_delete=models.CASCADE, related_name="shapes")
    words = models.CharField(max_length=500, blank=True)
    """As in "dogleg right 240, bunker left 230-260"; distances in yards."""
    map = models.JSONField(null=True, blank=True)
    """A GeoJSON feature collection (RFC 7946) as it was given."""
    entered_by = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, related_name="+")
    changed_at = models.DateTimeField(auto_now=True)

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "hole"], name="one_shape_a_hole")]

    def __str__(self) -> str:
        return self.words or "map"
