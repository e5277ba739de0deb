"""A club, the people in it, and what each may do."""

from __future__ import annotations

from django.contrib.auth.models import AbstractUser
from django.db import models
from django_otp.plugins.otp_totp.models import TOTPDevice

from golfstats.ground.clubs import sealing
from golfstats.ground.ids import new_id
from golfstats.ground.walls.owned import ClubOwned, OwnedForeignKey


class User(AbstractUser):
    """A person who signs in. Belongs to no club by itself: a :class:`Member` row says where and as what."""

    language = models.CharField(max_length=10, blank=True, default="", db_default="")
    """In which pages speak to them; blank: as the browser asks."""


class Counted(models.Model):
    """How often something happened in the present window of time and in the one before: see ``ground.counts``."""

    key = models.CharField(max_length=64, primary_key=True)
    """SHA-256 of what is counted: it may hold an address or a user's name."""
    window = models.BigIntegerField()
    present = models.IntegerField()
    previous = models.IntegerField()

    def __str__(self) -> str:
        return f"{self.present} in window {self.window}"


class DistanceUnit(models.TextChoices):
    YARDS = "yards"
    """Lengths in yards, putts in feet."""
    METRES = "metres"
    """Lengths and putts in metres."""


class DateStyle(models.TextChoices):
    """How a club's pages, pictures and reports write a day."""

    DAY_MONTH = "day_month"
    """14 Nov 2026."""
    MONTH_DAY = "month_day"
    """Nov 14, 2026."""
    ISO = "iso"
    """2026-11-14, as ISO 8601 has it."""


class FirstWeekday(models.TextChoices):
    """The day on which a club's week begins."""

    MONDAY = "monday"
    """As in ISO 8601."""
    SUNDAY = "sunday"
    """As where Saturday ends the week."""


class ErasedGolf(models.TextChoices):
    """What becomes of the rounds of somebody who erases themselves."""

    GONE = "gone"
    """They are deleted with the person."""
    ANONYMOUS = "anonymous"
    """They stay in what the club's golf taught it, under no name."""


class Club(models.Model):
    """A golf club or coaching group: the tenant. Its own row is visible only in its scope."""

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    slug = models.SlugField(max_length=60, unique=True)
    name = models.CharField(max_length=120)
    time_zone = models.CharField(max_length=60, default="UTC")
    distance_unit = models.CharField(max_length=10, choices=DistanceUnit, default=DistanceUnit.YARDS)
    date_style = models.CharField(
        max_length=10, choices=DateStyle, default=DateStyle.DAY_MONTH, db_default=DateStyle.DAY_MONTH
    )
    first_weekday = models.CharField(
        max_length=10, choices=FirstWeekday, default=FirstWeekday.MONDAY, db_default=FirstWeekday.MONDAY
    )
    short_game_yards = models.FloatField(default=100.0)
    approach_band_edges = models.JSONField(default=list, blank=True)
    """Edges in yards of the approach distance bands; empty = the service's own 25-yard steps."""
    benchmark = models.CharField(max_length=40, default="peer")
    """Key of the benchmark that the stored strokes gained are measured against: usually each player's peer."""
    handicap_rules = models.JSONField(default=dict, blank=True)
    """Jurisdiction choices that differ from the published text, by field of ``HandicapRules``."""
    erased_golf = models.CharField(
        max_length=10, choices=ErasedGolf, default=ErasedGolf.GONE, db_default=ErasedGolf.GONE
    )
    rounds_kept_years = models.SmallIntegerField(default=0, db_default=0)
    """Older rounds are removed. 0: they are kept for ever."""
    demo = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(short_game_yards__gt=0), name="club_short_game_positive"
            )
        ]

    def __str__(self) -> str:
        return self.name


class Role(models.TextChoices):
    PLAYER = "player"
    """Sees and posts their own golf."""
    COACH = "coach"
    """Sees and posts the golf of the players of their squads as well."""
    GREENKEEPER = "greenkeeper"
    """Enters green work and readings; sees nobody's golf."""
    MANAGER = "manager"
    """Looks after members, courses and the club's settings, and sees its players' golf."""


class Member(ClubOwned):
    """A user's place in a club."""

    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="+")
    role = models.CharField(max_length=20, choices=Role)
    name = models.CharField(max_length=120)
    preferred_at = models.DateTimeField(null=True, blank=True)
    """When the person chose this club as the one that is meant where none is named. The latest choice counts."""

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "user"], name="member_once_in_a_club")]

    def __str__(self) -> str:
        return f"{self.name} ({self.role})"


class Invitation(ClubOwned):
    """An offer to join the club, for whoever holds its secret. Nobody is a member before accepting one."""

    secret_hash = models.CharField(max_length=64)
    """SHA-256 of the secret, which is shown once."""
    role = models.CharField(max_length=20, choices=Role)
    name = models.CharField(max_length=120)
    """What the club calls the person."""
    email = models.EmailField(blank=True)
    """Where the link was mailed; blank if the manager hands it over."""
    invited_by = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, related_name="+")
    invited_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    accepted_at = models.DateTimeField(null=True, blank=True)

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "secret_hash"], name="invitation_secret_once")]

    def __str__(self) -> str:
        return f"{self.name} ({self.role})"


class Scope(models.TextChoices):
    """What a token may be used for."""

    READ = "read"
    """Looking at what the person may see."""
    ROUNDS = "rounds"
    """That, and posting, correcting and deleting rounds."""
    EVERYTHING = "everything"
    """Whatever the person may do, the account itself included."""


class AccessToken(models.Model):
    """What its owner knows a token by, and what it may be used for."""

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    token = models.OneToOneField("knox.AuthToken", on_delete=models.CASCADE, related_name="details")
    name = models.CharField(max_length=80)
    scope = models.CharField(max_length=20, choices=Scope)
    last_used_at = models.DateTimeField(null=True)
    """To the hour: a write for every request would cost more than it tells."""

    def __str__(self) -> str:
        return f"{self.name} ({self.scope})"


class SignIn(models.Model):
    """A successful sign-in, for the person to look through."""

    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="+")
    at = models.DateTimeField(auto_now_add=True)
    address = models.CharField(max_length=64)

    class Meta:
        indexes = [models.Index(fields=["user", "-at"])]

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M} from {self.address}"


class Authenticator(TOTPDevice):
    """A telephone that shows codes; its key is stored sealed."""

    class Meta:
        proxy = True

    @property
    def bin_key(self) -> bytes:
        return sealing.opened(self.key)
