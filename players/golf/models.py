"""What the club's own golf taught it."""

from __future__ import annotations

from django.db import models

from golfstats.ground.walls.owned import ClubOwned


class ClubBenchmark(ClubOwned):
    """This club's own golfers as a benchmark: fitted parameters, how many shots they rest on, when."""

    document = models.JSONField()
    shots = models.PositiveIntegerField()
    fitted_at = models.DateTimeField(auto_now=True)

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club"], name="one_own_benchmark")]

    def __str__(self) -> str:
        return f"fitted {self.fitted_at:%Y-%m-%d} from {self.shots} shots"
