from __future__ import annotations

from django.db import models

from courses.models import Gender
from golfstats.clubs.models import Member
from golfstats.clubs.owned import ClubOwned, OwnedForeignKey


class Player(ClubOwned):
    """Someone whose golf is recorded. May exist without a sign-in: a coach posts for them."""

    name = models.CharField(max_length=120)
    rating_gender = models.CharField(max_length=10, choices=Gender)
    """Which of a tee's ratings, pars and stroke indexes apply."""
    member = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["club", "member"], name="member_is_one_player"),
            models.UniqueConstraint(fields=["club", "name"], name="player_name_once"),
        ]

    def __str__(self) -> str:
        return self.name


class Squad(ClubOwned):
    """Players that one coach, or several, look after."""

    name = models.CharField(max_length=120)

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "name"], name="squad_name_once")]

    def __str__(self) -> str:
        return self.name


class SquadPlayer(ClubOwned):
    squad = OwnedForeignKey(Squad, on_delete=models.CASCADE, related_name="squad_players")
    player = OwnedForeignKey(Player, on_delete=models.CASCADE, related_name="squad_places")

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["club", "squad", "player"], name="player_once_in_a_squad")
        ]

    def __str__(self) -> str:
        return f"{self.player_id} in {self.squad_id}"


class SquadCoach(ClubOwned):
    squad = OwnedForeignKey(Squad, on_delete=models.CASCADE, related_name="squad_coaches")
    member = OwnedForeignKey(Member, on_delete=models.CASCADE, related_name="coached_squads")

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["club", "squad", "member"], name="coach_once_in_a_squad")
        ]

    def __str__(self) -> str:
        return f"{self.member_id} coaches {self.squad_id}"
