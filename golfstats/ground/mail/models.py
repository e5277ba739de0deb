from __future__ import annotations

from django.db import models

from golfstats.ground.ids import new_id


class WaitingLetter(models.Model):
    """A letter that a worker still has to send. The row goes when it is sent, or given up.

    Belongs to no club's rows: who has forgotten a password is known by an address alone.
    """

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    sealed = models.TextField()
    """What the letter is about, under ``SECRET_KEY``: an address, and perhaps a link that lets somebody in."""
    written_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"of {self.written_at:%Y-%m-%d %H:%M}"
