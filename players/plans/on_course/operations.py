"""What may be asked and changed of a round that is posted hole by hole while it is played."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from django.conf import settings
from pydantic import Field

from golfstats.ground.clubs.models import Role
from golfstats.ground.faults import Fault, invalid
from golfstats.ground.inputs import Body
from golfstats.ground.operations import Asker, Change, Done, Listing, Operation, Reading, Subject
from golfstats.ground.resources import reading_of
from golfstats.sentences import Sentence
from players.people.permissions import visible_players
from players.plans.on_course import during
from players.rounds import in_play
from players.rounds.announcing import HOLE_PLAYED, ROUND_GIVEN_UP, ROUND_POSTED, ROUND_STARTED
from players.rounds.input import HoleInput, RoundBegun
from players.rounds.models import RoundInPlay
from players.rounds.operations import ROUND
from players.rounds.services import hole_of_line

WHO = (Role.PLAYER, Role.COACH, Role.MANAGER)
PLAYING = "rounds-in-play/<uuid:play_id>"

IN_PLAY = Subject(
    word="round in play",
    parameter="play_id",
    root="round_in_play",
    model=RoundInPlay,
    visible=lambda asker: RoundInPlay.objects.filter(player__in=visible_players(asker.member)).select_related(
        "player", "tee_set__course"
    ),
    head=during.RoundSoFar,
    heads=during.rounds_so_far,
    whose=lambda play: play.player_id,
    tells="rounds",
)
IN_PLAY_ALONE = replace(IN_PLAY, root="")


class HoleSent(Body):
    """A hole as it was played, or a correction of one."""

    sequence: Annotated[int, Field(ge=1)] = Field(
        description="1 for the first that is sent, and so on. The same again under its number changes nothing."
    )
    hole: HoleInput | None = Field(None, description="Its shots, or its score, or both.")
    notation: Annotated[str, Field(max_length=2000)] = Field(
        "",
        description="Instead of `hole`: its line in the compact notation, in the unit that the round was begun in.",
    )


def start(asker: Asker, head: RoundBegun) -> RoundInPlay:
    return in_play.start(asker.member, head)


def add_hole(asker: Asker, play: RoundInPlay, sent: HoleSent) -> RoundInPlay:
    if (sent.hole is None) == (not sent.notation):
        raise invalid([Fault("/hole", "one_of_two", Sentence("either the hole or its line in the notation"))])
    hole = sent.hole or hole_of_line(sent.notation)
    return in_play.add_hole(asker.member, play, sent.sequence, hole)


def finish(asker: Asker, play: RoundInPlay) -> Done:
    round_ = ROUND.one(asker, {"round_id": in_play.finish(asker.member, play).id})
    return Done(round_, round_.version, "round", {"round_id": round_.id})


def give_up(_: Asker, play: RoundInPlay) -> None:
    in_play.give_up(play)


OPERATIONS: list[Operation] = [
    Listing(
        name="rounds-in-play",
        id="list_rounds_in_play",
        path="rounds-in-play",
        field="rounds_in_play",
        summary="Rounds that are being played and posted hole by hole, the latest first",
        rows=lambda asker: IN_PLAY.visible(asker).filter(finished_at=None),
        of=IN_PLAY,
        order=("-started_at", "-id"),
    ),
    Change(
        name="rounds-in-play",
        id="start_round",
        path="rounds-in-play",
        field="start_round",
        verb="POST",
        summary="Begin a round, to be posted hole by hole",
        description=(
            "What is said of a round, without its holes. A round that counts for handicap, or a competition, is bound "
            "by Rule 4.3: until it is finished the service answers facts and the card alone, and says why. The "
            "committee decides."
        ),
        body=RoundBegun,
        roles=WHO,
        sends=(ROUND_STARTED,),
        do=start,
        of=IN_PLAY,
    ),
    reading_of(
        IN_PLAY_ALONE,
        name="round-in-play",
        id="read_round_in_play",
        path=PLAYING,
        summary="The score so far beside the forecast made before, and what may be shown meanwhile",
    ),
    Change(
        name="holes-in-play",
        id="send_hole",
        path=f"{PLAYING}/holes",
        field="send_hole",
        verb="POST",
        summary="Send the next hole, or a correction of one",
        description=(
            "Holes are numbered as they are sent. After a lost connection send again from the last that was answered: "
            "what has arrived changes nothing. Refused with `next_sequence` where a number was passed over, or was "
            "sent before with another hole."
        ),
        about=IN_PLAY,
        body=HoleSent,
        limit=settings.ROUND_BODY_LIMIT,
        roles=WHO,
        sends=(HOLE_PLAYED,),
        do=add_hole,
        of=IN_PLAY,
        status=200,
    ),
    Change(
        name="round-in-play-finished",
        id="finish_round",
        path=f"{PLAYING}/finished",
        field="finish_round",
        verb="POST",
        summary="Post the round that was played; asked again, the same round",
        about=IN_PLAY,
        roles=WHO,
        sends=(ROUND_POSTED,),
        do=finish,
        of=ROUND,
    ),
    Change(
        name="round-in-play",
        id="give_up_round",
        path=PLAYING,
        field="give_up_round",
        verb="DELETE",
        summary="Throw away what was sent of a round; a round that it became stays",
        about=IN_PLAY,
        roles=WHO,
        sends=(ROUND_GIVEN_UP,),
        do=give_up,
    ),
    Reading(
        name="advice-in-play",
        id="read_advice_in_play",
        path=f"{PLAYING}/advice",
        field="advice_in_play",
        cost=30_000,
        summary="Club and line from where the ball lies: in practice, and once a round is finished",
        about=IN_PLAY_ALONE,
        query=during.BallQuery,
        answer=during.Advice,
        read=during.advice,
    ),
    Reading(
        name="in-play-greens",
        id="read_greens_in_play",
        path=f"{PLAYING}/greens",
        field="greens_in_play",
        cost=2500,
        summary="What the first putts say of the day's greens: in practice, and once a round is finished",
        about=IN_PLAY_ALONE,
        answer=during.GreensSoFar,
        read=during.greens_so_far,
    ),
]
