"""Golf clubs by their usual names, as people of each language say them; a player's own word stays as it is."""

from __future__ import annotations

import re

from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

_NUMBERED = re.compile(r"(\d)-(wood|hybrid|iron)")
_KINDS = {"wood": noop("{number}-wood"), "hybrid": noop("{number}-hybrid"), "iron": noop("{number}-iron")}
_NAMES = {
    noop("driver"),
    noop("putter"),
    noop("pitching-wedge"),
    noop("gap-wedge"),
    noop("sand-wedge"),
    noop("lob-wedge"),
}


def club_words(name: str) -> str:
    """A club as it is kept (``7-iron``), in the reader's language."""
    if name in _NAMES:
        return gettext(name)
    numbered = _NUMBERED.fullmatch(name)
    return gettext(_KINDS[numbered[2]]).format(number=numbered[1]) if numbered else name


def usual_club_words() -> dict[str, str]:
    """Each club that everybody knows by its name, in the reader's language."""
    numbered = (f"{number}-{kind}" for kind in _KINDS for number in range(2, 10))
    return {name: club_words(name) for name in (*sorted(_NAMES), *numbered)}
