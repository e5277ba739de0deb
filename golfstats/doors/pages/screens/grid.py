"""A card as a grid of fields: a row a hole, ratings beneath. Shown from values by field, and read back from them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils.text import capfirst
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from courses.layout.answers import TeeSet as TeeTold
from courses.layout.models import Gender, Section
from golfstats.doors.pages.forms import fault_words
from golfstats.ground.faults import Fault

COLUMNS = ("length", "par_men", "stroke_index_men", "par_women", "stroke_index_women")
HEADINGS = (noop("Length"), noop("Par, men"), noop("Index, men"), noop("Par, women"), noop("Index, women"))
WITHIN = (
    noop("length"),
    noop("par of men"),
    noop("index of men"),
    noop("par of women"),
    noop("index of women"),
)
"""The same within the label of a field."""
RATED = ("course_rating", "slope_rating", "par")
FIELDS = {
    **dict(zip(COLUMNS, WITHIN, strict=True)),
    "course_rating": noop("course rating"),
    "slope_rating": noop("slope rating"),
    "par": noop("par"),
    "name": noop("name of the course"),
    "tee": noop("name of the tees"),
    "unit": noop("unit of the lengths"),
    "altitude": noop("metres above the sea"),
    "number": noop("number"),
    "words": noop("words"),
}
"""What a fault calls the field in which it is."""
NAMES = {"18": noop("18 holes"), "front": noop("front nine"), "back": noop("back nine")}


@dataclass(frozen=True)
class GridCell:
    name: str
    label: str
    value: str
    wrong: bool


def shown(count: int, values: Mapping[str, str], faults: Sequence[Fault]) -> dict[str, object]:
    """What the template of a grid of so many holes needs."""
    wrong = {_field_of(fault, values) for fault in faults}

    def cell(name: str, label: str) -> GridCell:
        return GridCell(name, label, values.get(name, ""), name in wrong)

    headings = [gettext(one) for one in HEADINGS]
    within = [gettext(one) for one in WITHIN]
    rows = [
        (
            number,
            [
                cell(
                    f"h{number}-{column}",
                    gettext("Hole {number}, {heading}").format(number=number, heading=heading),
                )
                for column, heading in zip(COLUMNS, within, strict=True)
            ],
        )
        for number in range(1, count + 1)
    ]
    ratings = [
        (
            f"{gettext(gender)}, {gettext(NAMES[section])}",
            [
                cell(
                    f"r-{gender}-{section}-{column}",
                    f"{gettext(gender)}, {gettext(NAMES[section])}: {gettext(FIELDS[column])}",
                )
                for column in RATED
            ],
        )
        for gender, section in _rated(count)
    ]
    return {
        "headings": headings,
        "rows": rows,
        "ratings": ratings,
        "faults": [_fault_words(fault) for fault in faults],
    }


def _rated(holes: int) -> list[tuple[str, str]]:
    sections = [one.value for one in Section] if holes == 18 else [Section.FRONT.value]
    return [(gender.value, section) for gender in Gender for section in sections]


def values_of(tee: TeeTold, source: TeeTold | None) -> dict[str, str]:
    values: dict[str, str] = {}
    for hole in source.holes if source else ():
        for column in COLUMNS:
            value = getattr(hole, column)
            if value is not None and (column != "length" or source is tee):
                values[f"h{hole.number}-{column}"] = f"{value:g}"
    for rating in tee.ratings:
        for column in RATED:
            name = f"r-{rating.gender.value}-{rating.section.value}-{column}"
            values[name] = f"{getattr(rating, column):g}"
    return values


def holes_of(values: Mapping[str, str], count: int) -> list[dict[str, str | int]]:
    holes = []
    for number in range(1, count + 1):
        hole: dict[str, str | int] = {"number": number}
        for column in COLUMNS:
            text = values.get(f"h{number}-{column}", "").replace(",", ".")
            if text:
                hole[column] = text
        holes.append(hole)
    return holes


def ratings_of(values: Mapping[str, str]) -> list[dict[str, str]]:
    """Ratings of which anything was entered, in the order of the grid."""
    ratings = []
    for gender in Gender:
        for section in Section:
            start = f"r-{gender.value}-{section.value}-"
            given = {column: values.get(start + column, "").replace(",", ".") for column in RATED}
            if any(given.values()):
                known = {name: text for name, text in given.items() if text}
                ratings.append({"gender": gender.value, "section": section.value, **known})
    return ratings


def _field_of(fault: Fault, values: Mapping[str, str]) -> str:
    steps = fault.pointer.removeprefix("/").split("/")
    if len(steps) < 3 or not steps[1].isdigit():
        return ""
    if steps[0] == "holes":
        return f"h{int(steps[1]) + 1}-{steps[2]}"
    given = ratings_of(values)
    rating = given[int(steps[1])] if int(steps[1]) < len(given) else None
    return f"r-{rating['gender']}-{rating['section']}-{steps[2]}" if rating else ""


def _fault_words(fault: Fault) -> str:
    steps = fault.pointer.removeprefix("/").split("/")
    name = steps[2] if len(steps) > 2 else steps[0]
    return (
        _where(steps, fault.hole, gettext(FIELDS[name])) + fault_words(fault)
        if name in FIELDS
        else fault_words(fault)
    )


def _where(steps: Sequence[str], hole: int | None, what: str) -> str:
    if steps[0] == "holes":
        return gettext("Hole {value}, {what}: ").format(value=hole or int(steps[1]) + 1, what=what)
    if steps[0] == "ratings":
        return gettext("Rating, {what}: ").format(what=what)
    return gettext("{what}: ").format(what=capfirst(what))


def pasted_values(text: str, count: int) -> dict[str, str]:
    """Lines of a spreadsheet, a hole each: number, length, par and index of men, then of women.

    A first line of words is passed over, and a column that is missing at the end stays as it is.
    """
    values: dict[str, str] = {}
    lines = [line for line in text.replace(";", "\t").splitlines() if line.strip()]
    for line in lines:
        parts = [one.strip() for one in (line.split("\t") if "\t" in line else line.split())]
        if not re.fullmatch("[0-9]{1,2}", parts[0]) or not 1 <= int(parts[0]) <= count:
            continue
        for column, part in zip(COLUMNS, parts[1:], strict=False):
            values[f"h{int(parts[0])}-{column}"] = part
    return values
