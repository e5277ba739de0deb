"""Importing rounds: a look beforehand, then batch by batch in the worker; saved as a whole or not at all.

The worker checks a batch of rounds in each transaction and writes down how far it is. Only when every
round is without fault does one transaction save them all. A round that is there already is left out,
so the same file twice adds nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, time, timedelta
from itertools import islice
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from golfstats.api.problems import Fault
from golfstats.clubs.models import Member, Role
from golfstats.outbox import work
from players import posting
from players.coaching.history import today_at
from players.coaching.import_files import FileReader, FileRound, Layout, as_posted, in_file
from players.models import Import, ImportKind, ImportState, PlayedHole, Round
from players.round_checks import faults_of, strokes_of
from players.round_input import RoundInput

IMPORT = "import"
BULK_ANALYSIS = "bulk_analysis"

BATCH = 250
"""Rounds that are checked in one transaction."""
FAULTS_KEPT = 200
"""More faults than this help nobody."""


@dataclass(frozen=True)
class Card:
    """What tells one round of a player's day from another."""

    tee_set: UUID
    started: time | None
    scores: dict[int, int | None]
    """By hole; None where only the service could tell, a ball picked up."""

    def is_same(self, other: Card) -> bool:
        """A player begins one round a minute; without the time, tee and scores have to tell."""
        if self.started is not None and other.started is not None:
            return self.started == other.started
        return (
            self.tee_set == other.tee_set
            and self.scores.keys() == other.scores.keys()
            and all(
                None in (score, other.scores[hole]) or score == other.scores[hole]
                for hole, score in self.scores.items()
            )
        )


@dataclass
class Findings:
    """What a look at some rounds of a file has found."""

    rounds: int = 0
    new: list[RoundInput] = field(default_factory=list)
    already_there: int = 0
    faults: list[Fault] = field(default_factory=list)


class Checker:
    """Checks the rounds of one file for one member, and knows which of them are there already."""

    def __init__(self, member: Member, unit: str, reader: FileReader) -> None:
        self.unit = unit
        self.reader = reader
        self.today = today_at(member.club)
        self.resolver = posting.Resolver(member)

    def check(self, found: Sequence[FileRound]) -> Findings:
        """What the rounds amount to; the rounds that are there are read with two queries."""
        findings = Findings(rounds=len(found))
        fitting = []
        for one in found:
            posted, faults = as_posted(one, self.unit)
            place = None
            if posted is not None:
                place, faults = self.resolver.place_of(posted)
                if place is not None:
                    faults += faults_of(posted, place.holes, posted.unit or self.unit, self.today)
            findings.faults += [in_file(fault, one, self.reader) for fault in faults]
            if posted is not None and place is not None and not faults:
                fitting.append((posted, place))
        there = _rounds_there(
            {place.player.id for _, place in fitting}, [one.played_on for one, _ in fitting]
        )
        for posted, place in fitting:
            card = Card(place.tee_set.id, posted.start_time, _scores(posted))
            same_day = there.setdefault((place.player.id, posted.played_on), [])
            if any(card.is_same(other) for other in same_day):
                findings.already_there += 1
            else:
                same_day.append(card)
                findings.new.append(posted)
        return findings


def _scores(posted: RoundInput) -> dict[int, int | None]:
    return {
        hole.number: hole.score if hole.score or hole.picked_up else strokes_of(hole.shots)
        for hole in posted.holes
    }


def _rounds_there(players: set[UUID], days: Sequence[date]) -> dict[tuple[UUID, date], list[Card]]:
    """The stored rounds of these players between the first and the last of these days."""
    if not days:
        return {}
    stored = Round.objects.filter(player__in=players, played_on__range=(min(days), max(days)))
    scores: dict[UUID, dict[int, int | None]] = {}
    holes = PlayedHole.objects.filter(round__in=stored.values("id"))
    for round_id, number, score in holes.values_list("round_id", "number", "score"):
        scores.setdefault(round_id, {})[number] = score
    cards: dict[tuple[UUID, date], list[Card]] = {}
    for one in stored.values_list("id", "player_id", "played_on", "tee_set_id", "start_time"):
        round_id, player, day, tee_set, started = one
        cards.setdefault((player, day), []).append(Card(tee_set, started, scores.get(round_id, {})))
    return cards


def look_at(member: Member, text: str, layout: Layout, unit: str) -> Findings:
    """A dry run over the whole file; writes nothing. A 422 problem if the file cannot be read at all."""
    reader = FileReader(text, layout)
    return Checker(member, unit, reader).check(list(reader.rounds()))


@transaction.atomic
def start(member: Member, text: str, layout: Layout, unit: str) -> Import:
    """Keep the file and ask a worker to import it. A 422 problem if the file cannot be read at all."""
    rounds = sum(1 for _ in FileReader(text, layout).rounds())
    started = Import.objects.create(
        kind=layout.kind,
        file=text,
        columns={"columns": dict(layout.columns), "constants": dict(layout.constants)},
        unit=unit,
        rounds=rounds,
        started_by=member,
    )
    work.ask(IMPORT, str(started.id))
    return started


def visible_imports(member: Member) -> QuerySet[Import]:
    """A member's own imports, a manager's all; newest first, without the files."""
    found = Import.objects.defer("file").order_by("-id")
    return found if member.role == Role.MANAGER else found.filter(started_by=member)


def go_on(import_id: UUID) -> None:
    """Do the next piece of an import: check a batch, or save everything. Asks for itself until it is over."""
    running = (
        Import.objects.select_for_update(of=["self"]).select_related("started_by__club").get(id=import_id)
    )
    if running.finished_at is not None:
        return
    layout = Layout(ImportKind(running.kind), **running.columns)
    reader = FileReader(running.file, layout)
    checker = Checker(running.started_by, running.unit, reader)
    if running.state == ImportState.SAVING:
        _save(running, checker)
    else:
        _check_batch(running, checker)
    running.save()
    if running.finished_at is None:
        work.ask(IMPORT, str(running.id))


def _check_batch(running: Import, checker: Checker) -> None:
    batch = list(islice(checker.reader.rounds(), running.checked, running.checked + BATCH))
    findings = checker.check(batch)
    running.checked += findings.rounds
    running.faults = (running.faults + [fault.as_dict() for fault in findings.faults])[:FAULTS_KEPT]
    running.state = ImportState.CHECKING
    if running.checked < running.rounds:
        return
    if running.faults:
        _finish(running, ImportState.REFUSED)
    else:
        running.state = ImportState.SAVING


def _save(running: Import, checker: Checker) -> None:
    """All rounds in this one transaction. What has changed since the check may still refuse them."""
    # The same file sent twice at once: the second waits, and then finds the rounds of the first.
    work.one_at_a_time(f"import {running.club_id}")
    findings = checker.check(list(checker.reader.rounds()))
    if findings.faults:
        running.faults = [fault.as_dict() for fault in findings.faults[:FAULTS_KEPT]]
        _finish(running, ImportState.REFUSED)
        return
    if findings.new:
        posting.post_rounds(running.started_by, findings.new)
        # Due before the rounds' own analyses, which it makes unnecessary.
        work.ask(BULK_ANALYSIS, "pending", due_at=timezone.now() - timedelta(minutes=1))
    running.added, running.already_there = len(findings.new), findings.already_there
    _finish(running, ImportState.DONE)


def _finish(running: Import, state: ImportState) -> None:
    running.state = state
    running.finished_at = timezone.now()
    running.file = ""


def mark_failed(import_id: UUID, reason: str) -> None:
    Import.objects.filter(id=import_id).update(
        state=ImportState.FAILED, reason=reason[:500], finished_at=timezone.now(), file=""
    )
