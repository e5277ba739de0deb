"""A round that is posted hole by hole while it is played, and becomes a round when it is finished.

Holes are appended with a sequence, so that a phone that lost its connection sends again what it is not sure of: the
same hole under the same number changes nothing, and the answer says which number comes next.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.utils import timezone

from courses.layout.models import Section
from golfstats.ground.clock import today_at
from golfstats.ground.clubs.models import Member
from golfstats.ground.events import tells
from golfstats.ground.faults import Fault, ProblemError, Refusal, invalid
from golfstats.sentences import Sentence
from players.rounds.announcing import HOLE_PLAYED, ROUND_GIVEN_UP, ROUND_STARTED
from players.rounds.checking.bags import Bag
from players.rounds.checking.cards import HOLES_OF, Resolver, card_of
from players.rounds.checking.checks import hole_faults, round_faults
from players.rounds.input import HoleInput, RoundBegun, RoundInput
from players.rounds.models import Round, RoundFormat, RoundInPlay
from players.rounds.services import post_round

MOST_ENTRIES = 72
"""Holes and corrections of holes: four for each of eighteen."""


@tells(ROUND_STARTED)
def start(member: Member, head: RoundBegun) -> RoundInPlay:
    """Begin a round; refused with every fault. One that a player has in play stays so beside it."""
    place, faults = Resolver(member).place_of(head)
    if head.played_on > today_at(member.club):
        faults.append(
            Fault(
                "/played_on",
                "in_the_future",
                Sentence("{played_on} is after today", played_on=head.played_on),
            )
        )
    if place is not None and HOLES_OF[Section(head.section)][-1] > max(place.holes, default=0):
        faults.append(
            Fault("/section", "no_such_holes", Sentence("these tees have no holes of that section"))
        )
    if place is None or faults:
        raise invalid(faults, Sentence("The round cannot be begun"))
    named = {
        "player": str(place.player.id),
        "course": str(place.tee_set.course_id),
        "tee": str(place.tee_set.id),
    }
    about = head.model_dump(mode="json") | named | {"unit": head.unit or member.club.distance_unit}
    return RoundInPlay.objects.create(
        player=place.player,
        tee_set=place.tee_set,
        played_on=head.played_on,
        counts=counts(head),
        about=about,
        started_by=member,
    )


def counts(head: RoundBegun) -> bool:
    """Whether the Rules bind it: not practice, nor what neither counts for handicap nor is a competition."""
    return head.format != RoundFormat.PRACTICE and (head.counting or head.competition)


@transaction.atomic
def add_hole(member: Member, play: RoundInPlay, sequence: int, hole: HoleInput) -> RoundInPlay:
    """Append a hole, or a correction of one that is there; the same again changes nothing."""
    posted = hole.model_dump(mode="json", exclude_defaults=True)
    if sequence <= len(play.played):
        if play.played[sequence - 1]["hole"] == posted:
            return play
        title = Sentence(
            "Another hole was sent as number {sequence}: read what is there and go on from it",
            sequence=sequence,
        )
        raise ProblemError("sent-already", title, Refusal.CONFLICT, extra=_expected(play))
    if sequence > len(play.played) + 1:
        title = Sentence(
            "Number {played} comes next: what was sent before did not arrive", played=len(play.played) + 1
        )
        raise ProblemError("holes-missing", title, Refusal.CONFLICT, extra=_expected(play))
    if play.finished_at is not None:
        raise ProblemError(
            "finished-already", Sentence("The round is finished: correct it there"), Refusal.CONFLICT
        )
    if sequence > MOST_ENTRIES:
        raise invalid(
            [
                Fault(
                    "/sequence",
                    "too_many",
                    Sentence("no more than {most_entries} holes and corrections", most_entries=MOST_ENTRIES),
                )
            ]
        )
    entry = {"sequence": sequence, "hole": posted, **_settled(member, play, hole)}
    play.played = [*play.played, entry]
    play.save(update_fields=["played"])
    HOLE_PLAYED.send([play])
    return play


def _expected(play: RoundInPlay) -> Mapping[str, object]:
    return {"next_sequence": len(play.played) + 1}


def _settled(member: Member, play: RoundInPlay, hole: HoleInput) -> dict[str, int | None]:
    """Score and putts of a hole as they follow from what was sent; refused with every fault."""
    posted = RoundInput.model_validate(_about(play) | {"holes": [hole]})
    resolver = Resolver(member, stays=play.tee_set.course_id)
    place, faults = resolver.place_of(posted)
    if place is None:
        raise invalid(faults, Sentence("The hole cannot be saved"))
    card = card_of(posted, posted.unit or "", Round(), Bag(play.player_id, None))
    card.round.player, card.round.tee_set = place.player, place.tee_set
    faults += [*round_faults(card, place.holes, today_at(member.club)), *hole_faults(card, place.holes)]
    faults = [fault for fault in faults if fault.pointer.startswith("/holes/0")]
    if faults:
        moved = [_in_one_hole(fault) for fault in faults]
        raise invalid(moved, Sentence("The hole cannot be saved"))
    card.settle()
    (played,) = card.holes
    return {"score": played.hole.score, "putts": played.hole.putts}


def _about(play: RoundInPlay) -> dict[str, Any]:
    """As it was begun; the tees as they are, should a manager have merged their course meanwhile."""
    about: dict[str, Any] = play.about
    return about | {"course": str(play.tee_set.course_id), "tee": str(play.tee_set_id)}


def _in_one_hole(fault: Fault) -> Fault:
    """The place of a fault in a body that has one hole."""
    return Fault(
        "/hole" + fault.pointer.removeprefix("/holes/0"), fault.code, fault.detail, fault.hole, fault.shot
    )


@transaction.atomic
def finish(member: Member, play: RoundInPlay) -> Round:
    """Post it as a round; asked again, the round that it became. Refused as any round is that has faults."""
    already: Round | None = play.round
    if already is not None:
        return already
    if play.finished_at is not None:
        raise ProblemError(
            "deleted-since", Sentence("The round that it became was deleted"), Refusal.CONFLICT
        )
    sent = holes_of(play)
    if not sent:
        raise invalid([Fault("/holes", "too_few_holes", Sentence("no hole was sent yet"))])
    holes = [sent[number]["hole"] for number in sorted(sent)]
    posted = post_round(member, RoundInput.model_validate(_about(play) | {"holes": holes}), ends=play)
    play.round, play.finished_at = posted, timezone.now()
    play.save(update_fields=["round", "finished_at"])
    return posted


@tells(ROUND_GIVEN_UP)
def give_up(play: RoundInPlay) -> None:
    play.delete()


def holes_of(play: RoundInPlay) -> dict[int, dict[str, Any]]:
    """By number the last word on each hole, in the order in which the holes were first sent."""
    return {entry["hole"]["number"]: entry for entry in play.played}
