"""The identity of a golf club: one usual name for the many that golfers write (``7i``, ``7 Iron``, ``7-iron``)."""

from __future__ import annotations

import re

WOODS = ("2-wood", "3-wood", "4-wood", "5-wood", "7-wood", "9-wood")
HYBRIDS = ("2-hybrid", "3-hybrid", "4-hybrid", "5-hybrid", "6-hybrid")
IRONS = ("2-iron", "3-iron", "4-iron", "5-iron", "6-iron", "7-iron", "8-iron", "9-iron")
WEDGES = ("pitching-wedge", "gap-wedge", "sand-wedge", "lob-wedge")
USUAL_NAMES = frozenset({"driver", *WOODS, *HYBRIDS, *IRONS, *WEDGES, "putter"})

_SHORT = {
    "d": "driver",
    "dr": "driver",
    "1w": "driver",
    "1-wood": "driver",
    "p": "pitching-wedge",
    "pw": "pitching-wedge",
    "pitching": "pitching-wedge",
    "g": "gap-wedge",
    "gw": "gap-wedge",
    "gap": "gap-wedge",
    "aw": "gap-wedge",
    "approach-wedge": "gap-wedge",
    "s": "sand-wedge",
    "sw": "sand-wedge",
    "l": "lob-wedge",
    "lw": "lob-wedge",
    "lob": "lob-wedge",
    "pt": "putter",
    "putt": "putter",
}
_NUMBERED = re.compile(r"([2-9])-?(?:(w|wood)|(h|hy|hybrid|rescue)|(i|iron))")
_KIND_FIRST = re.compile(r"(wood|hybrid|rescue|iron)-?([2-9])")
_BY_LOFT = re.compile(r"(4[4-9]|5\d|6[0-4])-?(?:deg|degrees?)?(?:-?wedge)?")
"""Wedges are called by their loft as well, 44° to 64°."""


def one_name(written: str) -> str:
    """The one name under which a club is kept: the usual one, or the player's own word in lower case.

    A word that is kept is its own name: ``one_name(one_name(x)) == one_name(x)``.
    """
    word = re.sub(r"[\s-]+", "-", written.lower().replace("°", " ")).strip("-")
    if word in USUAL_NAMES:
        return word
    if word in _SHORT:
        return _SHORT[word]
    if turned := _KIND_FIRST.fullmatch(word):
        word = f"{turned[2]}-{turned[1]}"
    if numbered := _NUMBERED.fullmatch(word):
        kind = "wood" if numbered[2] else "hybrid" if numbered[3] else "iron"
        return f"{numbered[1]}-{kind}"
    loft = _BY_LOFT.fullmatch(word)
    return loft[1] if loft else word


def is_usual(name: str) -> bool:
    """Whether :func:`one_name` knew the club, and did not only take the player's word for it."""
    return name in USUAL_NAMES or bool(_NUMBERED.fullmatch(name) or _BY_LOFT.fullmatch(name))
