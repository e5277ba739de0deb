"""What phones and hands make of the notation, read as what was meant: never a guess between two meanings."""

from __future__ import annotations

import datetime as dt
import re
import unicodedata

_LOOKALIKES = str.maketrans(
    {
        **dict.fromkeys(
            "\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\t", " "
        ),
        **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-"),
        "\u00d7": "x",
        "\uff0c": ",",
        "\uff1b": ";",
        "\uff1d": "=",
        "\uff0b": "+",
        "\uff08": "(",
        "\uff09": ")",
    }
)
"""Each for one character, so that columns stay what they are."""
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH = r"(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?"
_ISO = re.compile(r"(\d{4})[-./](\d{1,2})[-./](\d{1,2})", re.ASCII)
_NUMBERS = re.compile(r"(\d{1,2})[-./]\s?(\d{1,2})[-./]\s?(\d{4})", re.ASCII)
_DAY_FIRST = re.compile(rf"(\d{{1,2}})(?:st|nd|rd|th|\.)?\s+{_MONTH},?\s+(\d{{4}})", re.ASCII)
_MONTH_FIRST = re.compile(rf"{_MONTH}\s+(\d{{1,2}})(?:st|nd|rd|th)?,?\s+(\d{{4}})", re.ASCII)
_CLOCK = re.compile(r"(\d{1,2})[:.](\d\d)\s*(am|pm)?", re.ASCII)
_MEASURE = re.compile(r"(-?\d+(?:[.,]\d+)?)\s*(?:°\s*c?|c|degrees|mph)?", re.ASCII)
_ESCAPED = {"\\": "\\", "n": "\n"}
_ESCAPE = re.compile(r"\\(\\|n|u[0-9a-f]{4})")


def plain_line(text: str) -> str:
    """The line with look-alike characters as the notation has them; each stays in its column."""
    return text.translate(_LOOKALIKES)


def day_of(written: str) -> dt.date | None:
    """The one day that this can mean; nothing where it is none, or could be two."""
    text = written.strip().casefold()
    if match := _ISO.fullmatch(text):
        return _date(int(match[1]), int(match[2]), int(match[3]))
    if match := _DAY_FIRST.fullmatch(text):
        return _date(int(match[3]), _MONTHS.index(match[2]) + 1, int(match[1]))
    if match := _MONTH_FIRST.fullmatch(text):
        return _date(int(match[3]), _MONTHS.index(match[1]) + 1, int(match[2]))
    if match := _NUMBERS.fullmatch(text):
        one, other, year = int(match[1]), int(match[2]), int(match[3])
        days = {_date(year, other, one), _date(year, one, other)} - {None}
        return days.pop() if len(days) == 1 else None
    return None


def _date(year: int, month: int, day: int) -> dt.date | None:
    try:
        return dt.date(year, month, day)
    except ValueError:
        return None


def clock_of(written: str) -> str:
    """``9:30``, ``9.30`` and ``1:05 pm`` as a time of day; anything else stays for the checks to refuse."""
    match = _CLOCK.fullmatch(written.strip().casefold())
    if match is None:
        return written
    hour = int(match[1])
    if match[3]:
        if not 1 <= hour <= 12:
            return written
        hour = hour % 12 + (12 if match[3] == "pm" else 0)
    return f"{hour:02d}:{match[2]}"


def measure_of(written: str) -> str:
    """``18,5``, ``18 °C`` and ``12 mph`` as a number; anything else stays for the checks to refuse."""
    match = _MEASURE.fullmatch(written.strip().casefold())
    return match[1].replace(",", ".") if match else written


def yes_or_no(written: str) -> bool | None:
    word = written.strip().casefold()
    return True if word in {"yes", "y", "true"} else False if word in {"no", "n", "false"} else None


def word_in_header(written: str) -> str:
    """``Stroke play`` as ``stroke_play``, ``18 holes`` as ``18``, ``front nine`` as ``front``."""
    words = written.casefold().replace("-", " ").replace("_", " ").split()
    if len(words) == 2 and words[1] in {"holes", "nine", "9"}:
        words.pop()
    return "_".join(words)


def escaped(text: str) -> str:
    """A text as it stands on one line: no white space but blanks, and no backslash that could be an escape."""
    spelt = text.replace("\\", "\\\\").replace("\n", "\\n")
    return "".join(f"\\u{ord(one):04x}" if one.isspace() and one != " " else one for one in spelt)


def unescaped(text: str) -> str:
    """The inverse of :func:`escaped`."""

    def character(match: re.Match[str]) -> str:
        code = match[1]
        if code in _ESCAPED:
            return _ESCAPED[code]
        one = chr(int(code[1:], 16))
        return match[0] if unicodedata.category(one) == "Cs" else one  # half a character is none

    return _ESCAPE.sub(character, text)
