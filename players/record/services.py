"""The only code that writes exports of a person's record."""

from __future__ import annotations

from datetime import timedelta
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from golfstats.ground.clubs.models import Member
from golfstats.ground.faults import not_found
from golfstats.ground.outbox import work
from golfstats.sentences import Sentence
from players.people.permissions import own_player
from players.record.models import ExportState, RecordExport

EXPORT = "record_export"
"""Everything about a person as one file; the key is the export's."""
FORGET = "forget_export"
KEPT = timedelta(days=7)


@transaction.atomic
def ask_for_export(member: Member) -> RecordExport:
    """Have a worker write the file. It takes the place of the one there was; asking while one is made is harmless."""
    begun, _ = RecordExport.objects.update_or_create(
        member=member,
        defaults={
            "state": ExportState.PENDING,
            "reason": "",
            "asked_at": timezone.now(),
            "finished_at": None,
            "file": None,
            "size": 0,
        },
    )
    work.ask(EXPORT, str(begun.id))
    return begun


def export_of(member: Member) -> RecordExport | None:
    """Without the file."""
    return RecordExport.objects.defer("file").filter(member=member).first()


def file_of(member: Member) -> bytes:
    """Not of a player whom the member is no more: a manager may have put right who is who."""
    export = RecordExport.objects.filter(member=member, state=ExportState.DONE).first()
    own = own_player(member)
    if (
        export is None
        or export.file is None
        or export.tells_of not in {None, None if own is None else own.id}
    ):
        raise not_found(Sentence("No file: ask for it, and wait until it is done"))
    return bytes(export.file)


def keep_file(export_id: UUID, content: bytes, tells_of: UUID | None) -> None:
    now = timezone.now()
    RecordExport.objects.filter(id=export_id).update(
        file=content, tells_of=tells_of, size=len(content), state=ExportState.DONE, finished_at=now
    )
    work.ask(FORGET, str(export_id), due_at=now + KEPT)


def mark_failed(export_id: UUID, reason: str) -> None:
    RecordExport.objects.filter(id=export_id).update(
        state=ExportState.FAILED, reason=reason[:500], finished_at=timezone.now()
    )


def forget(export_id: UUID) -> None:
    """Take the file away, unless a younger one has come in its place."""
    RecordExport.objects.filter(id=export_id, finished_at__lte=timezone.now() - KEPT).delete()
