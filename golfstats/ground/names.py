"""Names that people read and type: nothing in them is invisible, turns the text round or imitates another letter.

After Unicode Technical Standard #39 (Unicode Security Mechanisms): what a reader cannot see is left out of names
(3.1), and the letters of one word come from one script (5.2), because ``Ines`` with a Cyrillic e looks like ``Ines``.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from typing import Annotated

from pydantic import AfterValidator, Field

from golfstats.ground.faults import Fault
from golfstats.sentences import Sentence, words_of

# Letters, signs and spaces that show nothing, though Unicode counts them among letters and marks: Hangul fillers, the
# grapheme joiner, variation selectors and Khmer's inherent vowels are "default ignorable" (DerivedCoreProperties.txt);
# the braille pattern without dots is not, and is as blank.
BLANK = re.compile(
    "[\u034f\u115f\u1160\u17b4\u17b5\u180b-\u180f\u2800\u3164\ufe00-\ufe0f\uffa0\U000e0100-\U000e01ef]"
)
UNSEEN = {"Cc", "Cf", "Cn", "Co", "Cs", "Zl", "Zp"}
JOINERS = "\u200c\u200d"
JOINED = re.compile("[\u0600-\u0dff]")
"""Arabic to Sinhala: there a joiner changes how letters are written, and names need it (UAX #31, 2.3)."""
ALIKE = {"ARMENIAN", "CHEROKEE", "COPTIC", "CYRILLIC", "GREEK", "LATIN"}
"""Scripts with letters that look like those of another of them. Others are mixed within words as a matter of course."""
ORDINALS = "ªº"


def readable(name: str) -> str:
    """The name with its letters in one form (NFC); raises :class:`ValueError` for one that deceives.

    A few letters of Indic scripts are longer in that form: they stay, or a name would no longer fit its column.
    """
    name = min(unicodedata.normalize("NFC", name), name, key=len)
    for place, letter in enumerate(name):
        if _is_unseen(letter, name[place - 1 : place]):
            raise ValueError(
                Sentence("a name has no invisible character such as U+{letter}", letter=f"{ord(letter):04X}")
            )
        if _imitates(letter):
            raise ValueError(Sentence("write {letter} as an ordinary letter", letter=repr(letter)))
    for word in re.split(r"[\s\-]+", name):
        if len(set(_scripts_that_look_alike(word))) > 1:
            raise ValueError(Sentence("the letters of a word come from one alphabet"))
    return name


def name_faults(name: str, pointer: str = "") -> list[Fault]:
    """What speaks against the name, for whoever has it from elsewhere than a body."""
    try:
        readable(name)
    except ValueError as error:
        return [Fault(pointer, "not_a_name", words_of(error))]
    return []


Name = Annotated[str, Field(min_length=1, max_length=120), AfterValidator(readable)]
ShortName = Annotated[str, Field(min_length=1, max_length=60), AfterValidator(readable)]


def _is_unseen(letter: str, before: str) -> bool:
    if letter in JOINERS and JOINED.match(before):
        return False
    return unicodedata.category(letter) in UNSEEN or BLANK.match(letter) is not None


def _imitates(letter: str) -> bool:
    """A Latin letter of another width or style, as in a formula: it reads as the ordinary one."""
    if letter.isascii() or letter in ORDINALS:
        return False
    plain = unicodedata.normalize("NFKC", letter)
    return len(plain) == 1 and plain.isascii() and plain.isalpha()


def _scripts_that_look_alike(word: str) -> Iterator[str]:
    for letter in word:
        script = unicodedata.name(letter, "").partition(" ")[0]
        if unicodedata.category(letter).startswith("L") and script in ALIKE:
            yield script
