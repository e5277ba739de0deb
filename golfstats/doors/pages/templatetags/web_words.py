"""How pages write numbers."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

from django import template
from django.conf import settings
from django.utils.html import json_script
from django.utils.safestring import SafeString
from django.utils.translation import gettext, pgettext

from golfstats.doors.pages.drawn_words import in_readers_words
from golfstats.doors.pages.forms import fault_words
from golfstats.doors.pages.meanings import meanings
from golfstats.doors.pages.script_words import script_words as words_of_scripts
from golfstats.doors.pages.shown import gain as gain_words
from golfstats.ground.club_names import club_words
from golfstats.ground.faults import ProblemError
from golfstats.ground.words import counted as counted_words
from golfstats.ground.words import (
    dated,
    month_of_year,
    percent_words,
    true_minus,
    why_given_up,
    with_marks,
)
from golfstats.ground.words import spoken as spoken_words
from players.golf.words import WithInterval, as_found_words, ends, range_words, strokes_words

register = template.Library()


@register.simple_tag
def script_words() -> SafeString:
    """What scripts of the page say, for ``words.js``."""
    return json_script(words_of_scripts(), "script-words")


@register.filter
def drawn(svg: str) -> str:
    """A picture that the worker drew, with its words in the reader's language."""
    return in_readers_words(svg)


@register.filter
def as_found(line: str) -> str:
    """Greens as a player found them."""
    return as_found_words(line)


@register.filter
def in_order_of_play(ratings: Sequence[Any]) -> list[Any]:
    """Those of all holes, of the front and of the back nine, of men and then of women."""
    return sorted(ratings, key=lambda one: (str(one.gender), ("18", "front", "back").index(str(one.section))))


@register.filter
def why(reason: str) -> str:
    return why_given_up(reason)


@register.filter
def gain(value: float | str | None) -> str:
    """Strokes gained; a round without them has none by part either, which a template gives as ""."""
    return gain_words(None if isinstance(value, str) else value)


@register.filter
def strokes(value: float | None) -> str:
    return "–" if value is None else with_marks(f"{value:.2f}")


@register.filter
def strokes_in(value: float, of: WithInterval) -> str:
    """Strokes to the decimals that the interval of ``of`` deserves."""
    return strokes_words(value, signed=False, within=ends(of))


@register.filter
def between(of: WithInterval) -> str:
    """The interval of strokes alone."""
    return range_words(of, decimals=2)


@register.filter
def number(value: float) -> str:
    """Without decimals that say nothing: 18, 4.5."""
    return with_marks(f"{value:g}") if abs(value) >= 1e-9 else "0"


@register.filter
def minus(value: Any) -> str:
    """A number as it is, with a true minus sign."""
    return with_marks(true_minus(value))


@register.filter(expects_localtime=True)
def day(value: dt.date | None, form: str) -> str:
    """A day or a moment, as the club writes it: ``day:"j M Y"`` is one of ``ground.words.FORMS``."""
    return "" if value is None else dated(value, form)


@register.filter
def month(day: dt.date) -> str:
    """A month and its year, as the club writes them."""
    return month_of_year(day)


@register.filter
def words(value: Any) -> str:
    """A word of a closed set as people write it, in the reader's language."""
    return gettext(str(value).replace("_", " "))


@register.filter
def club(name: str) -> str:
    """A golf club as people call it."""
    return club_words(name)


@register.filter
def faults(problem: ProblemError) -> list[str]:
    """What a page was refused for, each fault once, in words for people."""
    return list(dict.fromkeys(fault_words(fault) for fault in problem.faults))


@register.filter
def spoken(sentence: str) -> str:
    """What a room says, in the reader's language."""
    return spoken_words(sentence)


@register.filter
def percent(value: float | None) -> str:
    return "–" if value is None else percent_words(value)


@register.filter
def beside(value: float) -> str:
    """Yards to one side; right is positive."""
    if abs(value) < 0.5:
        return pgettext("beside the line", "none")
    words = gettext("{yards} right") if value > 0 else gettext("{yards} left")
    return words.format(yards=f"{abs(value):.0f}")


@register.filter
def counted(n: int, what: str) -> str:
    """``1 hole``, ``18 holes``."""
    return counted_words(n, what)


@register.filter
def cut_query(address: str) -> str:
    """An address without what it asks for."""
    return address.partition("?")[0]


@register.filter
def own_name(language: str) -> str:
    """What a language that pages speak calls itself."""
    return str(dict(settings.LANGUAGES)[language])


@register.inclusion_tag("web/_what_is.html", takes_context=True)
def what_is(context: Mapping[str, Any], *keys: str, of: str = "") -> dict[str, Any]:
    """What the figures here mean, folded: ``of`` tells one such from the others to who only hears them."""
    return _what_is(context, keys, of)


@register.inclusion_tag("web/_what_is.html", takes_context=True)
def what_these_are(context: Mapping[str, Any], keys: Sequence[str], of: str = "") -> dict[str, Any]:
    """The same of a list."""
    return _what_is(context, keys, of)


def _what_is(context: Mapping[str, Any], keys: Sequence[str], of: str) -> dict[str, Any]:
    return {"meanings": meanings(keys, context["club"].distance_unit), "of": of}
