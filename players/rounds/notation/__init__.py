"""The compact notation: a round as text that a person can type on a phone.

A round is some header lines, then one line a hole::

    course: Larkmoor
    tee: White
    date: 2026-05-02
    1 T412 F155(7i) G18 G2
    2 T165(6i,left) S12 G6
    3 =5/2
    4 T380+1sd T380 R140 G30 G3
    5 T520 F260 R40 x8

A hole line is the hole's number and its shots. A shot is a lie letter and the distance to the hole
before it (yards, feet on the green; or metres throughout), then optional details in parentheses and an
optional penalty. The last shot is holed. ``=5`` gives only a score, ``=5/2`` with the putts, ``x`` or
``x8`` a ball picked up (with the most likely score). The README has the whole grammar.

What phones make of it is read as well: capitals, ``1.``, commas between shots, ``3 wood``, long dashes.
"""

from players.rounds.notation.grammar import GRAMMAR, HEADERS, LIE_LETTERS
from players.rounds.notation.reading import NotationError, read, read_with_remarks
from players.rounds.notation.writing import hole_line, write

__all__ = [
    "GRAMMAR",
    "HEADERS",
    "LIE_LETTERS",
    "NotationError",
    "hole_line",
    "read",
    "read_with_remarks",
    "write",
]
