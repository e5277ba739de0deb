"""What a worker's pictures say: kept in English, and said in the reader's language where they are shown."""

from __future__ import annotations

import re
from html import escape, unescape

from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.ground.words import in_english
from players.plans.answers import SURFACES

FIXED = {words for _, words in SURFACES} | {
    noop("tee"),
    noop("hole"),
    noop("The hole from above"),
    noop("The hole from above (generic)"),
    noop("Lightning and heat stop play. The committee decides what may be used in a round."),
}
"""Texts that are translated whole; a name of a club or a number stays as it is."""
_PAR = re.compile(r"par (\d)")
_TEXT = re.compile(r"(?<=>)[^<>]+(?=</(?:title|text)>)|(?<=aria-label=\")[^\"]+(?=\")")


def in_readers_words(svg: str) -> str:
    """A hole's picture, or a page of the card, in the reader's language."""
    return svg if in_english() else _TEXT.sub(lambda text: _told(text[0]), svg)


def _told(text: str) -> str:
    words = unescape(text)
    if words in FIXED:
        return escape(gettext(words))
    par = _PAR.fullmatch(words)
    return escape(gettext("par {par}").format(par=par[1])) if par else text
