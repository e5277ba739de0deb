"""What disturbed greens cost here: fitted by the worker from all the club's putts, stored, and read again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

import orjson
from django.db import transaction
from pydantic import TypeAdapter

from courses.greens import condition as courses
from courses.greens.models import RecoveryTime
from courses.greens.services import store_recovery_times
from golfstats.calc.greens.by_green import GreenBesideOthers, greens_beside_others
from golfstats.calc.greens.context import ContextEffect
from golfstats.calc.greens.effect.estimate import fit_effect
from golfstats.calc.greens.effect.posterior import GreensEffect, too_few_effect
from golfstats.calc.greens.effect.putts import Putts
from golfstats.calc.greens.effect.surplus import round_putts
from golfstats.calc.greens.surface.disturbance import Work
from golfstats.ground.clubs.models import Club
from golfstats.ground.walls.kept import KeptStatement
from players.conditions.context import fit_contexts
from players.conditions.models import ConditionEffect
from players.conditions.putts import load_putts, tee_to_green, without_temporary_greens
from players.people.remembered import edition

FORM = 4
"""Of the stored document. One of another form is as good as none until the next fit replaces it."""
CONTEXTS = TypeAdapter(tuple[ContextEffect, ...])
BY_GREEN = TypeAdapter(dict[str, list[GreenBesideOthers]])
NOTHING: dict[str, Any] = {
    "form": FORM,
    "greens": too_few_effect(0, 0, 0).stored(),
    "contexts": [],
    "by_green": {},
}


@dataclass(frozen=True)
class ClubEffect:
    """The club's answer as last fitted."""

    greens: GreensEffect
    """Of all its green work, kinds and courses."""
    contexts: Sequence[ContextEffect]
    by_green: Mapping[str, Sequence[GreenBesideOthers]]
    """By course: its greens, each beside the others. Courses whose rounds tell too little are missing."""
    fitted_at: datetime | None
    """``None``: nothing was fitted yet, and every figure says "too few"."""


@transaction.atomic
def refit_greens() -> None:
    """Fit the effect of green work for the club in scope from all its putts, and store it. Repeatable."""
    work = courses.confirmed_work()
    loaded = load_putts(Club.objects.get().time_zone)
    putts = without_temporary_greens(loaded, work)
    numbered = {
        number: [courses.work_of(row) for row in work.get(course, [])]
        for number, course in enumerate(loaded.courses)
    }
    names = [str(course) for course in loaded.courses]
    greens = fit_effect(putts, numbered, names, tee_to_green(loaded.rounds))
    by_green = BY_GREEN.dump_python(_by_green(putts, numbered, names), mode="json")
    _store(greens=greens.stored(), putts=greens.putts, by_green=by_green, edition=edition())
    store_recovery_times(_recovery_times(greens))


def _by_green(
    putts: Putts, works: Mapping[int, Sequence[Work]], names: Sequence[str]
) -> dict[str, list[GreenBesideOthers]]:
    try:
        rounds, holes = round_putts(putts)
    except ValueError:
        return {}
    by_course = {
        names[number]: greens_beside_others(rounds, holes, number, some) for number, some in works.items()
    }
    return {course: greens for course, greens in by_course.items() if greens}


@transaction.atomic
def refit_contexts() -> None:
    """Fit the other circumstances, and store them. After the surface figures of rounds, which it leaves out."""
    _store(contexts=[asdict(context) for context in fit_contexts()])


def _store(putts: int | None = None, **parts: Any) -> None:
    row = ConditionEffect.objects.first() or ConditionEffect(document={}, putts=0)
    known = row.document if _readable(row.document) else {}
    row.document = NOTHING | known | parts
    row.putts = row.putts if putts is None else putts
    row.save()


def stored_effect() -> ClubEffect:
    """The effect as last fitted; "too few" of everything where it never was. One query."""
    for text, fitted_at in STORED.found():
        document: dict[str, Any] = orjson.loads(text)
        if _readable(document):
            return _restored(document, fitted_at)
    return ClubEffect(too_few_effect(0, 0, 0), (), {}, None)


STORED = KeptStatement(lambda: ConditionEffect.objects.values_list("document", "fitted_at"))


def _restored(document: Mapping[str, Any], fitted_at: datetime) -> ClubEffect:
    return ClubEffect(
        greens=GreensEffect.restored(document["greens"]),
        contexts=CONTEXTS.validate_python(document["contexts"]),
        # Missing where the last fit is older than this part of it.
        by_green=BY_GREEN.validate_python(document.get("by_green", {})),
        fitted_at=fitted_at,
    )


def outdated() -> bool:
    """Whether the club's effect was fitted by another release, which may have computed it otherwise."""
    row = ConditionEffect.objects.first()
    return row is not None and row.document.get("edition") != edition()


def _readable(document: Mapping[str, Any]) -> bool:
    return document.get("form") == FORM


def _recovery_times(greens: GreensEffect) -> list[RecoveryTime]:
    """Recovery of each kind whose putts tell it; none where no effect is claimed."""
    return [
        RecoveryTime(kind=kind, days=days, low=low, high=high, rounds=greens.own_rounds(kind))
        for kind, (days, low, high) in greens.recovery.items()
    ]
