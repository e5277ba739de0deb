"""What is wrong with a posted value, in words for people: of forms, of scripts and of programs alike."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext_noop as noop
from pydantic_core import ErrorDetails, PydanticCustomError

from golfstats.sentences import Sentence, counted, words_of

NUMBER, WHOLE_NUMBER = noop("enter a number"), noop("enter a whole number")
TEXT = noop("enter a text")
LIST, OBJECT = noop("a list belongs here"), noop("an object with named fields belongs here")
YES_OR_NO = noop("yes or no, as true or false")
A_DAY = noop("a day is written as 2026-06-14")
A_TIME = noop("a time is written as 09:30")
A_MOMENT = noop("a moment is written with day, time and offset: 2026-06-14T09:30:00Z")
NO_ID = noop("nothing has this as its id")
ONE_OF = noop("one of {values}")
AT_MOST, AT_LEAST = noop("no more than {number}"), noop("at least {number}")

WORDS: Mapping[str, str] = {
    "missing": noop("this is missing"),
    "extra_forbidden": noop("this is not asked here"),
    "int_type": WHOLE_NUMBER,
    "int_parsing": WHOLE_NUMBER,
    "int_from_float": WHOLE_NUMBER,
    "int_parsing_size": noop("this number is too large"),
    "float_type": NUMBER,
    "float_parsing": NUMBER,
    "decimal_type": NUMBER,
    "decimal_parsing": NUMBER,
    "finite_number": NUMBER,
    "decimal_max_digits": noop("no more than {max_digits} digits"),
    "decimal_max_places": noop("no more than {decimal_places} digits after the decimal point"),
    "decimal_whole_digits": noop("no more than {whole_digits} digits before the decimal point"),
    "greater_than_equal": noop("enter {ge} or more"),
    "less_than_equal": noop("enter {le} or less"),
    "greater_than": noop("enter more than {gt}"),
    "less_than": noop("enter less than {lt}"),
    "bool_type": YES_OR_NO,
    "bool_parsing": YES_OR_NO,
    "enum": ONE_OF,
    "literal_error": ONE_OF,
    "string_type": TEXT,
    "string_unicode": TEXT,
    "string_too_long": AT_MOST,
    "string_too_short": AT_LEAST,
    "string_pattern_mismatch": noop("this is not written as it is asked for: {pattern}"),
    "too_long": noop("no more than {max_length} of them"),
    "too_short": noop("at least {min_length} of them"),
    "list_type": LIST,
    "tuple_type": LIST,
    "set_type": LIST,
    "frozen_set_type": LIST,
    "dict_type": OBJECT,
    "mapping_type": OBJECT,
    "model_type": OBJECT,
    "model_attributes_type": OBJECT,
    "dataclass_type": OBJECT,
    "date_type": A_DAY,
    "date_parsing": A_DAY,
    "date_from_datetime_parsing": A_DAY,
    "date_from_datetime_inexact": A_DAY,
    "time_type": A_TIME,
    "time_parsing": A_TIME,
    "datetime_type": A_MOMENT,
    "datetime_parsing": A_MOMENT,
    "datetime_from_date_parsing": A_MOMENT,
    "datetime_object_invalid": A_MOMENT,
    "timezone_aware": A_MOMENT,
    "uuid_type": NO_ID,
    "uuid_parsing": NO_ID,
    "uuid_version": NO_ID,
}
"""By the code that pydantic gives, with the bound that was passed. Our own checks come with words already."""

EMAIL_PATTERN = r"^[^@\s]+@[^@\s]+$"
OF_PATTERNS: Mapping[str, str] = {EMAIL_PATTERN: noop("an email address is written as name@example.org")}
"""What a pattern asks for, which people need not read."""

OF_DAYS: Mapping[str, str] = {
    "greater_than_equal": noop("{ge} or later"),
    "less_than_equal": noop("{le} or earlier"),
    "greater_than": noop("later than {gt}"),
    "less_than": noop("earlier than {lt}"),
}
"""The bounds of what is no number."""
A_BOUND_IN_TIME = re.compile(r"(?:datetime\.date\()?(\d{4})(?:, |-)(\d\d?)(?:, |-)(\d\d?)")
"""``datetime.date(1900, 1, 1)`` or ``1900-01-01T00:00:00Z``, as pydantic passes the bound of a day or a moment."""


def input_fault(code: str, words: Sentence) -> PydanticCustomError:
    """For a check of a model to raise, where its fault has a code of its own."""
    return PydanticCustomError(code, "{words}", {"words": words})


def input_words(details: ErrorDetails) -> str:
    """What a model says of one value; English text that can be said in other languages."""
    code, bounds = details["type"], details.get("ctx", {})
    ours = _raised(bounds)
    if ours is not None:
        return ours
    values = _values(code, bounds)
    of_days = any(isinstance(value, dt.date) for value in values.values())
    words = (OF_DAYS if of_days else WORDS).get(code)
    words = OF_PATTERNS.get(str(bounds.get("pattern")), words)
    return details["msg"] if words is None else Sentence(words, **values)


def _raised(bounds: Mapping[str, Any]) -> Sentence | None:
    """The sentence with which a check of ours refused the value."""
    error = bounds.get("error")
    words = words_of(error) if isinstance(error, ValueError) else bounds.get("words")
    return words if isinstance(words, Sentence) else None


def _values(code: str, bounds: Mapping[str, Any]) -> dict[str, object]:
    if code in {"enum", "literal_error"}:
        return {"values": ", ".join(re.findall(r"'([^']*)'", bounds["expected"])) or bounds["expected"]}
    if code == "string_too_long":
        return {"number": counted(bounds["max_length"], "character")}
    if code == "string_too_short":
        return {"number": counted(bounds["min_length"], "character")}
    return {name: _bound(bound) for name, bound in bounds.items()}


def _bound(bound: object) -> object:
    """As people write it: ``1`` and not ``1.0``, a day as a day."""
    if isinstance(bound, float):
        return f"{bound:,g}".replace("-", "−")
    day = A_BOUND_IN_TIME.match(str(bound))
    if day:
        return dt.date(*map(int, day.groups()))
    return str(bound) if isinstance(bound, Decimal) else bound
