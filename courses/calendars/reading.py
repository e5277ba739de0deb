"""Planned work from a calendar file. The file may be anything at all: it is looked through before it is parsed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import islice
from typing import Any
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event

from courses.calendars.writing import GREENS_PROPERTY
from courses.greens.models import WorkStatus
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.ground import inputs
from golfstats.ground.faults import Fault, ProblemError, Refusal, invalid
from golfstats.sentences import Sentence

MAX_BYTES = 512 * 1024
MAX_EVENTS = 500
MAX_LINES = 20_000
MAX_LINE_LENGTH = 8_000
"""Characters of a content line once its folds are undone."""
MAX_DEPTH = 3
"""A calendar, an event in it, an alarm in that."""
MAX_DAYS = 366
MAX_CATEGORIES = 20
"""Of one event; what it lists beyond them is not looked at."""
REPEATING = ("RRULE", "RDATE", "EXRULE", "RECURRENCE-ID")


ANYTHING = "*"
"""In an explicit mapping: every event that nothing else fits."""

WORDS: tuple[tuple[str, str], ...] = (
    # The first that is found decides, so narrower words come first.
    (r"double pass|two passes|twice", "coring_double_pass"),
    (r"summer vent", "venting_summer_core"),
    (r"drill", "drill_and_fill"),
    (r"sand inject", "sand_injection"),
    (r"hydro|water inject", "water_injection"),
    (r"air inject", "air_injection"),
    (r"solid|spik", "solid_tine"),
    (r"deep tin|deep aer", "deep_tine"),
    (r"needle|vent|pencil", "venting"),
    (r"spring (coring|aer|hollow)", "coring_spring"),
    (r"(autumn|fall) (coring|aer|hollow)", "coring_autumn"),
    (r"large tin|5/8", "coring_large"),
    (r"small tin|1/4", "coring_small"),
    (r"cor(e|ing)|hollow|aerat|aerif|tin(e|ing)", "coring_medium"),
    (r"deep (verti|scar)|scarif", "verticutting_deep"),
    (r"vertic|verti-c", "verticutting_light"),
    (r"groom", "grooming"),
    (r"brush", "brushing"),
    (r"slic|slit", "slicing"),
    (r"heavy (top|sand)", "topdressing_heavy"),
    (r"top-? ?dress|sanding", "topdressing_light"),
    (r"over-?seed", "overseeding"),
    (r"transition", "transition"),
    (r"roll", "rolling"),
    (r"hole change|pin change|new holes", "hole_change"),
    (r"re-?turf|sod|plug|repair", "turf_repair"),
    (r"diseas|winter ?kill|damage|snow mou?ld", "turf_damage"),
)
"""Our own list: trade words, and the kind that they usually mean."""


@dataclass(frozen=True)
class PlannedWork:
    """One event as green work. ``kind`` is ``None`` where its words are not known."""

    uid: str
    kind: str | None
    starts_on: date
    ends_on: date
    status: str
    summary: str
    categories: tuple[str, ...]
    note: str | None
    """``None``: the event has no description."""
    holes: list[int] | None
    """``None``: the event does not say."""


def read_calendar(body: bytes, time_zone: str, mapping: Mapping[str, str]) -> list[PlannedWork]:
    """The events of a calendar file. Raises a problem that names every event that cannot be taken.

    Times are turned into days of ``time_zone``. Repeating events are refused: which of the days count is
    for people to say, and a rule may go on for ever.
    """
    text = inputs.decoded(body)
    if inputs.NUL in text:
        raise _no_calendar(Sentence("a NUL is no character of a calendar"))
    text = _looked_through(text)
    calendar = _parsed(text)
    faults: list[Fault] = []
    planned: list[PlannedWork] = []
    for number, event in enumerate(_events(calendar)):
        try:
            planned.append(_planned(event, ZoneInfo(time_zone), mapping))
        except _UnusableEventError as error:
            faults.append(
                Fault(
                    f"/events/{number}",
                    error.code,
                    Sentence("{event}: {detail}", event=_name(event), detail=error.detail),
                )
            )
    faults += _repeated_uids(planned)
    if faults:
        raise invalid(faults, Sentence("Some events cannot be taken over"))
    return planned


class _UnusableEventError(ValueError):
    def __init__(self, code: str, detail: str) -> None:
        super().__init__(detail)
        self.code, self.detail = code, detail


def _looked_through(text: str) -> str:
    """The text without its time zone definitions; a problem where it is too much of anything.

    Time zones are known by name here. Their definitions hold repetition rules, which a parser works out.
    """
    lines = re.sub(r"\r?\n[ \t]", "", text).splitlines()
    if not lines or lines[0].strip().upper() != "BEGIN:VCALENDAR":
        raise _no_calendar(Sentence("it does not start with BEGIN:VCALENDAR"))
    _refuse_too_much(lines)
    kept: list[str] = []
    inside: list[str] = []
    for number, line in enumerate(lines, start=1):
        word, _, name = (part.strip().upper() for part in line.partition(":"))
        if word == "BEGIN":
            inside.append(name)
        if len(inside) > MAX_DEPTH:
            raise _too_much(
                Sentence(
                    "line {number}: components nested deeper than {max_depth}",
                    number=number,
                    max_depth=MAX_DEPTH,
                )
            )
        if "VTIMEZONE" not in inside:
            kept.append(line)
        if word == "END" and (not inside or inside.pop() != name):
            raise _no_calendar(
                Sentence("line {number}: END:{name} without its BEGIN", number=number, name=name[:40])
            )
    if inside:
        raise _no_calendar(Sentence("{inside} has no END", inside=inside[-1][:40]))
    return "\r\n".join(kept) + "\r\n"


def _refuse_too_much(lines: list[str]) -> None:
    if len(lines) > MAX_LINES:
        raise _too_much(Sentence("more than {max_lines} lines", max_lines=MAX_LINES))
    if max(map(len, lines)) > MAX_LINE_LENGTH:
        raise _too_much(
            Sentence(
                "a content line of more than {max_line_length} characters", max_line_length=MAX_LINE_LENGTH
            )
        )
    if sum(line.strip().upper() == "BEGIN:VEVENT" for line in lines) > MAX_EVENTS:
        raise _too_much(Sentence("more than {max_events} events", max_events=MAX_EVENTS))


def _parsed(text: str) -> object:
    # Whatever a parser of foreign text may stumble over.
    try:
        return Calendar.from_ical(text)
    except OSError:
        # A folder of the time zone database; its path is nobody's business.
        raise _no_calendar(Sentence("a TZID that names no time zone")) from None
    except (ValueError, KeyError, IndexError, TypeError, AttributeError) as error:
        raise _no_calendar(str(error)[:200]) from None


def _events(calendar: Any) -> list[Event]:
    return [part for part in calendar.subcomponents if isinstance(part, Event)]


def _planned(event: Event, zone: ZoneInfo, mapping: Mapping[str, str]) -> PlannedWork:
    for name in REPEATING:
        if name in event:
            raise _UnusableEventError(
                "repeating", Sentence("{name}: enter each date as an event of its own", name=name)
            )
    uid = _text(event, "UID")
    if not 0 < len(uid) <= 255:
        raise _UnusableEventError("no_uid", Sentence("UID of 1 to 255 characters is missing"))
    first, last = _days(event, zone)
    status = _text(event, "STATUS").lower() or WorkStatus.CONFIRMED.value
    if status not in WorkStatus.values:
        raise _UnusableEventError(
            "unknown_status", Sentence("STATUS is one of {values}", values=", ".join(WorkStatus.values))
        )
    categories = tuple(_categories(event))
    summary = _text(event, "SUMMARY")[:2000]
    return PlannedWork(
        uid=uid,
        kind=kind_of(categories, summary, mapping),
        starts_on=first,
        ends_on=last,
        status=status,
        summary=summary,
        categories=categories,
        note=_text(event, "DESCRIPTION")[:2000] if "DESCRIPTION" in event else None,
        holes=_greens(event),
    )


def _days(event: Event, zone: ZoneInfo) -> tuple[date, date]:
    """First and last day. DTEND is exclusive; without it an all-day event lasts one day (RFC 5545, 3.6.1)."""
    try:
        start, end = event.start, event.end
        length = end - start
    except (ValueError, TypeError, AttributeError, OverflowError) as error:
        raise _UnusableEventError("no_dates", str(error)[:200] or "DTSTART is missing") from None
    if length < timedelta(0):
        raise _UnusableEventError("ends_before_start", Sentence("DTEND is before DTSTART"))
    first, last = _local(start, zone), _local(end, zone)
    # An end at midnight, and any end that is a day, belongs to the day before.
    if length and (not isinstance(end, datetime) or _is_midnight(end, zone)):
        last -= timedelta(days=1)
    if not (2000 <= first.year <= 2100) or (last - first).days > MAX_DAYS:
        raise _UnusableEventError(
            "implausible_dates",
            Sentence("years 2000 to 2100, no more than {max_days} days", max_days=MAX_DAYS),
        )
    return first, last


def _local(moment: date | datetime, zone: ZoneInfo) -> date:
    if not isinstance(moment, datetime):
        return moment
    try:
        return (moment.astimezone(zone) if moment.tzinfo else moment).date()
    except OverflowError:
        raise _UnusableEventError("implausible_dates", Sentence("the date cannot be right")) from None


def _is_midnight(moment: datetime, zone: ZoneInfo) -> bool:
    return (moment.astimezone(zone) if moment.tzinfo else moment).time() == time(0)


def _text(event: Event, name: str) -> str:
    value = event.get(name, "")
    return str(value[0] if isinstance(value, list) else value).strip()


def _categories(event: Event) -> list[str]:
    value = event.get("CATEGORIES", [])
    lists = value if isinstance(value, list) else [value]
    words = (str(word) for one in lists for word in getattr(one, "cats", [one]))
    return list(islice(words, MAX_CATEGORIES))


def _greens(event: Event) -> list[int] | None:
    numbers = _text(event, GREENS_PROPERTY).split()
    if not numbers:
        return None
    if len(numbers) > 18 or not all(re.fullmatch("[1-9]|1[0-8]", number) for number in numbers):
        raise _UnusableEventError(
            "no_such_green",
            Sentence(
                "{greens_property} lists numbers of greens, such as 3 7", greens_property=GREENS_PROPERTY
            ),
        )
    return sorted({int(number) for number in numbers})


def _repeated_uids(planned_work: list[PlannedWork]) -> list[Fault]:
    seen: set[str] = set()
    faults = []
    for number, planned in enumerate(planned_work):
        if planned.uid in seen:
            faults.append(
                Fault(
                    f"/events/{number}",
                    "uid_twice",
                    Sentence("{summary}: UID {uid} twice", summary=planned.summary, uid=planned.uid),
                )
            )
        seen.add(planned.uid)
    return faults


def _name(event: Event) -> str:
    return (_text(event, "SUMMARY") or _text(event, "UID") or "event without a name")[:80]


def _no_calendar(why: str) -> ProblemError:
    return ProblemError("not-a-calendar", Sentence("The body is not an iCalendar file"), detail=why)


def _too_much(why: str) -> ProblemError:
    return ProblemError("too-large", Sentence("The calendar is too large"), Refusal.TOO_LARGE, detail=why)


def kind_of(categories: Iterable[str], summary: str, mapping: Mapping[str, str]) -> str | None:
    """The kind of an event: by the caller's mapping, by our kinds' names, by trade words; ``None`` if unknown.

    Categories are asked before the summary. Keys of ``mapping`` are lower case.
    """
    texts = [text.strip().lower() for text in [*categories, summary] if text.strip()]
    for text in texts:
        if text in mapping:
            return mapping[text]
    for text in texts:
        kind = _by_name(text) or _by_words(text)
        if kind:
            return kind
    return mapping.get(ANYTHING)


def _by_name(text: str) -> str | None:
    for kind, work_type in work_types().items():
        if text in (kind, work_type.words):
            return kind
    return None


def _by_words(text: str) -> str | None:
    for pattern, kind in WORDS:
        if re.search(pattern, text):
            return kind
    return None
