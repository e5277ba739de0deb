"""Importing rounds: a look beforehand, then batch by batch in the worker; saved as a whole or not at all.

The worker checks a batch of rounds in each transaction and writes down how far it is. Only when every
round is without fault does one transaction save them all. A round that is there already is left out,
so the same file twice adds nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from itertools import islice
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.faults import Fault
from golfstats.ground.outbox import work
from players.files.announcing import IMPORT_ENDED
from players.files.incoming.parsing import FileReader, FileRound, Layout, as_posted, in_file
from players.files.models import Import, ImportKind, ImportState
from players.rounds import services as posting
from players.rounds.checking import alike
from players.rounds.checking.cards import Card
from players.rounds.checking.warnings import Warned

IMPORT = "import"
IN_ONE_PASS = timedelta(minutes=10)
"""A pass over all rounds of an import makes their own analyses unnecessary, if it gets there first."""
BULK_ANALYSIS = "bulk_analysis"

BATCH = 250
"""Rounds that are checked in the first transaction. Each further one checks as many as all before it: the file is read
anew each time, so that batches of one size would read a long one dozens of times.
"""
FAULTS_KEPT = 200
"""More faults than this help nobody: a file that has them is looked through no further."""


@dataclass
class Findings:
    """What a look at some rounds of a file has found."""

    rounds: int = 0
    new: list[Card] = field(default_factory=list)
    already_there: int = 0
    faults: list[Fault] = field(default_factory=list)
    warnings: list[Placed] = field(default_factory=list)


@dataclass(frozen=True)
class Placed:
    """What looks wrong about a round of the file, and where in the file."""

    warned: Warned
    place: Fault


class Checker:
    """Checks the rounds of one file for one member, and knows which of them are there already."""

    def __init__(self, member: Member, unit: str, reader: FileReader) -> None:
        self.unit = unit
        self.reader = reader
        self.door = posting.Door(member, unit)

    def check(self, read: Sequence[FileRound]) -> Findings:
        """What the rounds amount to; the rounds that are there are read with two queries."""
        findings = Findings(rounds=len(read))
        fitting: list[Card] = []
        for one in read:
            posted, faults = as_posted(one, self.unit)
            if posted is not None:
                seen = self.door.see(posted)
                faults = seen.faults
                findings.warnings += [self._placed(warned, one) for warned in seen.warnings]
                if seen.card is not None:
                    fitting.append(seen.card)
            findings.faults += [in_file(fault, one, self.reader) for fault in faults]
        there = alike.days_of(fitting)
        for card in fitting:
            own = alike.of_day(card)
            same_day = there.setdefault((card.round.player_id, card.round.played_on), [])
            if any(own.is_same(other) for other in same_day):
                findings.already_there += 1
            else:
                same_day.append(own)
                findings.new.append(card)
        return findings

    def _placed(self, warned: Warned, of_file: FileRound) -> Placed:
        fault = Fault(warned.pointer, warned.code, warned.words, warned.hole, warned.shot)
        return Placed(warned, in_file(fault, of_file, self.reader))


def look_at(member: Member, text: str, layout: Layout, unit: str) -> Findings:
    """A dry run over the whole file; writes nothing. A 422 problem if the file cannot be read at all."""
    reader = FileReader(text, layout)
    return Checker(member, unit, reader).check(list(reader.rounds()))


@transaction.atomic
def start(member: Member, text: str, layout: Layout, unit: str) -> Import:
    """Keep the file and ask a worker to import it. A 422 problem if the file cannot be read at all."""
    rounds = FileReader(text, layout).count()
    started = Import.objects.create(
        kind=layout.kind,
        file=text,
        columns={
            "columns": dict(layout.columns),
            "constants": dict(layout.constants),
            "dates": layout.dates,
        },
        unit=unit,
        rounds=rounds,
        started_by=member,
    )
    work.ask(IMPORT, str(started.id))
    return started


def visible_imports(member: Member) -> QuerySet[Import]:
    """A member's own imports, a manager's all; newest first, without the files."""
    imports = Import.objects.defer("file").order_by("-id")
    return imports if member.role == Role.MANAGER else imports.filter(started_by=member)


def go_on(import_id: UUID) -> bool:
    """Do the next piece of an import: check a batch, or save everything. True while there is more to do."""
    running = (
        Import.objects.select_for_update(of=["self"]).select_related("started_by__club").get(id=import_id)
    )
    if running.finished_at is not None:
        return False
    layout = Layout(ImportKind(running.kind), **running.columns)
    reader = FileReader(running.file, layout)
    checker = Checker(running.started_by, running.unit, reader)
    if running.state == ImportState.SAVING:
        _save(running, checker)
    else:
        _check_batch(running, checker)
    running.save()
    return running.finished_at is None


def _check_batch(running: Import, checker: Checker) -> None:
    batch = list(islice(checker.reader.rounds(running.checked), max(BATCH, running.checked)))
    findings = checker.check(batch)
    running.checked += findings.rounds
    running.faults = (running.faults + [fault.as_kept() for fault in findings.faults])[:FAULTS_KEPT]
    has_more = running.checked < running.rounds
    if len(running.faults) == FAULTS_KEPT or (running.faults and not has_more):
        _finish(running, ImportState.REFUSED)
    else:
        running.state = ImportState.CHECKING if has_more else ImportState.SAVING


def _save(running: Import, checker: Checker) -> None:
    """All rounds in this one transaction. What has changed since the check may still refuse them."""
    # The same file sent twice at once: the second waits, and then finds the rounds of the first.
    work.one_at_a_time(f"import {running.club_id}")
    findings = checker.check(list(checker.reader.rounds()))
    if findings.faults:
        running.faults = [fault.as_kept() for fault in findings.faults[:FAULTS_KEPT]]
        _finish(running, ImportState.REFUSED)
        return
    if findings.new:
        posting.save_cards(findings.new, analysed_by=timezone.now() + IN_ONE_PASS)
        work.ask(BULK_ANALYSIS, "pending")
    running.added, running.already_there = len(findings.new), findings.already_there
    _finish(running, ImportState.DONE)


def _finish(running: Import, state: ImportState) -> None:
    running.state = state
    running.finished_at = timezone.now()
    running.file = ""
    IMPORT_ENDED.send([running])


def mark_failed(import_id: UUID, reason: str) -> None:
    Import.objects.filter(id=import_id).update(
        state=ImportState.FAILED, reason=reason[:500], finished_at=timezone.now(), file=""
    )
    IMPORT_ENDED.send(Import.objects.filter(id=import_id))
