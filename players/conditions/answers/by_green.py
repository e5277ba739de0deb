"""What green work costs green by green, as last fitted by the worker."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext

from courses.layout.models import Course
from golfstats.calc.greens import by_green as calc
from golfstats.calc.greens.effect.posterior import first_days
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.ground.answers import up_to
from golfstats.ground.operations import Asker, Query
from golfstats.ground.words import counted
from players.conditions.answers.effects import Perhaps, perhaps
from players.conditions.effect import stored_effect
from players.golf.answers import Figure, figure
from players.golf.words import ends, strokes_words


@dataclass(frozen=True)
class CostOfGreen:
    """What green work costs on one green, each time it is played in the first days."""

    green: int
    """Number of its hole."""
    strokes: Figure
    """Strokes that the work costs each time this green is played in the first days after it. Too few where this
    green's own putts say too little, whatever the others say.
    """
    beyond_the_others: Figure
    """Strokes more than the mean of the course's greens; above zero costs more."""
    perhaps: Perhaps
    """What it may cost, known or not: strokes each time it is played."""


@dataclass(frozen=True)
class CostByGreen:
    """Which greens of a course the club's usual work costs most on."""

    fitted_at: dt.datetime | None
    """Null: nothing was fitted yet."""
    kind: str
    """Key of the kind of work that most of this rests on."""
    last_day: int
    """The first days after the work end with this one; the day of the work is 0."""
    words: str
    """The answer in a sentence or two."""
    results: list[CostOfGreen] = up_to(18)
    """In order of the holes; none with too few rounds on disturbed greens of this course."""


def cost_by_green(_: Asker, of_courses: Sequence[Course], __: Query) -> list[CostByGreen]:
    """One query, however many courses."""
    stored = stored_effect()
    kind = stored.greens.usual_kind
    answers = []
    for course in of_courses:
        beside = stored.by_green.get(str(course.id), ())
        costs = calc.cost_of_greens(stored.greens, str(course.id), beside)
        answers.append(
            CostByGreen(
                fitted_at=stored.fitted_at,
                kind=kind,
                last_day=first_days(kind)[-1],
                words=_words(costs, kind),
                results=[
                    CostOfGreen(
                        green=one.hole,
                        strokes=figure(one.strokes, of="visit"),
                        beyond_the_others=figure(one.beyond, of="visit", signed=True),
                        perhaps=perhaps(*one.perhaps),
                    )
                    for one in costs
                ],
            )
        )
    return answers


def _words(costs: Sequence[calc.CostOfGreen], kind: str) -> str:
    if not costs:
        return gettext(
            "Too few rounds on disturbed greens of this course to set its greens beside each other."
        )
    known = [one for one in costs if one.beyond.enough]
    if not known:
        most = max(costs, key=lambda one: one.beyond.n)
        return gettext(
            "Too few putts on any one green while it was disturbed, and each is taken to be like the others: the most "
            "played has {visits} of about {least}."
        ).format(visits=counted(most.beyond.n, "visit"), least=most.beyond.minimum_n)
    few = len(costs) - len(known)
    rest = gettext("Of {greens} there are too few putts.").format(greens=counted(few, "green")) if few else ""
    dearer = [one for one in known if (one.beyond.low or 0.0) > 0]
    if not dearer:
        alike = gettext("No green can be told from the others: {work} costs alike on all that are known.")
        return f"{alike.format(work=gettext(work_types()[kind].words))} {rest}".rstrip()
    named = sorted(dearer, key=lambda one: one.beyond.value or 0.0, reverse=True)
    each = gettext("green {hole} ({strokes})")
    names = ", ".join(
        each.format(hole=one.hole, strokes=strokes_words(one.beyond.value or 0.0, within=ends(one.beyond)))
        for one in named
    )
    dear = gettext("Dearer than the others each time they are played, in strokes: {greens}.")
    return f"{dear.format(greens=names)} {rest}".rstrip()
