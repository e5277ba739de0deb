"""What may be asked of rounds, and how they are posted and corrected."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from typing import Annotated, Any
from uuid import UUID

from django.conf import settings
from pydantic import Field

from golfstats.ground import inputs
from golfstats.ground.inputs import Body
from golfstats.ground.operations import (
    Asker,
    Change,
    Done,
    Gathering,
    Listing,
    Operation,
    Query,
    Reading,
    Subject,
)
from golfstats.ground.stretches import Column
from players.people.operations import PLAYER
from players.rounds import answers, bag, changes, many, services
from players.rounds.announcing import ROUND_CHANGED, ROUND_DELETED, ROUND_POSTED
from players.rounds.checking.warnings import Stored, settled
from players.rounds.input import RoundChanges, RoundInput, RoundText
from players.rounds.lines import PLAIN
from players.rounds.models import AnalysisState, Round
from players.rounds.notation import GRAMMAR

TEXT = "text/plain"
"""Media type of the compact notation."""

ROUND = Subject(
    word="round",
    parameter="round_id",
    root="round",
    model=Round,
    visible=lambda asker: answers.visible_rounds(asker.member),
    head=answers.Round,
    heads=answers.round_heads,
    plain=PLAIN,
    whose=lambda round_: round_.player_id,
    tells="rounds",
)
ROUND_ALONE = replace(ROUND, root="")
"""Of answers too costly to be given for many rounds at once: GraphQL then asks at its root."""
ROUND_TO_CHANGE = replace(ROUND, root="", visible=lambda asker: answers.changeable_rounds(asker.member))


class Dismissed(Body):
    warnings: list[Annotated[str, Field(max_length=20)]] = Field(
        max_length=200, description="Ids of all that count as dismissed."
    )


class OfPlayersRounds(Query):
    """Which rounds of a list."""

    course: Annotated[UUID | None, Column("tee_set__course_id")] = None
    """Id of the course."""
    tee: Annotated[UUID | None, Column("tee_set_id")] = None
    """Id of the tee."""
    played_from: Annotated[dt.date | None, Column("played_on__gte")] = None
    """First day."""
    played_to: Annotated[dt.date | None, Column("played_on__lte")] = None
    """Last day."""
    counting: Annotated[bool | None, Column("counting")] = None
    """Only those to be counted for handicap, or only the others."""
    analysis: Annotated[AnalysisState | None, Column("analysis")] = None
    """How far the worker is with them."""


class WhichRounds(OfPlayersRounds):
    player: Annotated[UUID | None, Column("player_id")] = None
    """Id of the player."""


def from_notation(body: bytes, _: str) -> RoundInput:
    """A round that is posted as text."""
    return services.round_of_text(inputs.decoded(body))


def _version(round_: Round) -> int:
    return round_.version


def _posted(round_: Round) -> Done:
    return Done(round_, round_.version, "round", {"round_id": round_.id})


def _post(asker: Asker, posted: RoundInput) -> Done:
    return _posted(services.post_round(asker.member, posted))


def _put(asker: Asker, round_id: UUID, posted: RoundInput) -> Done:
    services.put_round(asker.member, round_id, posted)
    return replace(_posted(ROUND.one(asker, {"round_id": round_id})), status=201)


def _is_pending(places: Mapping[str, Any]) -> bool:
    return Round.objects.filter(id=places["round_id"], analysis=AnalysisState.PENDING).exists()


def _post_text(asker: Asker, text: RoundText) -> Done:
    return _post(asker, services.round_of_text(text.notation))


def _check(asker: Asker, posted: RoundInput) -> answers.CheckedRound:
    (card,) = services.checked_cards(asker.member, [posted])
    return answers.checked(card, posted.unit or asker.distance_unit)


def _check_text(asker: Asker, text: RoundText) -> answers.CheckedRound:
    return _check(asker, services.round_of_text(text.notation))


def _dismiss(_: Asker, round_: Round, given: Dismissed) -> Round:
    return services.dismiss_warnings(round_, given.warnings)


def _replace(asker: Asker, round_: Round, posted: RoundInput, keep: Sequence[Stored] = ()) -> Done:
    changed = services.replace_round(asker.member, round_, posted, keep)
    return Done(changed, changed.version)


def _replace_text(asker: Asker, round_: Round, text: RoundText) -> Done:
    return _replace(asker, round_, services.round_of_text(text.notation))


def _correct(asker: Asker, round_: Round, changes: RoundChanges) -> Done:
    """What is given replaces what is there; without another unit the present lengths are the club's."""
    answers.load_shots([round_])
    present = asdict(answers.as_posted(round_, changes.unit or asker.distance_unit))
    corrected = inputs.checked(RoundInput, present | changes.model_dump(exclude_unset=True))
    keep = () if "holes" in changes.model_fields_set else settled(round_.warnings)
    return _replace(asker, round_, corrected, keep)


def _delete(_: Asker, round_: Round) -> None:
    services.delete_round(round_)


def _analyse(_: Asker, round_: Round) -> Round:
    services.analyse_again(round_)
    return round_


CHANGING: dict[str, Any] = {"about": ROUND_TO_CHANGE, "version": _version, "version_needed": True}
BODY: dict[str, Any] = {"limit": settings.ROUND_BODY_LIMIT, "of": ROUND}
ROUND_PATH = "rounds/<uuid:round_id>"

OPERATIONS: list[Operation] = [
    Listing(
        name="rounds",
        id="list_rounds",
        path="rounds",
        field="rounds",
        summary="Rounds that you may see, newest first",
        rows=lambda asker: answers.visible_rounds(asker.member),
        query=WhichRounds,
        of=ROUND,
        kept=True,
        order=("-played_on", "-id"),
    ),
    Listing(
        name="player-rounds",
        id="list_rounds_of_player",
        path="",
        field="rounds",
        summary="The player's rounds, newest first",
        about=PLAYER,
        parent="player_id",
        rows=lambda asker: answers.visible_rounds(asker.member),
        query=OfPlayersRounds,
        of=ROUND,
        kept=True,
        order=("-played_on", "-id"),
    ),
    changes.OPERATION,
    Change(
        name="rounds",
        id="post_round",
        path="rounds",
        field="post_round",
        verb="POST",
        summary="Post a round, shot by shot or by hole scores",
        description=(
            "JSON, or text/plain in the compact notation. Saved as a whole or not at all; a worker analyses it "
            "and `analysis` says how far it is. Send an `Idempotency-Key` to make a repetition harmless. Every "
            "fault is listed with its hole and shot.\n\n" + GRAMMAR
        ),
        body=RoundInput,
        accepts={TEXT: from_notation},
        sends=(ROUND_POSTED,),
        do=_post,
        is_pending=_is_pending,
        **BODY,
    ),
    many.OPERATION,
    Change(
        name="check-round",
        id="check_round",
        path="rounds/check",
        field="check_round",
        verb="POST",
        summary="Look at a round without saving it",
        description=(
            "The body is that of posting; the refusal, too, with every fault. Otherwise the round as it would be "
            "saved, and what looks wrong in it but may be right."
        ),
        body=RoundInput,
        accepts={TEXT: from_notation},
        limit=settings.ROUND_BODY_LIMIT,
        do=_check,
        gives=answers.CheckedRound,
        status=200,
    ),
    Change(
        name="check-round-text",
        id="check_round_text",
        path="",
        field="check_round_text",
        verb="POST",
        summary="Look at a round in the compact notation without saving it",
        body=RoundText,
        limit=settings.ROUND_BODY_LIMIT,
        do=_check_text,
        gives=answers.CheckedRound,
        status=200,
    ),
    Change(
        name="dismissed-warnings",
        id="dismiss_warnings",
        path=f"{ROUND_PATH}/dismissed-warnings",
        field="dismiss_warnings",
        verb="PUT",
        summary="Say which of a round's warnings somebody has looked at",
        description="They stay dismissed as long as the value in that place stays the same.",
        about=ROUND_TO_CHANGE,
        body=Dismissed,
        sends=(ROUND_CHANGED,),
        do=_dismiss,
        of=ROUND,
    ),
    *bag.OPERATIONS,
    Change(
        name="round-text",
        id="post_round_text",
        path="",
        field="post_round_text",
        verb="POST",
        summary="Post a round in the compact notation",
        body=RoundText,
        sends=(ROUND_POSTED,),
        do=_post_text,
        **BODY,
    ),
    Reading(
        name="round",
        id="read_round",
        tells="shots",
        path=ROUND_PATH,
        summary="A round in full; with Accept: text/plain in the compact notation",
        about=ROUND,
        answer=answers.RoundInFull,
        read=answers.rounds_in_full,
        is_pending=_is_pending,
        written={TEXT: lambda asker, round_, query: answers.notations(asker, [round_], query)[0]},
        version=_version,
    ),
    Change(
        name="round",
        id="replace_round",
        path=ROUND_PATH,
        field="edit_round",
        verb="PUT",
        summary="Put a round in its place; it is analysed again",
        description=(
            "A round of yours under an id of your own (a UUID): put it without `If-Match`, as often as it takes; it "
            "is saved once. A corrected round: put it with the ETag that you read as `If-Match`. Sent again just as it "
            "was saved it is answered as saved, whatever version is meant. 410 if it was deleted meanwhile."
        ),
        creates=_put,
        is_repeated=services.is_as_sent,
        also={201: answers.Round},
        is_pending=_is_pending,
        body=RoundInput,
        accepts={TEXT: from_notation},
        sends=(ROUND_CHANGED, ROUND_POSTED),
        do=_replace,
        **CHANGING,
        **BODY,
    ),
    Change(
        name="round-text-replaced",
        id="replace_round_text",
        path="",
        field="edit_round_text",
        verb="PUT",
        summary="Put a corrected round in its place, in the compact notation",
        body=RoundText,
        sends=(ROUND_CHANGED,),
        do=_replace_text,
        **CHANGING,
        **BODY,
    ),
    Change(
        name="round",
        id="correct_round",
        path=ROUND_PATH,
        field="correct_round",
        verb="PATCH",
        summary="Correct some fields of a round; holes, if given, replace all holes",
        body=RoundChanges,
        sends=(ROUND_CHANGED,),
        do=_correct,
        **CHANGING,
        **BODY,
    ),
    Change(
        name="round",
        id="delete_round",
        path=ROUND_PATH,
        field="delete_round",
        verb="DELETE",
        summary="Delete a round; everything that rested on it is computed again",
        sends=(ROUND_DELETED,),
        do=_delete,
        **CHANGING,
    ),
    Change(
        name="analyse-round",
        id="analyse_round_again",
        path=f"{ROUND_PATH}/analyse",
        field="analyse_round_again",
        verb="POST",
        summary="Ask for a round's analysis once more",
        about=ROUND_TO_CHANGE,
        do=_analyse,
        of=ROUND,
        status=202,
    ),
    Gathering(
        name="round-holes",
        id="list_holes_of_round",
        tells="shots",
        path="",
        field="holes",
        cost=5,
        summary="Hole by hole with every shot, in the club's unit",
        about=ROUND,
        line=answers.HoleAsPosted,
        gather=answers.holes,
        longest=18,
    ),
    Reading(
        name="round-document",
        id="read_round_as_posted",
        tells="shots",
        path="",
        field="document",
        cost=20,
        summary="Everything of it in the words of posting",
        about=ROUND,
        answer=answers.RoundAsPosted,
        read=answers.documents,
    ),
    Reading(
        name="round-notation",
        id="read_round_in_notation",
        tells="shots",
        path="",
        field="notation",
        cost=20,
        summary="The round in the compact notation",
        about=ROUND,
        answer=str,
        read=answers.notations,
    ),
]
