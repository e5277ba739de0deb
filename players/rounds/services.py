"""The only code that writes rounds: post, edit, delete. A round is saved as a whole or not at all."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from uuid import UUID

from django.db import transaction

from golfstats.calc.clubs import is_usual, one_name
from golfstats.ground import inputs
from golfstats.ground.clock import today_at
from golfstats.ground.clubs.models import Member
from golfstats.ground.events import tells
from golfstats.ground.faults import Fault, ProblemError, Refusal, invalid, not_found
from golfstats.ground.outbox import work
from golfstats.ground.walls.bulk import delete_with_all_below, insert_rows
from golfstats.sentences import Sentence
from players.kinds import HANDICAP, PLAYER_REPORT, ROUND_ANALYSIS, ROUND_CORRECTED, ROUND_GONE
from players.people.models import Player
from players.rounds import notation
from players.rounds.announcing import BAG_CHANGED, ROUND_CHANGED, ROUND_DELETED, ROUND_POSTED
from players.rounds.checking import alike
from players.rounds.checking.cards import Card, Resolver, card_of
from players.rounds.checking.checks import faults_of
from players.rounds.checking.counting import Beside
from players.rounds.checking.warnings import (
    Stored,
    Warned,
    WarningCode,
    as_told,
    like_another,
    to_store,
    warnings_of,
)
from players.rounds.input import HoleInput, RoundInput
from players.rounds.models import BagWord, PlayedHole, Round, RoundChange, RoundInPlay, Shot


def round_of_text(text: str) -> RoundInput:
    """The round of a text in the notation; refused with every fault and its line."""
    try:
        fields, remarks = notation.read_with_remarks(text)
    except notation.NotationError as error:
        raise invalid(error.faults, Sentence("The text is not in the notation")) from None
    return inputs.checked(RoundInput, fields).remarked(remarks)


def hole_of_line(text: str) -> HoleInput:
    """The hole of one line of the notation; refused with every fault and its column."""
    try:
        fields = notation.read(text)
    except notation.NotationError as error:
        raise invalid(error.faults, Sentence("The line is not in the notation")) from None
    if set(fields) != {"holes"} or len(fields["holes"]) != 1:
        raise invalid([Fault("/notation", "not_one_hole", Sentence("one line, of one hole"))])
    return inputs.checked(HoleInput, fields["holes"][0])


@dataclass(frozen=True)
class Seen:
    """What comes of a posted round: a card that may be saved, or faults; warnings beside both."""

    card: Card | None
    faults: list[Fault]
    warnings: list[Warned]


class Door:
    """Where the rounds that one member posts come in: each becomes a card, or what is wrong with it."""

    def __init__(
        self, member: Member, unit: str = "", stays: UUID | None = None, ends: RoundInPlay | None = None
    ) -> None:
        """``unit`` is that of rounds that name none; the club's unless given.

        ``stays``: the course of the round that is corrected. ``ends``: the round in play that becomes a round.
        """
        self._member = member
        self._unit = unit or member.club.distance_unit
        self._today = today_at(member.club)
        self._resolver = Resolver(member, stays)
        self._beside = Beside(self._today, ends)

    def see(self, posted: RoundInput, into: Round | None = None) -> Seen:
        """The checked card, or every fault. ``into`` is the round that it is to correct."""
        place, faults = self._resolver.place_of(posted)
        if place is None:
            return Seen(None, faults, [])
        bag = self._resolver.bag_of(place.player, into.id if into else None)
        card = card_of(posted, self._unit, into or Round(posted_by=self._member), bag)
        card.round.player, card.round.tee_set = place.player, place.tee_set
        faults += faults_of(card, place.holes, self._today)
        faults += self._beside.faults(place.player, card.round.played_on)
        faulty = frozenset(fault.hole for fault in faults if fault.hole is not None)
        warnings = list(warnings_of(posted, card, place, bag, faulty))
        if faults:
            return Seen(None, faults, warnings)
        card.settle()
        card.round.warnings = to_store(warnings, card.round.warnings)
        return Seen(card, [], warnings)


def refused(faults: Sequence[Fault], warnings: Sequence[Warned]) -> ProblemError:
    """Every fault, and beside them what else looks wrong."""
    problem = invalid(faults, Sentence("The round cannot be saved"))
    if warnings:
        problem.extra = {"warnings": list({one.id: as_told(one) for one in warnings}.values())}
    return problem


@transaction.atomic
def post_round(member: Member, posted: RoundInput, ends: RoundInPlay | None = None) -> Round:
    """Save a round and ask for its analysis; refused with every fault."""
    return save_cards(checked_cards(member, [posted], ends))[0]


@transaction.atomic
def put_round(member: Member, round_id: UUID, posted: RoundInput) -> Round:
    """Save a round under the id that the client chose. Sent again it is there already, and nothing is done."""
    work.one_at_a_time(f"round {round_id} of {member.club.id}")
    there = Round.objects.filter(id=round_id).first()
    if there is not None and is_as_sent(there, posted):
        return there
    if there is not None or RoundChange.objects.filter(id=round_id, gone=True).exists():
        raise ProblemError("gone", Sentence("There was a round of this id already"), Refusal.GONE)
    seen = Door(member).see(posted, into=Round(id=round_id, posted_by=member, sent=_digest(posted)))
    if seen.card is None:
        raise refused(seen.faults, seen.warnings)
    warn_of_repetitions([seen.card])
    return save_cards([seen.card])[0]


def is_as_sent(round_: Round, posted: RoundInput) -> bool:
    """Whether nobody has written the round since this was put in its place."""
    return round_.sent == _digest(posted)


def _digest(posted: RoundInput) -> str:
    return hashlib.sha256(posted.model_dump_json().encode()).hexdigest()


@transaction.atomic
def post_rounds(member: Member, posted: Sequence[RoundInput]) -> list[Round]:
    """Save many rounds with a number of queries that does not grow with their holes and shots."""
    return save_cards(checked_cards(member, posted))


def checked_cards(
    member: Member, posted: Sequence[RoundInput], ends: RoundInPlay | None = None
) -> list[Card]:
    """The cards as they may be saved, each with its warnings; refused with every fault of all."""
    door = Door(member, ends=ends)
    cards: list[Card] = []
    faults: list[Fault] = []
    warnings: list[Warned] = []
    for index, one in enumerate(posted):
        seen = door.see(one)
        prefix = f"/{index}" if len(posted) > 1 else ""
        faults += [replace(fault, pointer=prefix + fault.pointer) for fault in seen.faults]
        warnings += [replace(warned, pointer=prefix + warned.pointer) for warned in seen.warnings]
        cards += [seen.card] if seen.card is not None else []
    if faults:
        raise refused(faults, warnings)
    warn_of_repetitions(cards)
    return cards


def warn_of_repetitions(cards: Sequence[Card], before: Sequence[Stored] = ()) -> None:
    """Warn where a round like one of these is there already, or among them. ``before``: as it was dismissed."""
    days = alike.days_of(cards)
    for card in cards:
        own = alike.of_day(card)
        same_day = days.setdefault((card.round.player_id, card.round.played_on), [])
        earlier = next((one for one in same_day if own.is_same(one)), None)
        if earlier is not None:
            card.round.warnings = [*card.round.warnings, *to_store([like_another(earlier, card)], before)]
        same_day.append(own)


@transaction.atomic(savepoint=False)
def save_cards(cards: Sequence[Card], analysed_by: datetime | None = None) -> list[Round]:
    """Save checked cards. ``analysed_by``: the caller asks for the analysis of them all; should that fail,
    each is analysed then.
    """
    rounds = [card.round for card in cards]
    Round.objects.bulk_create(rounds)
    _write_holes(cards)
    _ask_for_analysis(rounds, due_at=analysed_by)
    ROUND_POSTED.send(rounds)
    return rounds


@transaction.atomic
def replace_round(member: Member, round_: Round, posted: RoundInput, keep: Sequence[Stored] = ()) -> Round:
    """Put a corrected round in the place of the old one, under the same id, and analyse it again.

    ``keep``: warnings of what was said of its holes before, if these stay as they are.
    """
    _hold(round_)
    before, warned = round_.player_id, round_.warnings
    seen = Door(member, stays=round_.tee_set.course_id).see(posted, into=round_)
    card = seen.card
    if card is None:
        raise refused(seen.faults, seen.warnings)
    warn_of_repetitions([card], warned)
    _forget_repetitions_of(round_, before, card)
    there = {one["id"] for one in round_.warnings}
    round_.warnings += [one for one in keep if one["id"] not in there]
    round_.version += 1
    round_.sent = _digest(posted)
    round_.analysis, round_.analysis_reason = "pending", ""
    round_.save()
    delete_with_all_below(PlayedHole.objects.filter(round=round_))
    _write_holes([card])
    _ask_for_analysis([round_], players={before, round_.player_id})
    work.ask(ROUND_CORRECTED, str(round_.id))
    ROUND_CHANGED.send([round_])
    return round_


def _write_holes(cards: Sequence[Card]) -> None:
    holes = [hole for card in cards for hole in sorted(card.holes, key=lambda hole: hole.hole.number)]
    insert_rows([hole.hole for hole in holes])
    # One statement for all shots: the trigger that checks their order looks once a statement.
    insert_rows([shot for hole in holes for shot in hole.shots])
    for card in cards:
        card.round.scores = [hole.hole.score for hole in card.holes]


@transaction.atomic
def delete_round(round_: Round) -> None:
    player_id = round_.player_id
    # Whoever folds the player's record holds lines that go with the round: one after the other, not both at once.
    work.one_at_a_time(f"handicap {player_id}")
    _hold(round_)
    _forget_repetitions_of(round_, player_id)
    ROUND_DELETED.send([round_])
    delete_with_all_below(Round.objects.filter(id=round_.id))
    for kind in (HANDICAP, PLAYER_REPORT):
        work.ask(kind, str(player_id))
    work.ask(ROUND_GONE, f"{player_id}:{round_.played_on.isoformat()}")


def _forget_repetitions_of(round_: Round, player_id: UUID, corrected: Card | None = None) -> None:
    """Rounds that were said to be like this one are so no more, but those that are like it as it was ``corrected``.

    ``player_id``: of whom it was before.
    """
    this = {"earlier_round": str(round_.id)}
    warned = list(Round.objects.filter(player_id=player_id, warnings__contains=[this]))
    like_it = alike.like(corrected) if warned and corrected else set()
    for other in warned:
        if other.id in like_it:
            continue
        kept = [one for one in other.warnings if one["earlier_round"] != str(round_.id)]
        Round.objects.filter(id=other.id).update(warnings=kept)


@tells(ROUND_CHANGED)
def dismiss_warnings(round_: Round, ids: Sequence[str]) -> Round:
    """Exactly these warnings count as dismissed; refused if the round has no such warning."""
    known = {one["id"] for one in round_.warnings}
    faults = [
        Fault(
            f"/warnings/{place}", "no_such_warning", Sentence("the round has no warning {one}", one=repr(one))
        )
        for place, one in enumerate(ids)
        if one not in known
    ]
    if faults:
        raise invalid(faults)
    round_.warnings = [one | {"dismissed": one["id"] in ids} for one in round_.warnings]
    Round.objects.filter(id=round_.id).update(warnings=round_.warnings)
    return round_


@transaction.atomic
def analyse_again(round_: Round) -> None:
    """Ask for the analysis once more, after it failed or because what it rests on has changed."""
    _hold(round_)
    round_.analysis, round_.analysis_reason = "pending", ""
    round_.save(update_fields=["analysis", "analysis_reason"])
    _ask_for_analysis([round_])


def _hold(round_: Round) -> None:
    """Nobody else changes or deletes the round before this transaction ends; refused if somebody just has."""
    version = Round.objects.select_for_update().filter(id=round_.id).values_list("version", flat=True).first()
    if version is None:
        raise not_found(Sentence("No round"))
    if version != round_.version:
        title = Sentence("The round was changed since you read it")
        raise ProblemError("changed-meanwhile", title, Refusal.CHANGED)


def _ask_for_analysis(
    rounds: Iterable[Round], players: Iterable[UUID] = (), due_at: datetime | None = None
) -> None:
    rounds = list(rounds)
    # The record first: a round whose analysis is done then shows its differential as well.
    work.ask_all(HANDICAP, map(str, {round_.player_id for round_ in rounds} | set(players)))
    work.ask_all(ROUND_ANALYSIS, [str(round_.id) for round_ in rounds], due_at)


def analyse_everything(rounds: Iterable[Round]) -> None:
    """Ask for the analysis of many rounds, and of their players' records."""
    changed = list(rounds)
    Round.objects.filter(id__in=[round_.id for round_ in changed]).update(
        analysis="pending", analysis_reason=""
    )
    work.ask_all(HANDICAP, {str(round_.player_id) for round_ in changed})
    work.ask_all(ROUND_ANALYSIS, [str(round_.id) for round_ in changed])


@tells(BAG_CHANGED)
def add_bag_word(player: Player, word: str, club: str) -> BagWord:
    """From now on the player's word stands for this club, in the rounds that are there already as well."""
    own, kept_as = one_name(word), one_name(club)
    if is_usual(own):
        raise invalid(
            [Fault("/word", "means_another", Sentence("{word} always means the {own}", word=word, own=own))]
        )
    if BagWord.objects.filter(player=player, word=own).exists():
        raise invalid(
            [Fault("/word", "taken", Sentence("{own} has a meaning already: delete that first", own=own))]
        )
    added = BagWord.objects.create(player=player, word=own, kept_as=kept_as)
    rounds = Round.objects.filter(player=player)
    Shot.objects.filter(played_hole__round__in=rounds.values("id"), club_used=own).update(club_used=kept_as)
    this = {"code": WarningCode.UNKNOWN_CLUB, "said": own}
    for round_ in rounds.filter(warnings__contains=[this]):
        kept = [one for one in round_.warnings if not this.items() <= one.items()]
        Round.objects.filter(id=round_.id).update(warnings=kept)
    work.ask(PLAYER_REPORT, str(player.id))
    return added


@tells(BAG_CHANGED)
def delete_bag_word(word: BagWord) -> None:
    """What was kept under its meaning stays so."""
    word.delete()
