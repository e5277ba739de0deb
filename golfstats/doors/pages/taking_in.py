"""Files of rounds that come in by a page: whoever sends them, they go the way of the API's imports."""

from __future__ import annotations

from typing import Any

from django.core.files import File
from django.utils.translation import gettext

from golfstats.ground import inputs
from golfstats.ground.faults import Fault, invalid
from golfstats.ground.operations import Asker, Change
from players.files.answers import Import, ImportFindings, import_heads
from players.files.incoming.taken_along import FILE_LIMIT
from players.files.operations import IMPORT, OPERATIONS, ImportForm

(TAKE_IN,) = (one for one in OPERATIONS if isinstance(one, Change) and one.id == "import_rounds")
SHOWN = 10


def content_of(file: File[bytes]) -> bytes:
    """Refused if it is too large, before it is read."""
    if file.size > FILE_LIMIT:
        raise invalid([Fault("/file", "too_large", gettext("A file has up to 5 MB."))])
    return bytes(file.read())


def take_in(asker: Asker, file: File[bytes], **asked: Any) -> ImportFindings | None:
    """What a look at it has found, or nothing if it is being taken in."""
    form = inputs.checked(ImportForm, {**asked, "file": content_of(file)})
    findings = TAKE_IN.do(asker, form).answer
    return findings if isinstance(findings, ImportFindings) else None


def imports_begun_by(asker: Asker) -> list[Import]:
    return _latest(asker, started_by=asker.member)


def imports_seen_by(asker: Asker) -> list[Import]:
    return _latest(asker)


def _latest(asker: Asker, **which: Any) -> list[Import]:
    rows = IMPORT.visible(asker).filter(**which).order_by("-id")[:SHOWN]
    return list(import_heads(asker, list(rows)))
