"""What may be asked and changed of players and squads."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated
from uuid import UUID

from django.db.models import F
from pydantic import Field

from courses.layout.models import Gender
from golfstats.ground.clubs.models import Role
from golfstats.ground.inputs import Body
from golfstats.ground.names import Name
from golfstats.ground.operations import Asker, Change, Gathering, Listing, Reading, Subject
from golfstats.ground.resources import Writes, resource
from players.people import answers, permissions, services
from players.people.announcing import CONSENT_CHANGED, PLAYER_CHANGED, SQUAD_CHANGED, SQUAD_DELETED
from players.people.models import Player, Squad

PLAYER = Subject(
    word="player",
    parameter="player_id",
    root="player",
    model=Player,
    visible=lambda asker: permissions.visible_players(asker.member),
    find=lambda asker, player_id: permissions.visible_player(asker.member, player_id),
    head=answers.Player,
    heads=answers.player_heads,
    whose=lambda player: player.id,
)
SQUAD = Subject(
    word="squad",
    parameter="squad_id",
    root="squad",
    model=Squad,
    visible=lambda asker: permissions.visible_squads(asker.member),
    head=answers.Squad,
    heads=answers.squad_heads,
    whose=lambda squad: squad.id,
)
PLAYER_ALONE = replace(PLAYER, root="")
SQUAD_ALONE = replace(SQUAD, root="")
"""Of answers too costly to be given for many at once: GraphQL then asks at its root."""


GUARDED = Subject(
    word="player",
    parameter="player_id",
    model=Player,
    visible=lambda asker: permissions.managed_players(asker.member),
    head=answers.Guarded,
    heads=answers.guarded_players,
)
"""A player as whoever records what a guardian said sees them: none of their golf."""


CONSENTED = replace(GUARDED, visible=lambda asker: permissions.players_with_readable_consents(asker.member))


class Guardian(Body):
    """What a guardian said; what is left out is taken back."""

    under_age: bool = Field(description="Until somebody consents, only the approved coach reads their golf.")
    consent_by: Annotated[str, Field(max_length=120, description="Name of the guardian who consents.")] = ""
    approved_coach: UUID | None = Field(
        None, description="A coach who may read their golf before there is a consent."
    )


class NewPlayer(Body):
    name: Name
    """Once in the club."""
    rating_gender: Gender
    """By which ratings the player is rated."""
    member: UUID | None = Field(None, description="The member who signs in as this player.")


class PlayerChanges(Body):
    name: Name | None = None
    """Once in the club."""
    rating_gender: Gender | None = None
    """By which ratings the player is rated."""
    member: UUID | None = None
    """Id of the member who is this player."""


class NewSquad(Body):
    name: Name
    """Once in the club."""
    coaches: list[UUID] = []
    """Ids of members."""
    players: list[UUID] = []
    """Ids of players."""


class SquadChanges(Body):
    name: Name | None = None
    """Once in the club."""
    coaches: list[UUID] | None = Field(None, description="Replaces those there were.")
    players: list[UUID] | None = Field(None, description="Replaces those there were.")


def _add_player(_: Asker, new: NewPlayer) -> Player:
    return services.save_player(Player(), new.name, new.rating_gender, new.member)


def _change_player(_: Asker, player: Player, changes: PlayerChanges) -> Player:
    return services.save_player(player, changes.name, changes.rating_gender, changes.member)


def _record_guardian(asker: Asker, player: Player, given: Guardian) -> Player:
    return services.record_guardian(
        asker.member,
        player,
        under_age=given.under_age,
        consent_by=given.consent_by,
        coach_id=given.approved_coach,
    )


def _add_squad(_: Asker, new: NewSquad) -> Squad:
    return services.save_squad(Squad(), new.name, new.coaches, new.players)


def _change_squad(_: Asker, squad: Squad, changes: SquadChanges) -> Squad:
    return services.save_squad(squad, changes.name, changes.coaches, changes.players)


def _delete_squad(_: Asker, squad: Squad) -> None:
    services.delete_squad(squad)


OPERATIONS = [
    Reading(
        name="me",
        id="read_me",
        path="me",
        field="me",
        summary="You, as a member of the club",
        answer=answers.Me,
        read=answers.me,
    ),
    *resource(
        PLAYER,
        plural="players",
        path="players",
        order=("name", "id"),
        roles=(Role.MANAGER,),
        lists="Players that you may see, by name",
        reads="A player",
        add=Writes(
            "A new player, with or without a sign-in (managers)",
            _add_player,
            NewPlayer,
            sends=(PLAYER_CHANGED,),
        ),
        change=Writes("Change a player (managers)", _change_player, PlayerChanges, sends=(PLAYER_CHANGED,)),
    ),
    Listing(
        name="under-age-players",
        id="list_under_age_players",
        path="players/under-age",
        field="under_age_players",
        summary="Players under age, with what their guardians said (managers)",
        roles=(Role.MANAGER,),
        rows=lambda asker: permissions.managed_players(asker.member).filter(under_age=True),
        of=GUARDED,
        order=("name", "id"),
        is_dated=False,
    ),
    Change(
        name="player-guardian",
        id="record_guardian",
        path="players/<uuid:player_id>/guardian",
        field="record_guardian",
        verb="PUT",
        summary="Record that a player is under age, and what their guardian said (managers)",
        description=(
            "Until `consent_by` is recorded nobody but the player and the approved coach reads their golf, managers "
            "included; their squads' tables leave them out. The day and who recorded it are kept."
        ),
        about=GUARDED,
        roles=(Role.MANAGER,),
        body=Guardian,
        sends=(CONSENT_CHANGED,),
        do=_record_guardian,
        of=GUARDED,
    ),
    Gathering(
        name="player-consents",
        id="list_consents_of_player",
        path="players/<uuid:player_id>/consents",
        field="player_consents",
        summary="What the player's guardians consented to, and when they took it back (the player, managers)",
        description="Newest first. A consent that was taken back stays in the list, with the day.",
        about=CONSENTED,
        tells="",
        line=answers.Consent,
        gather=answers.consents,
        longest=100,
    ),
    Gathering(
        name="player-readers",
        id="list_readers_of_player",
        path="players/<uuid:player_id>/readers",
        field="player_readers",
        summary="Who else read the player's golf, what of it and through which door (the player, managers)",
        description=(
            "A line for each reader, day, part (`analysis`, `rounds`, `shots`) and door (`rest`, `graphql`, "
            "`pages`), newest first, the latest 500. What one reads of oneself is not kept."
        ),
        about=PLAYER_ALONE,
        tells="",
        line=answers.ReadOfGolf,
        gather=answers.golf_reads,
        longest=100,
    ),
    *resource(
        SQUAD,
        plural="squads",
        path="squads",
        order=("name", "id"),
        roles=(Role.MANAGER,),
        lists="Squads that you look after, by name",
        reads="A squad",
        add=Writes("A new squad (managers)", _add_squad, NewSquad, sends=(SQUAD_CHANGED,)),
        change=Writes("Change a squad (managers)", _change_squad, SquadChanges, sends=(SQUAD_CHANGED,)),
        delete=Writes("Dissolve a squad; its players stay (managers)", _delete_squad, sends=(SQUAD_DELETED,)),
    ),
    Listing(
        name="squad-players",
        id="list_players_of_squad",
        path="",
        field="players",
        summary="The squad's players, by name",
        about=SQUAD,
        rows=lambda asker: permissions.visible_players(asker.member).annotate(
            squad_id=F("squad_places__squad_id")
        ),
        parent="squad_id",
        of=PLAYER,
        order=("name", "id"),
        is_dated=False,
    ),
]
