"""What a worker's pictures say: kept in English, and said in the reader's language where they are shown."""

from __future__ import annotations

import re
from html import escape, unescape

from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.ground.club_names import club_words
from golfstats.ground.words import in_english, with_marks
from players.plans.answers import SURFACES

FIXED = {words for _, words in SURFACES} | {
    noop("tee"),
    noop("hole"),
    noop("The hole from above"),
    noop("The hole from above (generic)"),
    noop("The greens on paper, all at one scale"),
    noop("Lightning and heat stop play. The committee decides what may be used in a round."),
}
"""Texts that are translated whole; a name of a club or a number stays as it is."""
_SCALE = re.compile(r"5 yards = ([\d.]+) inch \(at most 0\.375 by Rule 4\.3a/1\)")
_PAR = re.compile(r"par (\d)")
_TEXT = re.compile(r"(?<=>)[^<>]+(?=</(?:title|text)>)|(?<=aria-label=\")[^\"]+(?=\")")


def in_readers_words(svg: str) -> str:
    """A hole's picture, or a page of the card, in the reader's language."""
    return svg if in_english() else _TEXT.sub(lambda text: _told(text[0]), svg)


def _told(text: str) -> str:
    words = unescape(text)
    if words in FIXED:
        return escape(gettext(words))
    if words != club_words(words):
        return escape(club_words(words))
    if scale := _SCALE.fullmatch(words):
        told = gettext("5 yards = {inches} inch (at most 0.375 by Rule 4.3a/1)")
        return escape(told.format(inches=with_marks(scale[1])))
    par = _PAR.fullmatch(words)
    return escape(gettext("par {par}").format(par=par[1])) if par else text
