"""How programs of other places write files: their encoding, what stands between cells, and their days and numbers."""

from __future__ import annotations

import codecs
import csv
import io
import re
from datetime import date
from enum import StrEnum

from golfstats.ground.faults import ProblemError
from golfstats.ground.inputs import NUL
from golfstats.sentences import Sentence, one_or_another

DELIMITERS = (",", ";", "\t")
_DAY = re.compile(r"(\d{1,4})[./-](\d{1,2})[./-](\d{1,4})")
_DECIMAL_COMMA = re.compile(r"-?\d+,\d+")


class Encoding(StrEnum):
    UTF_8 = "utf-8"
    """With or without a byte order mark."""
    UTF_16 = "utf-16"
    """As spreadsheets save Unicode text."""
    WINDOWS_1252 = "windows-1252"
    """Western European, as older spreadsheets save it."""


class DateOrder(StrEnum):
    """In which order a file writes days."""

    YEAR_FIRST = "year_first"
    """2026-06-14"""
    DAY_FIRST = "day_first"
    """14.6.2026, 14/06/26"""
    MONTH_FIRST = "month_first"
    """6/14/2026"""


LOOKS = {
    DateOrder.YEAR_FIRST: "2026-06-14",
    DateOrder.DAY_FIRST: "14.6.2026",
    DateOrder.MONTH_FIRST: "6/14/2026",
}


def text_of(file: bytes) -> tuple[str, Encoding]:
    """The file's text: UTF-8 or UTF-16 as its first bytes say, UTF-8 where it is that, else Windows-1252."""
    encoding = _encoding_of(file)
    try:
        text = file.decode("utf-8-sig" if encoding is Encoding.UTF_8 else encoding)
    except UnicodeDecodeError as error:
        detail = Sentence("byte {start} is none of {encoding}", start=error.start, encoding=encoding)
        raise ProblemError("not-text", Sentence("The file is not text"), detail=detail) from None
    if NUL in text:
        raise ProblemError("not-text", Sentence("The file is not text"))
    return text, encoding


def _encoding_of(file: bytes) -> Encoding:
    if file.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return Encoding.UTF_16
    try:
        file.decode("utf-8")
    except UnicodeDecodeError:
        return Encoding.WINDOWS_1252
    return Encoding.UTF_8


def delimiter_of(text: str) -> str:
    """Whichever parts the header into most cells; the comma of RFC 4180 where it makes no difference."""
    return max(DELIMITERS, key=lambda one: len(_header(text, one)))


def _header(text: str, delimiter: str) -> list[str]:
    try:
        return next(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter), [])
    except csv.Error:
        return []


def day_of(cell: str, order: str) -> date | None:
    """The day that a cell means; none where it is not written in this order, or is no day."""
    written = _DAY.fullmatch(cell)
    if written is None:
        return None
    one, two, three = written.groups()
    year, month, day = {
        DateOrder.YEAR_FIRST: (one, two, three),
        DateOrder.DAY_FIRST: (three, two, one),
        DateOrder.MONTH_FIRST: (three, one, two),
    }[DateOrder(order)]
    if len(day) > 2 or len(year) not in (2, 4) or (order == DateOrder.YEAR_FIRST and len(year) == 2):
        return None
    try:
        return date(int(year) + (2000 if len(year) == 2 else 0), int(month), int(day))
    except ValueError:
        return None


def no_day_words(cell: str, order: str) -> Sentence:
    """Why the cell is no day, and what would make it one."""
    like = Sentence(LOOKS[DateOrder(order)])
    if _DAY.fullmatch(cell) is None:
        return Sentence("{cell} is no day as in {like}", cell=repr(cell), like=like)
    others = [one for one in DateOrder if day_of(cell, one) is not None]
    words = Sentence("{cell} is no day of any month, read as in {like}", cell=repr(cell), like=like)
    if not others:
        return words
    orders = [Sentence("{order} ({like})", order=one.value, like=Sentence(LOOKS[one])) for one in others]
    return Sentence(
        "{no_day}; it would be one with dates: {orders}", no_day=words, orders=one_or_another(orders)
    )


def order_of(cells: list[str]) -> DateOrder | None:
    """The only order in which all these cells are days; none where there are none, or several."""
    orders = [one for one in DateOrder if cells and all(day_of(cell, one) for cell in cells)]
    return orders[0] if len(orders) == 1 else None


def point_for_comma(cell: str) -> str:
    """A number with a decimal comma as programs read it."""
    return cell.replace(",", ".") if _DECIMAL_COMMA.fullmatch(cell) else cell
