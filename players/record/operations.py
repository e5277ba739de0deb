"""What a person may do with what is kept of them. Nobody else may, whatever their role, but for whom has no sign-in."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from pydantic import Field

from golfstats.ground.clubs.announcing import MEMBER_LEFT
from golfstats.ground.clubs.models import Role
from golfstats.ground.inputs import Body
from golfstats.ground.members.operations import own_membership
from golfstats.ground.members.questions import AccountBody
from golfstats.ground.operations import Asker, Change, Download, Operation, Query, Reading
from golfstats.ground.standing import Person, Standing
from golfstats.ground.walls.scope import club_scope
from players.people.announcing import PLAYER_ERASED
from players.people.models import Player
from players.people.operations import GUARDED
from players.record import answers, services
from players.record.erasing import Erasure, erase, erase_without_sign_in, knows_password

ZIP = "application/zip"
FILE_NAME = "golf-record.zip"
BEGUN = 202


def _ask(asker: Asker) -> answers.Export:
    return answers.export_of(services.ask_for_export(asker.member))


def _file(asker: Asker, _: Query) -> Iterator[bytes]:
    return iter([answers.own_file(asker)])


class OwnClub(Query):
    slug: str
    """The club, as in its address."""


class Confirmation(AccountBody):
    """What only the person themself types."""

    name: Annotated[str, Field(max_length=120, description="Your name in the club, as it stands there.")]
    password: Annotated[str, Field(max_length=200)] = ""
    """Yours, to be sure that it is you."""


def _erase(person: Person, given: Confirmation, query: OwnClub) -> Erasure:
    member = own_membership(person, query.slug)
    known = knows_password(person.user, given.password)
    with club_scope(member.club.id):
        return erase(member, given.name, knows_password=known)


class PlayerConfirmation(Body):
    """What only somebody types who means this player."""

    name: Annotated[str, Field(max_length=120, description="The player's name, as it stands in the club.")]


def _erase_player(_: Asker, player: Player, given: PlayerConfirmation) -> Erasure:
    return erase_without_sign_in(player, given.name)


OPERATIONS: list[Operation] = [
    Change(
        name="player-erasure",
        id="erase_player",
        path="players/<uuid:player_id>/erasure",
        field="erase_player",
        verb="POST",
        summary="Erase a player without a sign-in, for good, because they asked for it (managers)",
        description=(
            "For whom others entered rounds, and for players under age whose guardian asks. Everything about them "
            "goes; rounds go or stay under no name, as the club's `erased_golf` says. The answer says what is kept and "
            "why: tell them. Who signs in erases themselves."
        ),
        about=GUARDED,
        roles=(Role.MANAGER,),
        body=PlayerConfirmation,
        sends=(PLAYER_ERASED,),
        do=_erase_player,
        gives=Erasure,
        status=200,
    ),
    Change(
        name="erasure",
        id="erase_myself",
        path="clubs/<slug:slug>/erasure",
        verb="POST",
        summary="Erase yourself from a club, for good",
        description=(
            "Membership, notes, goals, plans and everything else about you goes; rounds go or stay under no name, as "
            "the club's `erased_golf` says. With your last club your sign-in goes as well. The answer says what is "
            "kept and why."
        ),
        standing=Standing.PERSON,
        guessable=True,
        query=OwnClub,
        body=Confirmation,
        sends=(MEMBER_LEFT, PLAYER_ERASED),
        do=_erase,
        gives=Erasure,
        status=200,
    ),
    Reading(
        name="own-record",
        id="read_own_record",
        path="me/record",
        field="own_record",
        summary="How far the file with everything that the club keeps of you is",
        answer=answers.Export,
        read=answers.own_export,
    ),
    Change(
        name="own-record",
        id="ask_for_own_record",
        path="me/record",
        field="ask_for_own_record",
        verb="POST",
        summary="Ask for everything that the club keeps of you, as one file",
        description=(
            "A worker writes a zip of JSON and CSV, with a page that says what is what; it takes the place of the "
            "one before and is kept for a week. Nobody but you can fetch it."
        ),
        do=_ask,
        gives=answers.Export,
        status=BEGUN,
    ),
    Download(
        name="own-record-file",
        id="read_own_record_file",
        path="me/record/file",
        summary="The file with everything that the club keeps of you",
        description=(
            "Not while you play a round that counts: it holds the pictures of your plans, whose greens may be larger "
            "than Rule 4.3 allows."
        ),
        pieces=_file,
        media_type=ZIP,
        file_name=FILE_NAME,
    ),
]
