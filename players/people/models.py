from __future__ import annotations

from django.db import models

from courses.layout.models import Gender
from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.walls.dated import Dated
from golfstats.ground.walls.owned import ClubOwned, OwnedForeignKey


class Player(Dated):
    """Someone whose golf is recorded. May exist without a sign-in: a coach posts for them."""

    name = models.CharField(max_length=120)
    rating_gender = models.CharField(max_length=10, choices=Gender)
    """Which of a tee's ratings, pars and stroke indexes apply."""
    member = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    created_at = models.DateTimeField(auto_now_add=True)
    under_age = models.BooleanField(default=False, db_default=False)
    """Until a guardian's consent is recorded nobody else but the approved coach reads their golf."""
    consent_by = models.CharField(max_length=120, blank=True, default="", db_default="")
    """The guardian who consented, by name."""
    consent_at = models.DateTimeField(null=True, blank=True)
    consent_recorded_by = OwnedForeignKey(
        Member, on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    approved_coach = OwnedForeignKey(
        Member, on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    """A coach whom the guardian approved of before consenting to anybody else."""
    erased_at = models.DateTimeField(null=True, blank=True)
    """When they were erased: nobody reads their golf, and it has no name any more."""

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["club", "member"], name="member_is_one_player"),
            models.UniqueConstraint(fields=["club", "name"], name="player_name_once"),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def protected(self) -> bool:
        """Under age, and no guardian has consented yet."""
        return self.under_age and self.consent_at is None


class Consent(ClubOwned):
    """That a guardian consented that the club reads a player's golf. Taken back, it is still kept that it was given."""

    player = OwnedForeignKey(Player, on_delete=models.CASCADE, related_name="consents")
    given_by = models.CharField(max_length=120)
    """The guardian, by name."""
    given_at = models.DateTimeField()
    recorded_by = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, related_name="+")
    withdrawn_at = models.DateTimeField(null=True)
    """When it was taken back, or another took its place."""
    withdrawal_recorded_by = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, related_name="+")

    def __str__(self) -> str:
        return f"{self.given_by} for {self.player_id}"


class Squad(Dated):
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


class Read(models.TextChoices):
    """What was read of a player's golf."""

    ANALYSIS = "analysis"
    """What was made of the golf: figures, trends, notes."""
    ROUNDS = "rounds"
    """Rounds with their scores."""
    SHOTS = "shots"
    """Each shot."""


class Door(models.TextChoices):
    """Through which door."""

    REST = "rest"
    """The API under /api/v1."""
    GRAPHQL = "graphql"
    """The address /graphql."""
    PAGES = "pages"
    """The pages, in a browser."""


class GolfRead(ClubOwned):
    """A day on which somebody else read a player's golf. One row however often they did."""

    player = OwnedForeignKey(Player, on_delete=models.CASCADE, related_name="golf_reads")
    reader = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, related_name="+")
    reader_name = models.CharField(max_length=120, blank=True)
    """As it was then: it stays when the member leaves. Empty once they erased themselves."""
    reader_role = models.CharField(max_length=20, choices=Role)
    what = models.CharField(max_length=10, choices=Read)
    door = models.CharField(max_length=10, choices=Door)
    read_on = models.DateField()
    """Day at the club."""
    first_at = models.DateTimeField()

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["club", "player", "reader", "read_on", "what", "door"], name="golf_read_once_a_day"
            )
        ]

    def __str__(self) -> str:
        return f"{self.reader_name} read {self.what} on {self.read_on}"


class RememberedAnswer(ClubOwned):
    """A finished answer about a player, good for as long as its stamp is (see :mod:`players.people.remembered`)."""

    player = OwnedForeignKey(Player, on_delete=models.CASCADE, related_name="remembered_answers")
    question = models.CharField(max_length=64)
    """SHA-256 of what was asked."""
    stamp = models.CharField(max_length=64)
    """SHA-256 of the versions of everything that the answer rests on."""
    body = models.TextField()
    """The answer as JSON."""

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["club", "player", "question"], name="answer_remembered_once")
        ]

    def __str__(self) -> str:
        return f"answer about {self.player_id}"
