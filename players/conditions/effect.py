"""What disturbed greens cost here: fitted by the worker from all the club's putts, stored, and read again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from courses import queries as courses
from courses.models import GreenWork, RecoveryTime
from courses.services.recovery import store_recovery_times
from golfstats.calc.figure import Figure
from golfstats.calc.greens.context import ContextEffect
from golfstats.calc.greens.effect import GreensEffect, too_few_effect
from golfstats.calc.greens.estimate import fit_effect
from golfstats.calc.greens.putts import PuttBins, bin_putts
from golfstats.clubs.models import Club
from players.conditions.context import fit_contexts
from players.conditions.putts import load_putts, without_temporary_greens
from players.models import ConditionEffect

NOTHING: dict[str, Any] = {"greens": too_few_effect(0, 0, 0).stored(), "kinds": {}, "contexts": []}


@dataclass(frozen=True)
class ClubEffect:
    """The club's answer as last fitted."""

    greens: GreensEffect
    """Over all its green work."""
    kinds: dict[str, GreensEffect]
    """Over each kind of work that the club did, where no other kind was healing."""
    contexts: Sequence[ContextEffect]
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
    try:
        bins = bin_putts(putts, numbered)
    except ValueError:
        greens, kinds = too_few_effect(0, 0, 0), {}
    else:
        greens = fit_effect(bins)
        kinds = _by_kind(bins, work)
    _store(
        greens=greens.stored(),
        kinds={kind: effect.stored() for kind, effect in kinds.items()},
        putts=greens.putts,
    )
    store_recovery_times(_recovery_times(greens, kinds))


@transaction.atomic
def refit_contexts() -> None:
    """Fit the other circumstances, and store them. After the surface figures of rounds, which it leaves out."""
    _store(contexts=[asdict(context) for context in fit_contexts()])


def _store(putts: int | None = None, **parts: Any) -> None:
    row = ConditionEffect.objects.first() or ConditionEffect(document={}, putts=0)
    row.document = NOTHING | row.document | parts
    row.putts = row.putts if putts is None else putts
    row.save()


def stored_effect() -> ClubEffect:
    """The effect as last fitted; "too few" of everything where it never was. One query."""
    row = ConditionEffect.objects.first()
    if row is None:
        return ClubEffect(too_few_effect(0, 0, 0), {}, (), None)
    document: dict[str, Any] = row.document
    return ClubEffect(
        greens=GreensEffect.restored(document["greens"]),
        kinds={kind: GreensEffect.restored(stored) for kind, stored in document["kinds"].items()},
        contexts=[_context(stored) for stored in document["contexts"]],
        fitted_at=row.fitted_at,
    )


def _by_kind(bins: PuttBins, work: dict[UUID, list[GreenWork]]) -> dict[str, GreensEffect]:
    kinds = sorted({row.kind for rows in work.values() for row in rows})
    return {kind: fit_effect(bins, kind) for kind in kinds}


def _recovery_times(greens: GreensEffect, kinds: dict[str, GreensEffect]) -> list[RecoveryTime]:
    """Recovery of each kind by its own putts, or else by those of all work; none where no effect is claimed."""
    times = []
    for kind, own in kinds.items():
        effect = own if own.claimed else greens
        if not effect.claimed:
            continue
        days = effect.recovery_days(kind)
        if days.value is not None and days.low is not None and days.high is not None:
            times.append(
                RecoveryTime(kind=kind, days=days.value, low=days.low, high=days.high, rounds=days.n)
            )
    return times


def _context(stored: dict[str, Any]) -> ContextEffect:
    return ContextEffect(stored["key"], stored["words"], Figure(**stored["strokes"]))
