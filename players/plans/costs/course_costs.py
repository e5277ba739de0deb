"""For the club: what a tee, a pin or a bunker costs whom on each hole, and where its members lose strokes there."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop
from pydantic import Field, TypeAdapter

from courses.layout.models import Gender, TeeSet
from courses.plans.answers import drawn_holes, not_drawn, only_a_map
from golfstats.calc.plan.hole_costs import GolferCosts, HoleCosts, hole_costs
from golfstats.ground.answers import up_to
from golfstats.ground.faults import invalid
from golfstats.ground.operations import Asker, Query
from golfstats.ground.outbox import work
from golfstats.ground.words import spoken, told_document
from golfstats.sentences import whole, with_sentences
from players.plans.costs.difficulty import PlayersStrokes, mean_by_player
from players.plans.making import digest, drawn_as
from players.plans.models import HoleMap
from players.plans.playing import refuse_pictures_while_asker_plays
from players.rounds.models import Shot

__all__ = ["GolferCosts"]  # what the calculation gives is told as it is

HOLE_MAPS = "hole_maps"
"""Key: ``<tee set>:<gender>``."""
COSTS = TypeAdapter(HoleCosts)
DRAWN_AS = "drawn_as"
"""Key of a stored answer: the drawing that it was worked out from. Nothing in answers of before 2026-11-28."""
BANDS = (100.0, 200.0)
"""Yards to the hole that part the members' shots from off the green."""
LEAST_SHOTS = 20
"""Below which no mean is told (our choice)."""


class CostsQuery(Query):
    gender: Gender = Field(Gender.MEN, description="Whose usual golfers play, and whose shots are counted.")


@dataclass(frozen=True)
class MembersShots:
    """The members' shots from one kind of place on a hole."""

    lie: str
    nearest: float
    """Yards to the hole."""
    farthest: float | None
    """Yards to the hole; null for the farthest places, which have no end."""
    shots: int
    """Shots that it rests on."""
    strokes: float | None
    """Mean strokes to hole out, penalties included; None with fewer than 20 shots, or those of one player alone."""
    low: float | None
    """Lower end of the 90% interval; null where there is no mean."""
    high: float | None
    """90% interval."""


@dataclass(frozen=True)
class HoleForTheClub(HoleCosts):
    """One hole, by the model and by the members."""

    members: list[MembersShots]
    """By where the shots were played from."""


@dataclass(frozen=True)
class TeeCosts:
    """The holes of a set of tees, as far as the worker has come."""

    gender: Gender
    holes: int
    """Holes to compute."""
    holes_done: int
    """Holes that are computed."""
    notice: str
    not_drawn: list[str] = up_to(18)
    """Why nothing can be worked out of a hole, a sentence for each that cannot be drawn."""
    by_hole: list[HoleForTheClub] = up_to(18)
    """Those computed so far, in the order of their numbers."""


NOTICE = noop(
    "Usual golfers of handicaps 5, 15 and 25 who play as well as they can; differences below 0.02 strokes are the "
    "grid's. A generic hole knows only what the scorecard and a few words say."
)


@transaction.atomic
def ask_for_costs(tee_set: TeeSet, gender: Gender) -> None:
    """Have every hole worked out anew: its drawing may have changed. Refused where one cannot be drawn."""
    faults = not_drawn(tee_set, range(1, 19))
    if faults:
        raise invalid(faults)
    HoleMap.objects.filter(tee_set=tee_set, gender=gender).delete()
    work.ask(HOLE_MAPS, f"{tee_set.id}:{gender.value}")


def renew_maps(tee_set: UUID) -> None:
    """Holes were corrected or drawn anew: those that are others now are worked out again, for whom they were."""
    for gender in HoleMap.objects.filter(tee_set_id=tee_set).values_list("gender", flat=True).distinct():
        work.ask(HOLE_MAPS, f"{tee_set}:{gender}")


def make_next_map(key: str) -> bool:
    """Work out the first hole that is not there yet, or was of another drawing. Whether there was one."""
    tee_set, _, gender = key.partition(":")
    made = {row.number: row for row in HoleMap.objects.filter(tee_set_id=UUID(tee_set), gender=gender)}
    for hole in drawn_holes([UUID(tee_set)], gender).get(UUID(tee_set), []):
        drawing = digest(*drawn_as(hole.drawing))
        row = made.get(hole.number)
        if row is not None and row.document.get(DRAWN_AS) == drawing:
            continue
        document = with_sentences(asdict(hole_costs(hole.number, hole.drawing, gender)))
        HoleMap.objects.update_or_create(
            tee_set_id=UUID(tee_set),
            gender=gender,
            number=hole.number,
            defaults={"document": {**document, DRAWN_AS: drawing}},
        )
        return True
    return False


def costs_of_tees(asker: Asker, tee_sets: Sequence[TeeSet], query: CostsQuery) -> list[TeeCosts]:
    """Of each set of tees; not to who plays a round that counts. Five queries each."""
    refuse_pictures_while_asker_plays(asker)
    return [_of_tees(tee_set, query.gender) for tee_set in tee_sets]


def _of_tees(tee_set: TeeSet, gender: Gender) -> TeeCosts:
    drawn = {
        hole.number: digest(*drawn_as(hole.drawing))
        for hole in drawn_holes([tee_set.id], gender).get(tee_set.id, [])
    }
    rows = [
        row
        for row in HoleMap.objects.filter(tee_set=tee_set, gender=gender).order_by("number")
        if row.number in drawn and row.document.get(DRAWN_AS, drawn[row.number]) == drawn[row.number]
    ]
    costs = [COSTS.validate_python(told_document(row.document)) for row in rows]
    members = _members(tee_set, gender) if costs else {}
    holes = [HoleForTheClub(**vars(one), members=members.get(one.number, [])) for one in costs]
    numbers = list(tee_set.holes.order_by("number").values_list("number", flat=True))
    missing = [spoken(whole(only_a_map(number))) for number in numbers if number not in drawn]
    return TeeCosts(gender, len(numbers), len(holes), gettext(NOTICE), missing, holes)


def _members(tee_set: TeeSet, gender: str) -> dict[int, list[MembersShots]]:
    """Mean strokes to hole out by hole, lie and distance, from the holes whose shots were recorded.

    What is left of a hole's score once the shots before are taken off: so a ball picked up counts with its most likely
    score, and the places from which balls are picked up do not look easy. Shots of one player go together.
    """
    shots = (
        Shot.objects.filter(played_hole__round__tee_set=tee_set)
        .filter(played_hole__round__player__rating_gender=gender)
        .order_by("played_hole_id", "number")
        .values_list(
            "played_hole_id",
            "played_hole__number",
            "played_hole__score",
            "played_hole__round__player_id",
            "lie",
            "distance",
            "penalty_strokes",
        )
    )
    taken: dict[tuple[int, str, int], list[PlayersStrokes]] = defaultdict(list)
    last, left = None, 0
    for played, number, score, player, lie, yards, penalties in shots:
        left = left if played == last else score
        last = played
        if lie != "green":
            taken[number, lie, sum(yards >= edge for edge in BANDS)].append((player, left))
        left -= 1 + penalties
    edges = (0.0, *BANDS, None)
    by_hole: dict[int, list[MembersShots]] = defaultdict(list)
    for (number, lie, band), counts in sorted(taken.items()):
        mean = mean_by_player(counts, LEAST_SHOTS)
        by_hole[number].append(
            MembersShots(
                lie, edges[band] or 0.0, edges[band + 1], mean.n, mean.value, low=mean.low, high=mean.high
            )
        )
    return by_hole
