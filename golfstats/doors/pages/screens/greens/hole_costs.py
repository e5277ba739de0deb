"""What the holes of a set of tees cost whom: for managers, greenkeepers and coaches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from courses.layout.models import Gender, TeeSet
from courses.layout.operations import COURSE_READERS, COURSE_STAFF, TEE
from golfstats.doors.pages.base import ClubPage
from golfstats.doors.pages.languages import translated
from golfstats.doors.pages.pictures.hole_costs import hole_costs, span_of
from golfstats.ground import inputs
from players.golf.words import strokes_words
from players.pictures import green_subjects
from players.pictures.green_subjects import THE_GRID, things_of
from players.pictures.shapes import Thing
from players.plans.answers import SURFACES
from players.plans.costs.course_costs import CostsQuery, HoleForTheClub, ask_for_costs, costs_of_tees
from players.plans.costs.difficulty import DifficultyQuery, difficulty


@dataclass(frozen=True)
class ShownHole:
    """A hole with its picture; the map of one whose shape nobody has drawn would be of another hole."""

    told: HoleForTheClub
    things: list[Thing]
    picture: SafeString
    dearest: str


class HoleCostsPage(ClubPage):
    def get(self, request: HttpRequest, course_id: UUID, tee_id: UUID) -> HttpResponse:
        self.asker.needs(*COURSE_READERS)
        tee, query = self._asked(request, course_id, tee_id)
        (costs,) = costs_of_tees(self.asker, [tee], query)
        (played,) = difficulty(self.asker, [tee], DifficultyQuery(gender=query.gender))
        things = {one.number: things_of(one) for one in costs.by_hole}
        span = span_of([thing for of_hole in things.values() for thing in of_hole])
        holes = [
            ShownHole(
                one,
                things[one.number],
                hole_costs(green_subjects.things(one), span) if one.golfers else SafeString(""),
                _dearest(things[one.number]),
            )
            for one in costs.by_hole
        ]
        context = {
            "tee": tee,
            "course": tee.course,
            "told": costs,
            "holes": holes,
            "played": played,
            "lead": in_words(costs.by_hole),
            "handicaps": [f"{one:.0f}" for one in _handicaps(costs.by_hole[0])] if costs.by_hole else [],
            "genders": [(gender.value, gettext(str(gender.label))) for gender in Gender],
            "can_be_done": costs.holes - len(costs.not_drawn),
            "may_ask": self.member.role in COURSE_STAFF,
            "surfaces": translated(SURFACES),
        }
        return self.page("hole_costs", context)

    def post(self, request: HttpRequest, course_id: UUID, tee_id: UUID) -> HttpResponse:
        self.asker.needs(*COURSE_STAFF)
        tee, query = self._asked(request, course_id, tee_id)
        ask_for_costs(tee, query.gender)
        messages.success(
            request, gettext("A worker is at it, a hole at a time: look again in a minute or two.")
        )
        return redirect(f"{self.address('hole-costs', course_id, tee_id)}?gender={query.gender.value}")

    def _asked(self, request: HttpRequest, course_id: UUID, tee_id: UUID) -> tuple[TeeSet, CostsQuery]:
        tee = TEE.one(self.asker, {"course_id": course_id, "tee_id": tee_id})
        given = {"gender": request.GET["gender"]} if request.GET.get("gender") else {}
        return tee, inputs.checked(CostsQuery, given)


def in_words(holes: Sequence[HoleForTheClub]) -> str:
    """Which pin or bunker costs most, and whom; nothing before a hole was worked out."""
    standing = [(max(thing.costs), hole, thing) for hole in holes for thing in things_of(hole)[1:]]
    if not standing:
        return ""
    most, hole, thing = max(standing, key=lambda one: one[0])
    if most < THE_GRID:
        return gettext("No pin and no bunker costs anybody more than the model can tell from nothing.")
    low, high = _handicaps(hole)[0], _handicaps(hole)[-1]
    return gettext(
        "Hole {number}, {what}, costs most: {costs} strokes for handicap {high}, {costs_low} "
        "for handicap {low}."
    ).format(
        number=hole.number,
        what=thing.what,
        costs=strokes_words(thing.costs[-1], signed=False),
        high=f"{high:.0f}",
        costs_low=strokes_words(thing.costs[0], signed=False),
        low=f"{low:.0f}",
    )


def _handicaps(hole: HoleForTheClub) -> list[float]:
    return [one.handicap for one in hole.golfers]


def _dearest(things: Sequence[Thing]) -> str:
    """The pin or bunker that costs most on a hole, where any can be told from nothing."""
    dear = [one for one in things[1:] if max(one.costs) >= THE_GRID]
    return max(dear, key=lambda one: max(one.costs)).what if dear else ""
