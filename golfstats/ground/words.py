"""How the service says things: counts, signed numbers, a handicap index, notices. One place for every door."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from decimal import Decimal
from typing import Any, TypeVar

from django.conf import settings
from django.utils.formats import date_format, get_format
from django.utils.text import capfirst
from django.utils.translation import get_language, gettext, ngettext, override
from django.utils.translation import gettext_noop as noop

from golfstats.ground.club_names import club_words
from golfstats.sentences import Kept, Sentence, from_kept

T = TypeVar("T")
UNOFFICIAL = noop("Unofficial: only an authorised association issues a Handicap Index.")
_FAULT_OF_THE_PROGRAM = re.compile(r"[A-Z]\w+: ")
"""As the worker keeps an exception."""
_ISO_DAY = re.compile(r"\d{4}-\d\d-\d\d")
_NUMBER = re.compile(r"[+−-]?\d[\d,]*(\.\d+)?%?")


def spoken(words: str) -> str:
    """What a calculation says, in the reader's language; text that is no sentence of a calculation as it is."""
    if not isinstance(words, Sentence):
        return words
    if words.counts is not None:
        return counted(*words.counts)
    values = {name: _value(one) for name, one in words.values.items()}
    text = gettext(words.template) if words.template else ""
    text = text.format(**values) if values else text
    return capfirst(text) if words.begins_large else text


def why_given_up(reason: str) -> str:
    """Why the worker gave work up: what was written for people, and of a fault of the program only that it is one."""
    if _FAULT_OF_THE_PROGRAM.match(reason):
        return gettext("a fault of the service, which its log tells to whoever runs it")
    return gettext(reason) if reason else ""


def told_again(text: str, kept: Kept | None) -> str:
    """What was written down as English text and in parts, in the reader's language and with the club's days."""
    return spoken(from_kept(kept)) if kept is not None and _is_told_otherwise(text) else text


def told_document(document: Mapping[str, Any]) -> Mapping[str, Any]:
    """A stored document in the reader's language, as far as it keeps how its sentences are made."""
    kept = document.get("made_of") or {}
    otherwise = kept if not in_english() else filter(_ISO_DAY.search, kept)
    words = {text: spoken(from_kept(kept[text])) for text in otherwise}
    told: Mapping[str, Any] = _in_words(document, words) if words else document
    return told


def _is_told_otherwise(stored: str) -> bool:
    """Text is stored in English, its days in ISO 8601."""
    return not in_english() or _ISO_DAY.search(stored) is not None


def _in_words(part: Any, words: Mapping[str, str]) -> Any:
    if isinstance(part, str):
        return words.get(part, part)
    if isinstance(part, dict):
        return {name: _in_words(one, words) for name, one in part.items() if name != "made_of"}
    return [_in_words(one, words) for one in part] if isinstance(part, list) else part


def _value(value: object) -> object:
    """A sentence within a sentence, a number with the marks of the language, or a name."""
    if isinstance(value, Sentence):
        return spoken(value)
    if isinstance(value, dt.date):
        return day_words(value)
    return _day_number_or_name(value) if isinstance(value, str) else value


def _day_number_or_name(text: str) -> str:
    """What is kept of a sentence is text, its days in ISO 8601 and its golf clubs by their English names."""
    if _ISO_DAY.fullmatch(text):
        return day_words(dt.date.fromisoformat(text))
    return with_marks(text) if _NUMBER.fullmatch(text) else club_words(text)


def number_as_read(text: str) -> str:
    """With the marks of the reader's language, if it is a number; other text as it is."""
    return with_marks(text) if _NUMBER.fullmatch(text) else text


DAY_MONTH, MONTH_DAY, ISO = "day_month", "month_day", "iso"
_date_style: ContextVar[str] = ContextVar("date_style", default=DAY_MONTH)
_days_written: ContextVar[dict[tuple[dt.date, str, str | None], str] | None] = ContextVar(
    "days_written", default=None
)
"""Days as they were written within one ``dates_as``, by day, form and language."""
FORMS: Mapping[str, tuple[str, str]] = {
    noop("j M Y"): ("M j, Y", "Y-m-d"),
    noop("j F Y"): ("F j, Y", "Y-m-d"),
    noop("j M"): ("M j", "Y-m-d"),
    noop("j F"): ("F j", "Y-m-d"),
    noop("D j M"): ("D, M j", "D Y-m-d"),
    noop("l j F"): ("l, F j", "l Y-m-d"),
    noop("j M Y H:i"): ("M j, Y H:i", "Y-m-d H:i"),
    noop("j F Y H:i"): ("F j, Y H:i", "Y-m-d H:i"),
    noop("j M H:i:s"): ("M j, H:i:s", "Y-m-d H:i:s"),
}
"""Each form in which a day is written, with the day first: the same with the month first, and in ISO 8601.

ISO 8601 has no day without its year."""


@contextmanager
def dates_as(style: str) -> Iterator[None]:
    """Within this, days are written as a club writes them: ``day_month``, ``month_day`` or ``iso``."""
    before, days_before = _date_style.set(style), _days_written.set({})
    try:
        yield
    finally:
        _date_style.reset(before)
        _days_written.reset(days_before)


def dated(day: dt.date, form: str) -> str:
    """A day, or a moment, in one of ``FORMS`` as the club writes it, in the reader's language."""
    written = _days_written.get()
    # Moments of two time zones may be equal and yet be written otherwise.
    if written is None or isinstance(day, dt.datetime):
        return _dated(day, form)
    # A page of trends writes each of its days ten times, and each time takes Django 25 µs.
    key = (day, form, get_language())
    if key not in written:
        written[key] = _dated(day, form)
    return written[key]


def _dated(day: dt.date, form: str) -> str:
    style = _date_style.get()
    if style == DAY_MONTH:
        return date_format(day, gettext(form))
    month_first, iso = FORMS[form]
    return date_format(day, month_first if style == MONTH_DAY else iso)


def counted(n: int, what: str) -> str:
    """``1 fault``, ``2 faults``, ``1,200 putts``."""
    one, several = f"%(n)s {what}", f"%(n)s {what}s"
    return ngettext(one, several, n) % {"n": with_marks(f"{n:,}")}


def with_marks(number: str) -> str:
    """A number as Python writes it, with the decimal and thousands marks of the reader's language."""
    decimal = str(get_format("DECIMAL_SEPARATOR"))
    if decimal == ".":
        return number
    return number.translate({ord("."): decimal, ord(","): str(get_format("THOUSAND_SEPARATOR"))})


def percent_words(share: float) -> str:
    """A share of 1 as a whole percentage: ``57%``."""
    return gettext("{percent}%").format(percent=f"{100 * share:.0f}")


def day_words(day: dt.date, *, year: bool = True) -> str:
    """``14 Nov 2026``, or ``14 Nov``; as the club writes it."""
    return dated(day, "j M Y" if year else "j M")


def month_of_year(day: dt.date) -> str:
    """``May 2026``, or ``2026-05`` where the club writes days in ISO 8601."""
    return date_format(day, "Y-m" if _date_style.get() == ISO else gettext("F Y"))


def true_minus(number: object) -> str:
    """A number as it is written, its hyphen made a minus sign."""
    return str(number).replace("-", "−")


def signed_number(value: float, decimals: int, *, plus: bool = False) -> str:
    """A number with a true minus sign; with ``plus`` also a plus. Zero has no sign."""
    text = f"{value:+.{decimals}f}" if plus else f"{value:.{decimals}f}"
    if float(text) == 0:
        text = text.lstrip("+-")
    return true_minus(with_marks(text))


def in_english() -> bool:
    """Whether the language of now is English, as it is for programs and for the worker."""
    return (get_language() or "en").startswith("en")


def in_other_languages(made: Callable[[], T]) -> dict[str, T]:
    """What is made, in every language that pages speak beside English; by the language's code."""
    told = {}
    for language, _name in settings.LANGUAGES:
        if language != settings.LANGUAGE_CODE:
            with override(language):
                told[language] = made()
    return told


def a_golfer(benchmark: str) -> str:
    """The golfer compared with, within a sentence: ``a woman of handicap 10``; several stay ``peers``.

    Other languages than English leave the name as it is: their sentences are made for that.
    """
    if not in_english():
        return spoken(benchmark)
    name = benchmark[:1].lower() + benchmark[1:]
    return name if name.endswith("s") else f"a {name}"


def index_words(index: Decimal | float | str | None) -> str:
    """A handicap index to a tenth, better than scratch with a plus; a dash where there is none."""
    if index is None:
        return "–"
    text = str(index)
    number = -float(text) if text.startswith("+") else float(text)
    return with_marks(f"+{-number:.1f}" if round(number, 1) < 0 else f"{abs(number):.1f}")
