"""What everybody should know of the greens before teeing off, in a line a course."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext

from courses.greens.answers import known_kinds
from courses.greens.condition import CourseDay, coming_days
from courses.layout.models import Course
from golfstats.ground.words import counted, percent_words

NEARLY = 0.05
"""Below this disturbance the greens are called nearly healed."""


@dataclass(frozen=True)
class GreensToday:
    """The greens of a course on a day, in a line."""

    course: Course
    words: str
    felt: bool


def greens_today(courses: Sequence[Course], today: date) -> list[GreensToday]:
    """What a player should know before teeing off, the courses whose greens are felt first.

    Of the club's own courses, since it knows of no work elsewhere. Two queries, whatever the number of courses.
    """
    courses = [course for course in courses if not course.provisional]
    todays = [
        GreensToday(course, today_words(states[0]), states[0].mean >= NEARLY or bool(states[0].temporary))
        for course, states in zip(courses, coming_days(courses, today, 1), strict=True)
    ]
    return sorted(todays, key=lambda one: not one.felt)


def today_words(state: CourseDay) -> str:
    """``Cored today: the greens are 90% disturbed.`` and where temporary greens are in play."""
    if not state.felt and not state.temporary:
        return gettext("The greens are undisturbed.")
    works = []
    for row in state.felt[:2]:
        since = (state.day - row.starts_on).days
        when = (
            gettext("today")
            if since == 0
            else gettext("yesterday")
            if since == 1
            else gettext("{since} days ago").format(since=since)
        )
        where = (
            " " + gettext("on greens {greens}").format(greens=", ".join(map(str, row.holes)))
            if row.holes
            else ""
        )
        works.append(f"{gettext(known_kinds()[row.kind].words)} {when}{where}")
    text = "; ".join(works)
    how = (
        gettext("the greens are nearly healed")
        if state.mean < NEARLY
        else gettext("the greens are {mean} disturbed").format(mean=percent_words(state.mean))
    )
    scale = "" if state.mean < NEARLY else " " + gettext("(100% is just cored)")
    sentence = f"{text[:1].upper()}{text[1:]}: {how}{scale}."
    parts = [sentence] if works else []
    if state.temporary:
        parts.append(
            gettext("Temporary greens on {holes}.").format(holes=counted(len(state.temporary), "hole"))
        )
    return " ".join(parts)
