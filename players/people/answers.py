"""What is told of players, squads and the member who asks."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from django.db.models import Prefetch, prefetch_related_objects

from courses.layout.models import Gender
from golfstats.ground.answers import up_to
from golfstats.ground.clubs.models import Role
from golfstats.ground.operations import Asker, Query
from players.people import models, permissions

READS_TOLD = 500


@dataclass(frozen=True)
class Named:
    """Somebody or something by name."""

    id: UUID
    name: str
    """What they are or it is called."""


@dataclass(frozen=True)
class Player:
    """A player of the club."""

    id: UUID
    name: str
    """The name that the club uses."""
    rating_gender: Gender
    """Which of a course's ratings count for them."""
    member: UUID | None
    """The member who signs in as this player, if any."""


@dataclass(frozen=True)
class Squad:
    """Players whom one or more coaches look after."""

    id: UUID
    name: str
    """What the squad is called."""
    coaches: list[Named] = up_to(5)
    """Who looks after it."""
    players: list[Named] = up_to(30)
    """By name."""


@dataclass(frozen=True)
class Me:
    """You, as a member of the club."""

    id: UUID
    name: str
    """The name that the club uses."""
    role: Role
    player: Named | None
    """The player that you are yourself."""


@dataclass(frozen=True, kw_only=True)
class Guarded:
    """A player and what their guardian said; nothing of their golf."""

    id: UUID
    name: str
    """The name that the club uses."""
    under_age: bool
    consent_by: str
    """The guardian who consented that the club reads their golf; empty where nobody has yet."""
    consent_at: dt.datetime | None
    consent_recorded_by: str | None
    """The member who recorded it."""
    approved_coach: Named | None
    """Reads their golf before there is a consent."""


@dataclass(frozen=True, kw_only=True)
class Consent:
    """That a guardian consented that the club reads a player's golf, and whether it was taken back."""

    given_by: str
    """The guardian."""
    given_at: dt.datetime
    """When it was given."""
    recorded_by: str | None
    """The member who recorded it, if they are one still."""
    withdrawn_at: dt.datetime | None
    """When it was taken back, or another took its place; nothing while it holds."""
    withdrawal_recorded_by: str | None
    """The member who recorded that, if they are one still."""


@dataclass(frozen=True, kw_only=True)
class ReadOfGolf:
    """A day on which somebody else read a player's golf."""

    by: str
    """Who read it."""
    role: Role
    """What they were then."""
    day: dt.date
    """Day at the club."""
    first_at: dt.datetime
    """When on that day for the first time."""
    what: models.Read
    """What of it."""
    door: models.Door
    """Through which door."""


def player_heads(_: Asker, players: Sequence[models.Player]) -> list[Player]:
    return [
        Player(player.id, player.name, Gender(player.rating_gender), player.member_id) for player in players
    ]


def squad_heads(_: Asker, squads: Sequence[models.Squad]) -> list[Squad]:
    """Two queries, whatever the number of squads."""
    prefetch_related_objects(
        list(squads),
        Prefetch(
            "squad_coaches", models.SquadCoach.objects.select_related("member").order_by("member__name")
        ),
        Prefetch(
            "squad_players", models.SquadPlayer.objects.select_related("player").order_by("player__name")
        ),
    )
    return [
        Squad(
            squad.id,
            squad.name,
            coaches=[Named(row.member_id, row.member.name) for row in squad.squad_coaches.all()],
            players=[Named(row.player_id, row.player.name) for row in squad.squad_players.all()],
        )
        for squad in squads
    ]


def me(asker: Asker, _: Query) -> Me:
    member = asker.member
    own = permissions.visible_players(member).filter(member=member).first()
    return Me(member.id, member.name, Role(member.role), None if own is None else Named(own.id, own.name))


def golf_reads(asker: Asker, players: Sequence[models.Player], _: Query) -> list[list[ReadOfGolf]]:
    """Newest first. One query; refused to whoever is neither the player nor a manager."""
    for player in players:
        if player.member_id != asker.member.id:
            asker.needs(Role.MANAGER)
    by_player: dict[UUID, list[ReadOfGolf]] = {player.id: [] for player in players}
    kept = models.GolfRead.objects.filter(player__in=players).order_by("-read_on", "-first_at", "what")
    for row in kept:
        line = ReadOfGolf(
            by=row.reader_name or "somebody who has erased themselves",
            role=Role(row.reader_role),
            day=row.read_on,
            first_at=row.first_at,
            what=models.Read(row.what),
            door=models.Door(row.door),
        )
        by_player[row.player_id].append(line)
    return [by_player[player.id][:READS_TOLD] for player in players]


def consents(_: Asker, players: Sequence[models.Player], __: Query) -> list[list[Consent]]:
    """Newest first. One query."""
    by_player: dict[UUID, list[Consent]] = {player.id: [] for player in players}
    kept = models.Consent.objects.filter(player__in=players).order_by("-given_at", "-id")
    for row in kept.select_related("recorded_by", "withdrawal_recorded_by"):
        consent = Consent(
            given_by=row.given_by,
            given_at=row.given_at,
            recorded_by=None if row.recorded_by is None else row.recorded_by.name,
            withdrawn_at=row.withdrawn_at,
            withdrawal_recorded_by=None
            if row.withdrawal_recorded_by is None
            else row.withdrawal_recorded_by.name,
        )
        by_player[row.player_id].append(consent)
    return [by_player[player.id] for player in players]


def guarded_players(_: Asker, players: Sequence[models.Player]) -> list[Guarded]:
    prefetch_related_objects(list(players), "consent_recorded_by", "approved_coach")
    return [_guarded(player) for player in players]


def _guarded(player: models.Player) -> Guarded:
    coach, by = player.approved_coach, player.consent_recorded_by
    return Guarded(
        id=player.id,
        name=player.name,
        under_age=player.under_age,
        consent_by=player.consent_by,
        consent_at=player.consent_at,
        consent_recorded_by=None if by is None else by.name,
        approved_coach=None if coach is None else Named(coach.id, coach.name),
    )
