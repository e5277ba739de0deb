"""Asking for plans."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from django.db import transaction

from courses.layout.models import Hole, Section, TeeSet
from courses.plans.answers import not_drawn
from golfstats.ground.clubs.models import Member
from golfstats.ground.events import tells
from golfstats.ground.faults import Fault, invalid
from golfstats.ground.outbox import work
from golfstats.sentences import Sentence
from players.people.models import Player
from players.plans.announcing import PLAN_DELETED
from players.plans.models import RoundPlan
from players.rounds.checking.checks import greens_found_faults

ROUND_PLAN = "round_plan"
"""Key: the plan."""
OPEN_PLANS = 5
"""A player's unfinished plans at a time: each is most of a minute of a worker."""


@transaction.atomic
def ask_for_plan(
    member: Member,
    player: Player,
    tee_set: TeeSet,
    planned_for: date,
    section: str = Section.EIGHTEEN,
    greens_found: str = "",
    wind_mph: float | None = None,
    wind_from: float | None = None,
    temperature_c: float | None = None,
    target: int | None = None,
) -> RoundPlan:
    """Note what is wanted and ask the worker for it."""
    numbers = holes_of(tee_set, section)
    faults = [
        *_tee_faults(player, tee_set, numbers),
        *greens_found_faults(greens_found),
        *_waiting_faults(player),
    ]
    if faults:
        raise invalid(faults, Sentence("No plan can be made of this"))
    plan = RoundPlan.objects.create(
        player=player,
        tee_set=tee_set,
        section=section,
        planned_for=planned_for,
        greens_found=greens_found.strip(),
        wind_mph=wind_mph,
        wind_from=wind_from,
        temperature_c=temperature_c,
        target=target,
        asked_by=member,
        holes=len(numbers),
    )
    work.ask(ROUND_PLAN, str(plan.id))
    return plan


def _tee_faults(player: Player, tee_set: TeeSet, numbers: Sequence[int]) -> Iterator[Fault]:
    if not numbers:
        yield Fault("/tee_set", "no_holes", Sentence("these tees have no holes of that section yet"))
    yield from _not_rated_for(player, tee_set, numbers)
    yield from not_drawn(tee_set, numbers)


def _waiting_faults(player: Player) -> Iterator[Fault]:
    if RoundPlan.objects.filter(player=player, state="pending").count() >= OPEN_PLANS:
        words = Sentence(
            "{open_plans} plans are being made already; wait for one of them", open_plans=OPEN_PLANS
        )
        yield Fault("", "too_many", words)


def _not_rated_for(player: Player, tee_set: TeeSet, numbers: Sequence[int]) -> list[Fault]:
    """Holes without a par for the player's gender: no round on them could be posted, so none is planned."""
    gender = player.rating_gender
    if all(hole.par(gender) is not None for hole in tee_set.holes.filter(number__in=numbers)):
        return []
    words = Sentence(
        "these tees have no par for {gender}, so {player} cannot post a round from them",
        gender=Sentence(gender),
        player=player.name,
    )
    return [Fault("/tee", "hole_not_rated", words)]


@tells(PLAN_DELETED)
def delete_plan(plan: RoundPlan) -> None:
    plan.delete()


def holes_of(tee_set: TeeSet, section: str) -> list[int]:
    """Numbers of the holes that a section asks for."""
    wanted = {Section.FRONT: range(1, 10), Section.BACK: range(10, 19)}.get(Section(section), range(1, 19))
    held = Hole.objects.filter(tee_set=tee_set, number__in=list(wanted)).order_by("number")
    return list(held.values_list("number", flat=True))
