"""The file with which a person leaves a club, as it comes in at another: a zip whose CSV is imported like any other."""

from __future__ import annotations

import io
import zipfile
import zlib

from golfstats.ground.faults import Fault, ProblemError, invalid
from golfstats.sentences import Sentence
from players.files.models import ImportKind

FILE_LIMIT = 5 * 1024 * 1024
"""Of a file that comes in, and of what is packed in one."""
TO_POST_AGAIN = {
    ImportKind.SCORES: "to_post_again/scores.csv",
    ImportKind.SHOTS: "to_post_again/shots.csv",
}
_ZIP = b"PK"
_PACKED_AS_WE_DO = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_ENCRYPTED = 1


def csv_of(file: bytes, kind: ImportKind) -> bytes:
    """The file itself, or what is packed in it."""
    return csv_within(file, kind) if file.startswith(_ZIP) else file


def csv_within(file: bytes, kind: ImportKind) -> bytes:
    """The rounds of a zip as CSV that names no player: another club may know them by another name.

    A 422 problem for a zip that is none, holds no such file, or unpacks to more than a file may have.
    """
    name = TO_POST_AGAIN[kind]
    try:
        content = _unpacked(file, name)
    # Whatever is broken inside, and whatever a broken place in it leads to.
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, NotImplementedError):
        raise _refused("not_a_zip", Sentence("This is no zip, or a broken one")) from None
    if len(content) > FILE_LIMIT:
        raise _refused(
            "too_large",
            Sentence("{name} in the zip has more than {limit} MB", name=name, limit=FILE_LIMIT // 1024**2),
        )
    return _without_player(content)


def _unpacked(file: bytes, name: str) -> bytes:
    """Read no further than tells that it is too much, whatever size the zip claims."""
    with zipfile.ZipFile(io.BytesIO(file)) as packed:
        if name not in packed.namelist():
            raise _refused("file_missing", Sentence("The zip has no file {name}", name=name))
        entry = packed.getinfo(name)
        if entry.flag_bits & _ENCRYPTED or entry.compress_type not in _PACKED_AS_WE_DO:
            raise _refused(
                "not_readable",
                Sentence("{name} in the zip is encrypted or packed in an unknown way", name=name),
            )
        with packed.open(entry) as content:
            return content.read(FILE_LIMIT + 1)


def _without_player(content: bytes) -> bytes:
    """Only the column's name goes, so that faults still name the columns of the file."""
    header, newline, lines = content.partition(b"\n")
    names = [b"" if name.strip() == b"player" else name for name in header.split(b",")]
    return b",".join(names) + newline + lines


def _refused(code: str, words: str) -> ProblemError:
    return invalid([Fault("/file", code, words)], Sentence("The zip cannot be taken in"))
