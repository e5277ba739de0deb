"""What the worker does for a person's record."""

from __future__ import annotations

from uuid import UUID

from golfstats.ground.outbox.work import Queue, handler
from players.people.permissions import own_player
from players.record import services
from players.record.models import RecordExport
from players.record.writing import record_of


@handler(
    services.EXPORT,
    on_failure=lambda key, reason: services.mark_failed(UUID(key), reason),
    queue=Queue.LONG,
    snapshot=True,
)
def write_export(key: str) -> None:
    """Everything about the person, as of one moment."""
    export = RecordExport.objects.select_related("member__user").filter(id=key).first()
    if export is not None:
        own = own_player(export.member)
        services.keep_file(export.id, record_of(export.member), None if own is None else own.id)


@handler(services.FORGET)
def forget_export(key: str) -> None:
    services.forget(UUID(key))
